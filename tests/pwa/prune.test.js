// What may leave a phone, and what never does.

import { openPhone } from "/js/store/phone.js";
import { Sync } from "/js/sync/sync.js";
import { liveIds } from "/js/domain/job/fold.js";
import { deepEqual, equal, ok, rejects, test } from "./harness.js";
import { FaultyFactory } from "./faulty-database.js";
import { fieldSet, phoneParts, photoTaken } from "./store-parts.js";
import { SmallServer, syncParts } from "./sync-parts.js";

const DAY_MS = 24 * 3600 * 1000;
const START_MS = Date.UTC(2026, 2, 2, 9);

/** A phone with one job (a field and a photo), synced on day 0; `close` signs or stops it first. */
async function setting(close = "job-signed", more = {}) {
  const parts = phoneParts(more);
  const phone = await openPhone(parts);
  const server = new SmallServer();
  const job = phone.newJob();
  await phone.save(fieldSet(job, "vehicle.vin", "x"));
  const { body: { sha256 } } = await phone.save(await photoTaken(job, new Uint8Array([1, 2, 3]).buffer));
  if (close) {
    const body = close === "job-signed" ? { covers: liveIds(await phone.entries(job)) } : { reason: "part-awaited" };
    await phone.save({ job, kind: close, slot: null, after: [], body, by: "Ada Lind" });
  }
  const syncOn = async (day) => {
    parts.clock.ms = START_MS + day * DAY_MS;
    server.time = new Date(parts.clock.ms).toISOString();
    await new Sync(phone, syncParts(server, parts.clock)).now();
  };
  await syncOn(0);
  const left = async () => ({ jobs: (await phone.jobs()).length, photo: (await phone.photo(sha256)) !== null });
  return { phone, server, parts, job, sha256, syncOn, left,
    backUp: () => { server.backedUp = server.entries.length; } };
}

test("a closed job leaves when it is backed up and 30 days have passed, not before", async () => {
  const { syncOn, left, backUp } = await setting();
  await syncOn(29);
  deepEqual(await left(), { jobs: 1, photo: true }, "no backup");
  backUp();
  await syncOn(29.9);
  equal((await left()).jobs, 1, "not 30 days");
  await syncOn(30.1);
  deepEqual(await left(), { jobs: 0, photo: false });
});

test("a stopped job is closed too; an open one never leaves", async () => {
  for (const [close, jobs] of [["job-stopped", 0], [null, 1]]) {
    const { syncOn, left, backUp } = await setting(close);
    backUp();
    await syncOn(400);
    equal((await left()).jobs, jobs, String(close));
  }
});

test("a job whose fasteners are to be rechecked by a day stays until 30 days after it, or until somebody did it",
    async () => {
  const { phone, job, syncOn, left, backUp } = await setting();
  const recheck = { distance: null, day: "2026-04-11", source: "common-practice", page: "" }; // day 40
  const asked = await phone.save(fieldSet(job, "finish.recheck-after", { recheck }));
  await syncOn(0);
  backUp();
  await syncOn(69);
  equal((await left()).jobs, 1);
  await phone.save(fieldSet(job, "finish.recheck-done", { recheck_of: [asked.id], by: "Ada Lind", day: "2026-05-10" }));
  await syncOn(69);
  backUp();
  await syncOn(69.5);
  equal((await left()).jobs, 1, "what was done is not 30 days old");
  await syncOn(99.5);
  equal((await left()).jobs, 0);
});

test("without a backup a job stays for ever; its photo's bytes may go after 30 days on the server", async () => {
  const { syncOn, left } = await setting();
  await syncOn(400);
  deepEqual(await left(), { jobs: 1, photo: false });
});

test("the phone's own clock lets nothing go", async () => {
  const { phone, parts, left, backUp, syncOn } = await setting();
  backUp();
  await syncOn(1);
  parts.clock.ms += 4000 * DAY_MS;
  deepEqual(await phone.prune(), { jobs: 0, photos: 0 });
  equal((await left()).jobs, 1);
});

test("while the server's clock is years ahead nothing leaves, nor when it is set right", async () => {
  const { server, parts, phone, left, backUp, syncOn } = await setting();
  backUp();
  await syncOn(1);
  const sync = (day) => { server.time = new Date(START_MS + day * DAY_MS).toISOString();
    return new Sync(phone, syncParts(server, parts.clock)).now(); };
  for (const day of [3650, 3651, 2, 3]) {
    await sync(day);
    equal((await left()).jobs, 1, `day ${day}`);
  }
  await syncOn(31);
  equal((await left()).jobs, 0);
});

test("a server that tells no lines lets nothing leave", async () => {
  const { server, syncOn, left, backUp } = await setting();
  backUp();
  await syncOn(1);
  server.knowsLines = false;
  await syncOn(60);
  equal((await left()).jobs, 1);
  server.knowsLines = true;
  await syncOn(61);
  equal((await left()).jobs, 0);
});

test("without the lines that came with its newest entries nothing leaves", async () => {
  const { phone, job, syncOn, left, backUp, parts } = await setting();
  backUp();
  const lines = await phone.lines();
  const take = lines.jobs.take;
  lines.jobs.take = () => Promise.reject(new Error("no lines today"));
  await phone.save(fieldSet(job, "vehicle.odometer", 7)); // its line is newer than the one that is here
  await syncOn(1);
  lines.jobs.take = take;
  parts.clock.ms = START_MS + 60 * DAY_MS;
  await parts.database.write(["state"],
    async (t) => t.put("state", { ...(await t.get("state", "cursor")), server_time: parts.clock.ms }));
  equal((await phone.prune()).jobs, 0);
  equal((await left()).jobs, 1);
});

test("a job that a tab shows stays until it is shown no more", async () => {
  const { phone, job, syncOn, left, backUp } = await setting();
  backUp();
  const release = await phone.holdJob(job);
  await syncOn(60);
  equal((await left()).jobs, 1);
  release();
  await syncOn(61);
  equal((await left()).jobs, 0);
});

test("where the browser has no locks nobody knows what is shown, and nothing leaves", async () => {
  const { phone, job, syncOn, left, backUp } = await setting("job-signed", { locks: null });
  backUp();
  (await phone.holdJob(job))();
  await syncOn(60);
  equal((await left()).jobs, 1);
});

test("a job of another phone leaves as soon as it is closed and in a backup, and is a line for a month", async () => {
  const { server, job, phone: maker, backUp, syncOn } = await setting(null);
  const parts = phoneParts({ seed: 5 });
  const phone = await openPhone(parts);
  const lines = async () => (await (await phone.lines()).jobs.all()).map(({ state }) => state);
  const meet = async (day) => {
    parts.clock.ms = START_MS + day * DAY_MS;
    server.time = new Date(parts.clock.ms).toISOString();
    await new Sync(phone, syncParts(server, parts.clock)).now();
    return [await phone.isHere(job), ...(await lines())];
  };
  deepEqual(await meet(1), [true, "open"]);
  await maker.save({ job, kind: "job-signed", slot: null, after: [], body: { covers: [] }, by: "Ada Lind" });
  await syncOn(2);
  deepEqual(await meet(3), [true, "signed"]);
  backUp();
  deepEqual(await meet(4), [false, "signed"]);
  deepEqual(await meet(40), [false]);
});

test("nothing can be saved into a job that has left, and what was typed is kept aside", async () => {
  const { phone, job, syncOn, backUp } = await setting();
  backUp();
  await syncOn(60);
  equal(await phone.isHere(job), false);
  const failed = await rejects(phone.save(fieldSet(job, "vehicle.odometer", 7)));
  deepEqual([failed.code, phone.rescued().map(({ slot }) => slot), phone.health.ok],
    ["job-not-here", ["vehicle.odometer"], true]);
  equal((await phone.entries(job)).length, 0);
});

test("an entry that waits, or was refused, keeps its whole job", async () => {
  const { phone, job, server, syncOn, left, backUp } = await setting();
  backUp();
  const late = await phone.save(fieldSet(job, "vehicle.odometer", 7));
  server.refuses.add(late.id);
  await syncOn(60);
  equal((await left()).jobs, 1);
});

test("entries of another phone count as backed up by the server's word of the whole job", async () => {
  const { phone, job, server, syncOn, left, backUp } = await setting();
  backUp();
  const foreign = { ...(await phone.entries(job))[0], id: phone.newJob(), device: phone.newJob(), n: 1,
    slot: "vehicle.odometer" };
  server.entries.push(foreign);
  await syncOn(60);
  equal((await left()).jobs, 1, "the other phone's entry is in no backup");
  backUp();
  await syncOn(62);
  equal((await left()).jobs, 0);
});

test("a full phone lets go of what it may, and the reading is saved", async () => {
  const factory = new FaultyFactory();
  const { phone, parts, syncOn, left, backUp } = await setting("job-signed", { factory });
  backUp();
  const { server_time: before } = await phone.syncStore.cursor();
  ok(before > 0);
  await syncOn(29); // the server's word of the backup
  const cursorAt = (day) => parts.database.write(["state"], async (t) => {
    t.put("state", { ...(await t.get("state", "cursor")), server_time: START_MS + day * DAY_MS });
  });
  await cursorAt(31);
  parts.clock.ms = START_MS + 31 * DAY_MS;
  factory.faults = ["quota"];
  const entry = await phone.save(fieldSet(phone.newJob(), "vehicle.vin", "y"));
  equal(factory.faults.length, 0);
  deepEqual((await phone.jobs()).map((each) => each.job), [entry.job]);
  equal((await left()).photo, false);
});
