// A pairing that the shop has ended: what it has and has backed up leaves the phone, and nothing else does.

import { openPhone } from "/js/store/phone.js";
import { Sync } from "/js/sync/sync.js";
import { deepEqual, equal, test } from "./harness.js";
import { fieldSet, phoneParts, photoTaken } from "./store-parts.js";
import { json, problem, SmallServer, syncParts } from "./sync-parts.js";

const DAY_MS = 24 * 3600 * 1000;
const START_MS = Date.UTC(2026, 2, 2, 9);

/** A phone with an open job (a field, a photo) that is synced and in a backup, and what ends its pairing. */
async function setting() {
  const parts = phoneParts();
  const phone = await openPhone(parts);
  const server = new SmallServer();
  const add = async () => {
    const job = phone.newJob();
    await phone.save(fieldSet(job, "vehicle.registration", "TM 1"));
    return job;
  };
  const job = await add();
  const { body: { sha256 } } = await phone.save(await photoTaken(job, new Uint8Array([1, 2, 3]).buffer));
  const syncOn = async (day) => {
    server.time = new Date(START_MS + day * DAY_MS).toISOString();
    const sync = new Sync(phone, syncParts(server, parts.clock));
    await sync.now();
    return sync.state;
  };
  const end = () => { server.meddle = () => problem(401, "pairing-ended"); };
  await syncOn(0);
  return { phone, server, job, sha256, add, syncOn, end, clock: parts.clock };
}

test("what is sent and backed up goes at the next contact, open or not, and it is said", async () => {
  const { phone, server, job, sha256, syncOn, end } = await setting();
  await phone.save(fieldSet(job, "vehicle.vin", "a later sync")); // a backup that has it has the photo too
  await syncOn(1);
  server.backedUp = server.entries.length;
  await syncOn(3);
  end();
  const state = await syncOn(3);
  deepEqual([state.status, state.text], ["not-paired", "sync.pairing-ended"]);
  deepEqual([await phone.jobIds(), await phone.photo(sha256)], [[], null]);
  server.meddle = () => undefined; // paired again
  await syncOn(4);
  equal((await phone.jobIds()).length, 1, "it is pulled from the beginning");
});

test("what is in no backup stays", async () => {
  const { phone, job, sha256, syncOn, end } = await setting();
  await syncOn(2);
  end();
  await syncOn(2);
  deepEqual([await phone.jobIds(), (await phone.photo(sha256)) !== null], [[job], true]);
});

test("a job with anything unsent or refused stays whole, and goes once the shop has it", async () => {
  const { phone, server, job, add, syncOn, end } = await setting();
  server.backedUp = server.entries.length;
  await syncOn(2);
  const bad = await phone.save(fieldSet(await add(), "vehicle.vin", "refused"));
  server.refuses.add(bad.id);
  await syncOn(2);
  server.backedUp = server.entries.length;
  await syncOn(4);
  await phone.save(fieldSet(job, "vehicle.vin", "not sent"));
  end();
  await syncOn(4);
  deepEqual((await phone.jobIds()).sort(), [job, bad.job].sort());
  equal((await phone.entries(job)).length, 3);
  deepEqual([(await phone.unsent()).entries, (await phone.refused()).length], [1, 1]);
});

test("a job that somebody has worked on within the day and not closed stays: a wheel may be off", async () => {
  const { phone, server, job, syncOn, end } = await setting();
  server.backedUp = server.entries.length;
  await syncOn(0.5);
  end();
  await syncOn(0.5);
  deepEqual(await phone.jobIds(), [job]);
});

// vehicle_digest("epoch-1", "registration", ...) in server/api/fittings.py
const DIGEST_OF = { "TM 1": "b31c8662bfec42c50cab24cba358e8c3", "QX41 LTM": "8ccf6d10687962be556339b92cc80397" };
const fitting = (job, at, plate) =>
  ({ job, at, keys: [DIGEST_OF[plate]], left: { ring_set: "demo-54", pair: [12, 31] }, right: null,
    day: "2026-02-01" });
const SAID = {
  "/api/types": { format: 1, check_months: 9,
    types: [{ id: "a", revision: 1, state: "accepted",
      type: { make: "Marrow", model: "Vale", years: [null, null], axle: "rear", parts: {} } }] },
  "/api/people": { format: 1, people: [{ id: "1", name: "Jonah Brask", code: null }] },
  "/api/rings-at-hand": { format: 1, places: [{ id: "van", name: "Van 2" }],
    counts: [{ place: "van", ring_set: "demo-54", pairs: 1 }] },
  "/api/rechecks": { format: 1, rechecks: [{ entry: "e", job: "z", registration: "TM 9" }], more: false },
  "/api/fittings?epoch=&at=0": { fittings: [fitting("x", 1, "TM 1"), fitting("y", 2, "QX41 LTM")],
    next: { epoch: "epoch-1", at: 2 }, more: false },
};

/** What the phone knows of the shop beyond jobs. */
async function remembered(phone) {
  const lines = await phone.lines();
  const fitted = await Promise.all(Object.keys(DIGEST_OF)
    .map((registration) => lines.fittingsOf({ registration, vin: "" })));
  const { state, months } = await phone.typeNow({ type: "a", revision: 1 });
  return {
    types: (await phone.typeRows()).length, state, months, tag: await phone.typesTag(),
    people: (await phone.setting("people")) ?? [], place: (await phone.setting("rings_place")) ?? "",
    atHand: await lines.list("at-hand"), rechecks: (await lines.list("rechecks"))?.rechecks.length ?? null,
    fitted: fitted.map((rows) => rows.map(({ job }) => job)),
  };
}

/** A phone as above whose shop remembers. */
async function remembering() {
  const made = await setting();
  const answer = (path) => (SAID[path] ? json(SAID[path]) : undefined);
  made.server.meddle = answer;
  made.clock.ms += 300_000; // such lists are asked for now and then
  await made.syncOn(0);
  await made.phone.keepOwnType({ id: "own", job: made.job,
    type: { make: "Moor", model: "Own", years: [null, null], axle: "rear", parts: {} } });
  await made.phone.setSetting("rings_place", "van");
  return { ...made, pairAgain: () => { made.server.meddle = answer; } };
}

const NOTHING = { types: 0, state: "unknown", months: 12, tag: null, people: [], place: "", atHand: null,
  rechecks: null };

test("types, people, counts and history of the shop go with the pairing, and come at once with another", async () => {
  const { phone, server, job, syncOn, end, pairAgain } = await remembering();
  await phone.save(fieldSet(job, "vehicle.vin", "a later sync"));
  await syncOn(1);
  server.backedUp = server.entries.length;
  await syncOn(3);
  const before = await remembered(phone);
  deepEqual([before.types, before.state, before.people.length, before.place, before.atHand.places.length,
    before.rechecks, before.fitted], [2, "accepted", 1, "van", 1, 1, [["x"], ["y"]]]);
  end();
  await syncOn(3);
  deepEqual(await remembered(phone), { ...NOTHING, fitted: [[], []] });
  pairAgain();
  await syncOn(3);
  const after = await remembered(phone);
  deepEqual([after.types, after.state, after.people.length, after.atHand.places.length, after.rechecks, after.fitted],
    [1, "accepted", 1, 1, 1, [["x"], ["y"]]]);
});

test("a job that stays open keeps what it took and the warning of rings in its own vehicle; all else of the shop goes",
    async () => {
  const { phone, job, syncOn, end, pairAgain } = await remembering();
  const type = await phone.save({ ...fieldSet(job, "vehicle.sensor", "none"),
    body: { value: "none", from: { type: "a", revision: 1 } } });
  end();
  await syncOn(0);
  deepEqual(await remembered(phone), { ...NOTHING, fitted: [["x"], []] });
  deepEqual((await phone.entries(job)).find(({ id }) => id === type.id).body,
    { value: "none", from: { type: "a", revision: 1 } });
  await syncOn(0);
  deepEqual((await remembered(phone)).fitted, [["x"], []], "the next try changes nothing");
  pairAgain();
  SAID["/api/fittings?epoch=epoch-1&at=0"] = SAID["/api/fittings?epoch=&at=0"];
  await syncOn(0);
  deepEqual((await remembered(phone)).fitted, [["x"], ["y"]], "fittings come from the beginning");
});
