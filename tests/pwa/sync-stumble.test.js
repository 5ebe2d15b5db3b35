// A server that stumbles over single entries: the others flow, and nothing is dropped.

import { deepEqual, equal, test } from "./harness.js";
import { photoTaken } from "./store-parts.js";
import { problem, setting } from "./sync-parts.js";

/** The server fails, as a fault of its own would make it, on every request that holds one of these ids. */
function stumbles(server, ids) {
  server.meddle = (path, init) => (
    path === "/api/entries" && ids.some((id) => init.body.includes(id)) ? problem(500, "server-fault") : undefined);
}

test("entries that the server stumbles over wait alone; the others arrive, and the photos", async () => {
  const { phone, job, saved, server, sync } = await setting(60);
  await phone.save(await photoTaken(job, new Uint8Array([1]).buffer));
  const [bad, worse] = [saved[17].id, saved[41].id];
  stumbles(server, [bad, worse]);
  const state = await sync();
  deepEqual([state.text, state.params], ["sync.server-trouble", { status: 500 }]);
  deepEqual([server.entries.length, server.photos.size], [59, 1]);
  deepEqual(await phone.unsent(), { entries: 2, photos: 0, oldest_at: Date.UTC(2026, 2, 2, 8, 0, 0) });
  server.meddle = () => undefined; // three days later the server is mended
  equal((await sync()).status, "idle");
  equal(new Set(server.entries.map((entry) => entry.id)).size, 61);
});

test("the only entry that waits, if the server stumbles over it, is tried once each time", async () => {
  const { phone, saved, server, sync } = await setting(1);
  stumbles(server, [saved[0].id]);
  equal((await sync()).status, "waiting");
  equal(server.asked.filter(([, path]) => path === "/api/entries").length, 4, "with it, without, with it, without");
  equal((await phone.unsent()).entries, 1);
});

test("a server that fails on everything is not asked for each entry", async () => {
  const { phone, server, sync } = await setting(30);
  server.meddle = (path) => (path === "/api/entries" ? problem(500, "server-fault") : undefined);
  equal((await sync()).text, "sync.server-trouble");
  equal(server.asked.filter(([, path]) => path === "/api/entries").length, 2);
  equal((await phone.unsent()).entries, 30);
});
