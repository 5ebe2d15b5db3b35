// Storage that fails: what was said to be saved is there for a fresh connection, and what failed says so.

import { Database } from "/js/store/database.js";
import { STORE } from "/js/store/names.js";
import { openPhone } from "/js/store/phone.js";
import { FaultyFactory, OPEN_FAULTS, TRANSACTION_FAULTS } from "./faulty-database.js";
import { deepEqual, equal, ok, rejects, test } from "./harness.js";
import { fieldSet, phoneParts, photoTaken, seededRandom } from "./store-parts.js";

const LIMITS = { openMs: 500, transactionMs: 500 }; // the store of a busy machine must not pass for one that fails

/** A phone on a database that will fail as `factory.faults` says, and what a fresh connection sees. */
async function setting(more = {}) {
  const factory = new FaultyFactory();
  const parts = phoneParts({ factory, limits: LIMITS, ...more });
  const phone = await openPhone(parts);
  const fresh = new Database({ name: parts.name });
  const all = (store) => fresh.read([store], (t) => t.all(store));
  return { factory, parts, phone, all, job: phone.newJob() };
}

/** The rules that hold whatever happened: every entry waits to be sent, numbers run without gap or repeat. */
async function checkWhole(all) {
  const records = await all(STORE.ENTRIES);
  const rows = await all(STORE.OUTBOX);
  deepEqual(records.map((record) => record.id).sort(), rows.map((row) => row.id).sort(), "outbox");
  const numbers = records.map((record) => record.entry.n).sort((a, b) => a - b);
  deepEqual(numbers, numbers.map((_, k) => k + 1), "numbers");
  const photos = (await all(STORE.PHOTOS)).map((photo) => photo.sha256);
  const named = records.filter((record) => record.entry.kind === "photo-attached")
    .map((record) => record.entry.body.sha256);
  deepEqual(photos.sort(), [...new Set(named)].sort(), "photos");
  return new Map(records.map((record) => [record.id, record.entry]));
}

test("saved means that a fresh connection reads it back, whatever fails, and a failure is told", async () => {
  const random = seededRandom(20260302);
  const draw = (list) => list[random(1)[0] % list.length];
  const kinds = [...TRANSACTION_FAULTS.filter((kind) => kind !== "deaf"), null, null, "open-error", "open-throws"];
  let saved = 0;
  let refused = 0;
  for (let round = 0; round < 40; round += 1) {
    const { factory, phone, all, job } = await setting({ seed: round });
    for (let k = 0; k < 4; k += 1) {
      factory.faults = Array.from({ length: 1 + (random(1)[0] % 4) }, () => draw(kinds));
      const content = k === 3 ? await photoTaken(job, random(8).buffer) : fieldSet(job, `vehicle.field-${k}`, round);
      const outcome = await phone.save(content).then((entry) => ({ entry }), (error) => ({ error }));
      factory.faults = [];
      const there = await checkWhole(all);
      if (outcome.entry) deepEqual(there.get(outcome.entry.id), outcome.entry, "said to be saved");
      else equal(outcome.error.name, "SaveFailed");
      outcome.entry ? (saved += 1) : (refused += 1);
    }
  }
  ok(saved > 20 && refused > 20, `${saved} saved, ${refused} refused: both must have been tried`);
});

for (const fault of TRANSACTION_FAULTS.filter((kind) => !["quota", "false-complete"].includes(kind))) {
  test(`once ${fault}: the whole transaction is run again and the entry is saved once`, async () => {
    const { factory, phone, all, job } = await setting();
    factory.faults = [fault];
    const entry = await phone.save(fieldSet(job, "vehicle.vin", "x"));
    equal(factory.faults.length, 0, "the fault has struck");
    deepEqual((await checkWhole(all)).get(entry.id), entry);
  });

  test(`three times ${fault}: not saved, and it says so`, async () => {
    const { factory, phone, all, job } = await setting();
    factory.faults = [fault, fault, fault];
    const reached = ["deaf", "lost-ack"].includes(fault); // the first attempt is on the disk and the second finds it
    if (reached) factory.faults = [fault, "transaction-throws", "transaction-throws"];
    await rejects(phone.save(fieldSet(job, "vehicle.vin", "typed")),
      { name: "SaveFailed", code: "store-cannot-write" });
    deepEqual(phone.rescued().map((kept) => kept.body.value), ["typed"]);
    equal((await checkWhole(all)).size, reached ? 1 : 0);
    equal((await phone.save(fieldSet(job, "vehicle.vin", "typed"))).n, reached ? 2 : 1, "the next save works");
    deepEqual(phone.rescued(), []);
  });
}

test("entries that belong together are there together, in one transaction, or not at all", async () => {
  const { factory, phone, all, job } = await setting();
  const pair = [fieldSet(job, "vehicle.load", "empty"), fieldSet(job, "base.thrust.1", null)];
  for (const fault of TRANSACTION_FAULTS.filter((kind) => !["deaf", "lost-ack"].includes(kind))) {
    factory.faults = [fault, fault, fault];
    await rejects(phone.saveTogether(pair), { name: "SaveFailed" });
    factory.faults = [];
    equal((await checkWhole(all)).size, 0, fault);
    deepEqual(phone.rescued().map(({ slot }) => slot), ["vehicle.load", "base.thrust.1"], fault);
  }
  deepEqual((await phone.saveTogether(pair)).map(({ slot, n }) => [slot, n]),
    [["vehicle.load", 1], ["base.thrust.1", 2]]);
  deepEqual([(await checkWhole(all)).size, phone.rescued()], [2, []]);
});

test("a commit that only says so is found out by reading back", async () => {
  const { factory, phone, all, job } = await setting();
  factory.faults = ["false-complete"];
  await rejects(phone.save(fieldSet(job, "vehicle.vin", "x")), { code: "store-cannot-write" });
  equal((await checkWhole(all)).size, 0);
});

for (const fault of OPEN_FAULTS) {
  test(`${fault}: it says so within its time, computes on, and heals`, async () => {
    const factory = new FaultyFactory();
    factory.faults = [fault, fault];
    const phone = await openPhone(phoneParts({ factory, limits: LIMITS }));
    deepEqual(phone.health, { ok: false, code: "store-cannot-open" });
    await rejects(phone.save(fieldSet(phone.newJob(), "vehicle.vin", "x")), { code: "store-cannot-open" });
    deepEqual(await phone.check(), { ok: true });
    equal((await phone.save(fieldSet(phone.newJob(), "vehicle.vin", "x"))).n, 1);
  });
}

test("a connection that died in the background is replaced, for reading and for writing", async () => {
  const { factory, phone, all, job } = await setting();
  await phone.save(fieldSet(job, "vehicle.vin", "x"));
  factory.killConnections();
  equal((await phone.entries(job)).length, 1);
  factory.killConnections();
  await phone.save(fieldSet(job, "vehicle.odometer", 1));
  equal((await checkWhole(all)).size, 2);
});

test("the export of a dead database holds what could not be saved, and says that it is not whole", async () => {
  const factory = new FaultyFactory();
  factory.faults = ["open-error", "open-error", "open-error", "open-error"];
  const phone = await openPhone(phoneParts({ factory, limits: LIMITS }));
  await rejects(phone.exportUnsent(), { code: "store-cannot-open" });
  await rejects(phone.save(fieldSet(phone.newJob(), "vehicle.vin", "typed")));
  const file = JSON.parse(await (await phone.exportUnsent()).text());
  deepEqual([file.whole, file.rescued.map((kept) => kept.body.value), file.entries], [false, ["typed"], []]);
});

test("every transaction that writes asks for strict durability", async () => {
  const { factory, phone, job } = await setting();
  await phone.save(fieldSet(job, "vehicle.vin", "x"));
  await phone.save(await photoTaken(job, new Uint8Array([1]).buffer));
  await phone.syncStore.outgoing();
  for (const limit = performance.now() + 10_000; factory.written.length < 4 && performance.now() < limit;) {
    await new Promise((resolve) => setTimeout(resolve, 5)); // what is tidied up after a save is not waited for by it
  }
  ok(factory.written.length >= 4);
  for (const { durability } of factory.written) equal(durability, "strict");
});

test("no room: a reading says that the phone is full, a photo that readings are safe", async () => {
  const { factory, phone, all, job } = await setting();
  factory.faults = ["quota"];
  await rejects(phone.save(fieldSet(job, "vehicle.vin", "x")), { code: "store-full" });
  factory.faults = ["quota"];
  await rejects(phone.save(await photoTaken(job, new Uint8Array([1]).buffer)), { code: "photo-no-room" });
  await phone.save(fieldSet(job, "vehicle.vin", "x"));
  equal((await checkWhole(all)).size, 1);
});

test("photos leave room for readings", async () => {
  const storageManager = { estimate: async () => ({ quota: 50_000_000, usage: 45_000_000 }),
    persisted: async () => true };
  const { phone, all, job } = await setting({ storageManager });
  await rejects(phone.save(await photoTaken(job, new Uint8Array([1]).buffer)), { code: "photo-no-room" });
  await phone.save(fieldSet(job, "vehicle.vin", "x"));
  equal((await checkWhole(all)).size, 1);
});

test("the browser is asked to keep the storage after the first save and whenever told to, and what it says is known",
    async () => {
  for (const [storageManager, before, after] of [
    [{ persisted: async () => true, persist: async () => { throw new Error("asked in vain"); } },
      "persisted", "persisted"],
    [{ persisted: async () => false, persist: async () => true }, "not-persisted", "persisted"],
    [{ persisted: async () => false, persist: async () => false }, "not-persisted", "not-persisted"],
    [{ persisted: async () => { throw new Error("no"); }, persist: async () => true }, "unknown", "unknown"],
    // nobody answers
    [{ persisted: async () => false, persist: () => new Promise(() => {}) }, "not-persisted", "not-persisted"],
    [null, "unknown", "unknown"],
  ]) {
    const { phone, job } = await setting({ storageManager });
    equal(phone.persistence, before);
    const heard = [];
    phone.onChange(({ jobs }) => heard.push(jobs.length));
    await phone.save(fieldSet(job, "vehicle.vin", "x"));
    await new Promise((resolve) => setTimeout(resolve, 5));
    deepEqual([phone.persistence, phone.isKept], [after, after === "persisted"]);
    deepEqual(heard.filter((count) => count === 0).length, before === after ? 0 : 1, "told once");
  }
  let asked = 0;
  const phone = await openPhone(
    phoneParts({ storageManager: { persisted: async () => false,
      persist: async () => { asked += 1; return asked === 2; } } }));
  deepEqual([await phone.askToKeep(), await phone.askToKeep()], [false, true]);
});
