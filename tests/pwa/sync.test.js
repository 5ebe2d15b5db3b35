// Sync against a model of the shop's server, with injected time and network.

import { SHOP_SPREAD } from "/js/domain/job/shop-spread.js";
import { Sync } from "/js/sync/sync.js";
import { deepEqual, equal, ok, test } from "./harness.js";
import { fieldSet, photoTaken } from "./store-parts.js";
import { json, problem, run, setting, syncParts } from "./sync-parts.js";

const ids = (entries) => entries.map((entry) => entry.id).sort();

test("the shop's name stays on the phone, for a report without network", async () => {
  const { parts, phone, server } = await setting(1);
  equal((await phone.setting("shop")) ?? null, null);
  await run(phone, server, parts.clock);
  deepEqual(await phone.setting("shop"), { name: "Ringworks", demo: true });
});

test("what waits is sent once, in order, and the outbox is empty", async () => {
  const { phone, saved, server, sync, parts } = await setting(3);
  const state = await sync();
  deepEqual(server.entries, saved);
  deepEqual(await phone.unsent(), { entries: 0, photos: 0, oldest_at: null });
  deepEqual([state.status, state.text, state.lastAt], ["idle", "sync.idle", parts.clock.ms]);
  await sync();
  equal(server.entries.length, 3);
});

test("the shop is told at every sync whether this phone's storage is kept", async () => {
  const storageManager = { persisted: async () => false, persist: async () => false };
  const { phone, server, sync } = await setting(1, 1, { storageManager });
  const said = [];
  server.meddle = (path, init) => { if (path === "/api/entries") said.push(JSON.parse(init.body).kept); };
  await sync();
  storageManager.persisted = async () => true;
  await phone.check();
  await sync();
  deepEqual(said, [false, true]);
});

test("entries of another phone arrive, and the pull goes on where it was", async () => {
  const one = await setting(2);
  const other = await setting(1, 2);
  await one.sync();
  await run(other.phone, one.server, other.parts.clock);
  deepEqual(ids(await other.phone.entries(one.job)), ids(one.saved));
  const more = await one.phone.save(fieldSet(one.job, "vehicle.vin", "x"));
  await one.sync();
  await run(other.phone, one.server, other.parts.clock);
  ok((await other.phone.entries(one.job)).some((entry) => entry.id === more.id));
  equal((await other.phone.unsent()).entries, 0, "what came from the server does not wait to be sent");
});

test("more than one batch each way", async () => {
  const { phone, server, sync } = await setting(0);
  const job = phone.newJob();
  for (let k = 0; k < 1203; k += 1) {
    server.entries.push({ format: 1, id: phone.newJob(), job, device: job, n: k + 1, at: "", by: "x", kind: "field-set",
      slot: `a.${k}`, after: [], body: { value: k } });
  }
  equal((await sync()).status, "idle");
  equal((await phone.entries(job)).length, 1203);
});

test("a reply that is lost leaves the outbox; sending again makes nothing double", async () => {
  const { phone, server, sync } = await setting(3);
  server.meddle = (path, init) => {
    if (path !== "/api/entries") return undefined;
    server.answer(path, init); // the server has it, the phone never hears so
    return new TypeError("network");
  };
  equal((await sync()).status, "offline");
  equal((await phone.unsent()).entries, 3);
  server.meddle = () => undefined;
  equal((await sync()).status, "idle");
  equal(server.entries.length, 3);
});

test("what is edited after a lost reply is a new entry; both arrive", async () => {
  const { phone, job, saved, server, sync } = await setting(1);
  server.meddle = (path, init) =>
    (path === "/api/entries" ? (server.answer(path, init), new TypeError("network")) : undefined);
  await sync();
  const mended = await phone.save(fieldSet(job, "vehicle.field-0", "mended", [saved[0].id]));
  server.meddle = () => undefined;
  await sync();
  deepEqual(server.entries, [saved[0], mended]);
});

const OWN = { "Content-Type": "application/json", "X-Tapermark": "1" };
/** What a hostile network or a broken server answers -> what is said. */
const PORTALS = {
  "a portal's page with 200": ["sync.not-our-server",
    () => new Response("<html>sign in</html>", { headers: { "Content-Type": "text/html" } })],
  "an empty object with 200": ["sync.not-our-server",
    () => new Response("{}", { headers: { "Content-Type": "application/json" } })],
  "204": ["sync.not-our-server", () => new Response(null, { status: 204 })],
  "502 of a proxy": ["sync.not-our-server", () => new Response("bad gateway", { status: 502 })],
  "JSON that is cut off": ["sync.offline", () => new Response('{"results": [', { headers: OWN })],
  "an own answer without its parts": ["sync.server-trouble", () => json({})],
  "own 204": ["sync.server-trouble", () => new Response(null, { status: 204, headers: OWN })],
  "own 500": ["sync.server-trouble", () => problem(500, "server-fault")],
};
for (const [name, [text, answer]] of Object.entries(PORTALS)) {
  test(`${name}: the outbox is unchanged, and it says so`, async () => {
    const { phone, server, sync } = await setting(2);
    server.meddle = (path) => (path === "/api/entries" ? answer() : undefined);
    equal((await sync()).text, text);
    equal((await phone.unsent()).entries, 2);
    server.meddle = () => undefined;
    equal((await sync()).status, "idle");
    equal(server.entries.length, 2);
  });
}

test("an answer counts only for what was asked: an entry saved meanwhile stays in the outbox", async () => {
  const { phone, job, server, sync } = await setting(1);
  const honest = server.exchange;
  let late = null;
  server.meddle = async (path) => { if (path === "/api/entries")
    late ??= await phone.save(fieldSet(job, "vehicle.vin", "late")); };
  server.exchange = (request) => {
    const answer = honest.call(server, request);
    if (request.entries.length === 1) answer.results.push({ id: late.id, verdict: "accepted" });
    return answer;
  };
  await sync();
  ok(server.entries.some((entry) => entry.id === late.id), "it was sent by itself");
});

test("a server's trouble is named with its status", async () => {
  const { server, sync } = await setting(1);
  server.meddle = () => problem(503, "server-fault");
  deepEqual((await sync()).params, { status: 503 });
});

test("a pairing that has ended keeps what is not sent and says so", async () => {
  const { phone, server, sync } = await setting(2);
  server.meddle = () => problem(401, "pairing-ended");
  equal((await sync()).status, "not-paired");
  equal((await phone.unsent()).entries, 2);
});

test("a dead token is renewed once", async () => {
  const { server, sync } = await setting(1);
  server.meddle = (path) => {
    if (path === "/api/entries" && server.token === "token-1") {
      server.token = "token-2"; // the key was changed between session and send
    }
  };
  equal((await sync()).status, "idle");
  equal(server.asked.filter(([, path]) => path === "/api/session").length, 2);
  server.meddle = (path) => (path === "/api/entries" ? problem(400, "csrf-failed") : undefined);
  const { phone, job } = await setting(0);
  await phone.save(fieldSet(job, "vehicle.vin", 1));
  server.asked = [];
  await run(phone, server, { ms: 1 });
  equal(server.asked.filter(([, path]) => path === "/api/session").length, 2, "not for ever");
});

test("one poison entry is shown with its reason; its neighbours arrive", async () => {
  const { phone, saved, server, sync } = await setting(3);
  server.refuses.add(saved[1].id);
  const state = await sync();
  deepEqual(ids(server.entries), ids([saved[0], saved[2]]));
  deepEqual(await phone.refused(), [{ entry: saved[1], reason: "bad-field", text: "The entry is bad." }]);
  deepEqual([state.status, state.params.count], ["refused", 1]);
  equal((await phone.unsent()).entries, 0);
  const file = JSON.parse(await (await phone.exportUnsent()).text());
  deepEqual(file.entries, [saved[1]]);
});

test("a verdict of a later server leaves the entry in the outbox", async () => {
  const { phone, server, sync } = await setting(1);
  const honest = server.take;
  server.take = (entry) => ({ ...honest.call(server, entry), verdict: "pondered" });
  equal((await sync()).status, "waiting");
  equal((await phone.unsent()).entries, 1);
});

test("a server restored from a backup gets everything again", async () => {
  const { phone, job, server, sync } = await setting(3);
  await sync();
  server.backedUp = server.entries.length;
  await phone.save(fieldSet(job, "vehicle.vin", "after the backup"));
  await sync();
  server.entries = server.entries.slice(0, 3); // restored: the last entry is gone
  equal((await sync()).status, "idle");
  equal(server.entries.length, 4);
  equal(new Set(ids(server.entries)).size, 4);
});

test("a server that was set up anew (another epoch) gets everything again", async () => {
  const { server, sync } = await setting(3);
  await sync();
  server.entries = [];
  server.epoch = "00000000-0000-4000-8000-00000000000f";
  equal((await sync()).status, "idle");
  equal(server.entries.length, 3);
});

test("a restored server gets back what only another phone still holds", async () => {
  const { phone, saved, server, sync, parts } = await setting(2);
  const other = await setting(1, 2);
  await run(other.phone, server, other.parts.clock); // then that phone falls into the sump
  await sync();
  server.entries = [];
  server.epoch = "00000000-0000-4000-8000-00000000000f";
  equal((await run(phone, server, parts.clock)).status, "idle");
  deepEqual(ids(server.entries).sort(), ids([...saved, ...other.saved]).sort());
});

test("a high water that has fallen is enough to send again", async () => {
  const { phone, job, server, sync } = await setting(3);
  const other = await setting(1, 2);
  await run(other.phone, server, other.parts.clock); // seq 1 is the other phone's
  await sync();
  server.entries.splice(1, 1); // one of ours is gone, and the entry seen last has moved
  server.entries.push(await other.phone.save(fieldSet(other.job, "x.y", 1)));
  await sync();
  equal(server.mark((await phone.entries(job)).find((entry) => entry.slot === "vehicle.field-0").device,
    server.entries), 3);
});

test("a photo is sent after its entry, under its hash, and noted as held", async () => {
  const { phone, job, server, sync } = await setting(1);
  const bytes = new Uint8Array([255, 216, 9]).buffer;
  const { body } = await phone.save(await photoTaken(job, bytes));
  await sync();
  deepEqual(server.photos.get(body.sha256), bytes);
  deepEqual(await phone.unsent(), { entries: 0, photos: 0, oldest_at: null });
  server.photos.clear(); // restored without it: the server asks, the phone still has it
  await sync();
  equal(server.photos.size, 1);
});

test("a photo that never arrives does not hold the entries back", async () => {
  const { phone, job, server, sync } = await setting(1);
  await phone.save(await photoTaken(job, new Uint8Array([1]).buffer));
  await phone.save(await photoTaken(job, new Uint8Array([2]).buffer));
  server.meddle = (path) => (path.startsWith("/api/photos/") ? new TypeError("cut") : undefined);
  equal((await sync()).status, "offline");
  deepEqual([server.entries.length, (await phone.unsent()).photos], [3, 2]);
});

test("a photo that the server cannot take is shown; the next one goes", async () => {
  const { phone, job, server, sync } = await setting(0);
  const bad = await phone.save(await photoTaken(job, new Uint8Array([1]).buffer));
  await phone.save(await photoTaken(job, new Uint8Array([2]).buffer));
  server.meddle = (path) => (path.endsWith(bad.body.sha256) ? problem(422, "photo-format") : undefined);
  const state = await sync();
  deepEqual([state.status, state.text], ["refused", "sync.photos-refused"]);
  deepEqual((await phone.refusedPhotos()).map((photo) => photo.reason), ["photo-format"]);
  equal(server.photos.size, 1);
  ok((await phone.photo(bad.body.sha256)) !== null, "its bytes stay");
});

test("a photo whose job was erased at the desk, or whose bytes differ, goes once and is shown", async () => {
  for (const [status, code] of [[409, "photo-not-wanted"], [422, "photo-different"]]) {
    const { phone, job, server, sync } = await setting(0);
    const { body } = await phone.save(await photoTaken(job, new Uint8Array([1]).buffer));
    const puts = () => server.asked.filter(([method, path]) => method === "PUT" && path.endsWith(body.sha256)).length;
    server.meddle = (path) => (path.startsWith("/api/photos/") ? problem(status, code) : undefined);
    if (code === "photo-not-wanted") server.wanted = () => []; // erased: nothing asks for it any more
    equal((await sync()).status, "refused", code);
    await sync();
    deepEqual([puts(), (await phone.refusedPhotos()).map(({ reason }) => reason)], [1, [code]]);
    ok((await phone.photo(body.sha256)) !== null, "its bytes stay");
  }
});

test("a photo that was not wanted goes as soon as the server asks for it", async () => {
  const { phone, job, server, sync } = await setting(0);
  await phone.save(await photoTaken(job, new Uint8Array([1]).buffer));
  server.meddle = (path) => (path.startsWith("/api/photos/") ? problem(409, "photo-not-wanted") : undefined);
  await sync();
  server.meddle = () => undefined;
  await sync();
  deepEqual([server.photos.size, (await phone.refusedPhotos()).length, (await phone.unsent()).photos], [1, 0, 0]);
});

test("a photo waits for its entry, and is not sent where the entry is refused", async () => {
  const { phone, job, server, sync } = await setting(0);
  const entry = await phone.save(await photoTaken(job, new Uint8Array([1]).buffer));
  deepEqual(await phone.syncStore.photosToSend([]), [], "the server knows nothing of it yet");
  server.refuses.add(entry.id);
  await sync();
  deepEqual(server.asked.filter(([method]) => method === "PUT"), []);
  deepEqual((await phone.refusedPhotos()).map(({ reason }) => reason), ["photo-not-wanted"]);
});

test("a cloned phone goes on under a new id, and what it wrote before arrives", async () => {
  const { phone, job, saved, server, sync } = await setting(2);
  server.newDevice = "00000000-0000-4000-8000-0000000000aa";
  await sync();
  const next = await phone.save(fieldSet(job, "vehicle.vin", "x"));
  deepEqual([next.device, next.n], [server.newDevice, 1]);
  server.newDevice = null;
  await sync();
  deepEqual(ids(server.entries), ids([...saved, next]));
  equal(phone.lost, null);
});

test("a phone whose storage went back in time says so and gives no number twice", async () => {
  const { phone, saved, server, sync, job } = await setting(1);
  server.entries.push(...[1, 2, 3].map((n) => ({ ...saved[0], id: phone.newJob(), n: n + 1, slot: `lost.${n}` })));
  await sync();
  deepEqual(phone.lost, { device: saved[0].device, n: 4, unsent: 0, photos: 0, restored: 0 });
  equal((await phone.save(fieldSet(job, "vehicle.vin", "x"))).n, 5);
});

test("a phone emptied of everything but its cookie hears from the server that it has lost its jobs", async () => {
  const { phone, job, server, sync } = await setting(0);
  server.sent = 7;
  await sync();
  deepEqual(phone.lost, { device: null, n: 7, unsent: 0, photos: 0, restored: 0 });
  await phone.forgetLoss();
  await sync();
  equal(phone.lost, null, "told once");
  await phone.save(fieldSet(job, "vehicle.vin", "x"));
  await sync();
  equal(phone.lost, null);
});

test("the same where it has been worked on since, before there was network", async () => {
  const { phone, server, sync } = await setting(2);
  server.sent = 7;
  await sync();
  equal(phone.lost.n, 7);
});

test("a phone that was in contact before, or whose reply was lost, has lost nothing", async () => {
  const { phone, server, sync } = await setting(1);
  server.sent = 1;
  await sync();
  equal(phone.lost, null, "it has sent what it has, and did not hear the reply");
  server.sent = 7;
  await sync();
  equal(phone.lost, null);
});

test("ring sets arrive with tables that are what their name says", async () => {
  const { phone, server, sync } = await setting(0);
  const table = new TextEncoder().encode('{"format":1}');
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", table));
  const sha256 = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  const set = (revision, more) =>
    ({ id: "a", name: "A", revision, table: sha256, retired: false, ring_set: {}, ...more });
  server.ringSets = [set(1), set(2), set(3, { retired: true })];
  server.tables.set(sha256, new TextEncoder().encode('{"format":2}'));
  equal((await sync()).text, "error.table-damaged");
  deepEqual([await phone.ringSets(), await phone.hasRingSet()], [[], false]);
  server.tables.set(sha256, table);
  equal((await sync()).status, "idle");
  deepEqual(await phone.ringSets(),
    [{ id: "a", name: "A", revision: 2, retired: false, doubts: [], sha256, table: { format: 1 } }]);
  equal(await phone.hasRingSet(), true);
  ok(server.asked.some(([, path]) => path === "/api/ring-sets?knows=trusted"),
    "the phone says that it knows untrusted sets");
  server.ringSets = [set(4, { trusted: false, doubts: ["wide-gap"] })];
  await sync();
  deepEqual((await phone.ringSets()).map(({ revision, doubts }) => [revision, doubts]), [[4, ["wide-gap"]]]);
  server.asked = [];
  await sync();
  ok(!server.asked.some(([, path]) => path.startsWith("/api/tables/")), "a table is fetched once");
});

test("the shop's spreads come with the ring sets, and go again when the shop goes back to the usual ones", async () => {
  const { phone, server, sync } = await setting(0);
  server.spread = { camber_sd: 80, toe_sd: 20, seat_sd: 35, clock_sd_deg: 3.5 };
  let changes = 0;
  phone.onChange(() => { changes += 1; });
  await sync();
  deepEqual(await phone.setting(SHOP_SPREAD), server.spread);
  ok(changes > 0, "an open plan learns of it");
  server.spread = null;
  await sync();
  equal(await phone.setting(SHOP_SPREAD), null);
});

test("a clock at 1970, or ten years ahead, changes nothing for the server", async () => {
  const { phone, parts, job, server, sync } = await setting(1);
  for (const ms of [0, Date.UTC(2036, 0, 1), Date.UTC(2026, 2, 2)]) {
    parts.clock.ms = ms;
    await phone.save(fieldSet(job, "vehicle.vin", ms));
    const off = new Sync(phone, syncParts(server, parts.clock));
    await off.now();
    deepEqual([off.state.status, off.clockOffMs], ["idle", ms - Date.parse(server.time)], "known, and nothing else");
  }
  deepEqual(server.entries.map((entry) => entry.n), [1, 2, 3, 4]);
});
