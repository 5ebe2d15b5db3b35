// A missing table, a photo that the server stumbles over, a job that this program cannot sum up: each holds up nothing
// but itself.

import { deepEqual, equal, test } from "./harness.js";
import { fieldSet, photoTaken } from "./store-parts.js";
import { problem, setting } from "./sync-parts.js";

const NEVER_THERE = "f".repeat(64);

function planNaming(job, tables) {
  return { ...fieldSet(job, "round.1.plan", null), kind: "plan-chosen", body: { tables } };
}

async function sha256Of(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** A photo, a job 40 days old and signed of which a backup has all, and what the server is to stumble over. */
async function settingWithWork() {
  const all = await setting(2);
  const { phone, job, server } = all;
  await phone.save(await photoTaken(job, new Uint8Array([1]).buffer));
  const answers = new Map(); // start of a path -> answer
  server.meddle = (path) => [...answers].find(([start]) => path.startsWith(start))?.[1]();
  return { ...all, answers };
}

test("a plan whose table nobody has holds up neither photos nor the rest, and is asked for once", async () => {
  const { phone, job, server, sync, answers } = await settingWithWork();
  answers.set(`/api/tables/${NEVER_THERE}`, () => problem(404, "no-such-table"));
  await phone.save(planNaming(job, { "demo-54": NEVER_THERE, "demo-66": "../session", "demo-72": 7 }));
  const state = await sync();
  deepEqual([state.status, server.photos.size], ["idle", 1], "there is nothing that anybody could do about it");
  await sync();
  deepEqual(server.asked.filter(([, path]) => path.startsWith("/api/tables/")),
    [["GET", `/api/tables/${NEVER_THERE}`]]);
});

test("of ring sets the one whose table fails stays as it was; the others come, and it is said", async () => {
  const { phone, server, sync, answers } = await settingWithWork();
  const bytes = new TextEncoder().encode('{"format":1}');
  const good = await sha256Of(bytes);
  server.tables.set(good, bytes);
  const set = (id, revision, table) => ({ id, name: id, revision, table, retired: false, ring_set: {} });
  server.ringSets = [set("a", 1, good)];
  equal((await sync()).status, "idle");
  answers.set(`/api/tables/${NEVER_THERE}`, () => problem(500, "server-fault"));
  server.ringSets = [set("a", 2, NEVER_THERE), set("b", 1, good)];
  const state = await sync();
  deepEqual([state.text, state.params], ["sync.server-trouble", { status: 500 }]);
  deepEqual((await phone.ringSets()).map(({ id, revision }) => [id, revision]), [["a", 1], ["b", 1]]);
  server.ringSets[0].retired = true;
  await sync();
  deepEqual((await phone.ringSets()).map(({ id, retired }) => [id, retired]), [["a", true], ["b", false]]);
});

test("a photo that the server stumbles over waits alone", async () => {
  const { phone, job, server, sync, answers } = await settingWithWork();
  for (const byte of [2, 3]) await phone.save(await photoTaken(job, new Uint8Array([byte]).buffer));
  // as they are sent
  const [first] = (await Promise.all([1, 2, 3].map((byte) => sha256Of(new Uint8Array([byte]))))).sort();
  answers.set(`/api/photos/${first}`, () => problem(500, "server-fault"));
  const state = await sync();
  deepEqual([state.text, state.params, server.photos.size], ["sync.server-trouble", { status: 500 }, 2]);
  equal((await phone.unsent()).photos, 1, "it is tried again");
  answers.clear();
  deepEqual([(await sync()).status, server.photos.size], ["idle", 3]);
});

test("a server that stumbles over every photo is not asked for each", async () => {
  const { phone, job, server, sync, answers } = await settingWithWork();
  for (let k = 0; k < 10; k += 1) await phone.save(await photoTaken(job, new Uint8Array([10 + k]).buffer));
  answers.set("/api/photos/", () => problem(507, "store-full"));
  equal((await sync()).status, "waiting");
  equal(server.asked.filter(([, path]) => path.startsWith("/api/photos/")).length, 5);
});

for (const code of ["store-full", "store-read-only"]) {
  test(`a server that can keep nothing, ${code}, is said to be so, and everything waits`, async () => {
    const { phone, server, sync } = await setting(3);
    server.meddle = (path) => (path === "/api/entries" ? problem(507, code) : undefined);
    deepEqual([(await sync()).text, (await phone.unsent()).entries], ["sync.server-full", 3]);
    equal(server.asked.filter(([, path]) => path === "/api/entries").length, 1, "it is not about what was sent");
  });
}

test("what of the server fails, the phone still lets go of what may go", async () => {
  const { parts, phone, job, server, sync, answers } = await settingWithWork();
  await phone.save({ ...fieldSet(job, null, null), kind: "job-signed", slot: null, body: { covers: [] } });
  equal((await sync()).status, "idle");
  server.backedUp = server.entries.length;
  const at = (time) => { [server.time, parts.clock.ms] = [time, Date.parse(time)]; };
  at("2026-05-02T09:00:00.000Z");
  answers.set("/api/ring-sets", () => problem(500, "server-fault"));
  await sync();
  at("2026-05-02T11:00:00.000Z");
  await sync();
  deepEqual([await phone.jobIds(), (await phone.prune()).jobs], [[], 0], "it has gone by the sync itself");
});

test("one job over which this program stumbles holds up neither the pull nor the list", async () => {
  const { phone, server, sync } = await setting(1);
  const device = crypto.randomUUID();
  const other = (n, slot, value) => ({
    format: 1, id: crypto.randomUUID(), job: crypto.randomUUID(), device, n,
    at: "2026-03-02T08:00:00.000+01:00", by: "Ada Lind",
    kind: "field-set", slot, after: [], body: { value },
  });
  server.entries.push(
    other(1, "vehicle.registration", { toString: 1, valueOf: 2 }),
    { ...other(2, "vehicle.vin", "x"), after: [{ toString: 1 }] },
    { ...other(3, "vehicle.vin", "y"), kind: "job-stopped", body: null }, other(4, "vehicle.registration", "WELL 1"),
  );
  equal((await sync()).status, "idle");
  const jobs = await phone.jobs();
  deepEqual([jobs.length, jobs.filter(({ registration }) => registration === "WELL 1").length], [4, 1],
    "that which is stopped is a line");
  equal((await (await phone.lines()).jobs.all()).length, 5);
});
