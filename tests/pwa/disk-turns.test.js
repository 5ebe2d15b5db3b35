// One at a time: who writes, and who takes room on the disk to see whether there is some. None of them waits for ever.

import { LOCAL } from "/js/store/names.js";
import { openPhone, Phone } from "/js/store/phone.js";
import { FaultyFactory, NO_SPACE } from "./faulty-database.js";
import { deepEqual, equal, ok, rejects, test } from "./harness.js";
import { smallDisk } from "./small-disk.js";
import { fieldSet, phoneParts } from "./store-parts.js";

const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/** On a disk that is slow what is done beside each other meets. */
const slowDisk = (pieces, onTake) => smallDisk(pieces, { putMs: 2, deleteMs: 1, onTake });

/** Runs `body` with how many transactions that write are under way. */
async function countingWrites(body) {
  const { transaction } = IDBDatabase.prototype;
  const writing = new Set();
  IDBDatabase.prototype.transaction = function counted(...args) {
    const made = transaction.apply(this, args);
    if (made.mode === "readwrite") {
      writing.add(made);
      for (const end of ["complete", "abort"]) made.addEventListener(end, () => writing.delete(made));
    }
    return made;
  };
  try {
    return await body(writing);
  } finally {
    IDBDatabase.prototype.transaction = transaction;
  }
}

/** Runs `body` where whoever waits for ten seconds waits for a hundredth of that. */
async function inHaste(body) {
  const { setTimeout: wait } = globalThis;
  globalThis.setTimeout = (act, ms, ...args) => wait(act, ms >= 10_000 ? ms / 100 : ms, ...args);
  try {
    return await body();
  } finally {
    globalThis.setTimeout = wait;
  }
}

test("no room is taken while something is written, not even for the reserve that the write has just given up",
    async () => {
  await countingWrites(async (writing) => {
    let during = 0;
    const disk = slowDisk(40, () => { during += writing.size; });
    const phone = await openPhone({ ...phoneParts(), caches: disk.caches });
    const other = new Phone({ ...phoneParts({ seed: 5 }), caches: disk.caches });
    const job = phone.newJob();
    await phone.keepReserve();
    phone.onChange(() => { phone.check(); }); // as the first screen does when it hears that there is no room
    disk.left = 0;
    for (let n = 0; n < 8; n += 1) {
      await Promise.all([phone.save(fieldSet(job, "vehicle.vin", `${n}`)), other.setSetting("theme", `${n}`),
        phone.keepReserve()]);
      await pause(110); // until room that was seen is not trusted any more
    }
    equal(during, 0, "pieces taken while a transaction was under way");
    equal((await phone.entries(job)).length, 8);
  });
});

test("a reserve that leaves no room for the next write is given back", async () => {
  const disk = slowDisk(12);
  const phone = await openPhone({ ...phoneParts(), caches: disk.caches });
  await phone.keepReserve();
  deepEqual([phone.isTight, disk.left], [true, 12]);
  disk.left = 13;
  await phone.keepReserve();
  deepEqual([phone.isTight, disk.left], [false, 1]);
});

test("a cache that never answers refuses a save in words, and the next one too", async () => {
  const never = new Promise(() => {});
  const answering = { keys: async () => [], delete: async () => true, put: async () => {} };
  for (const caches of [{ open: () => never }, { open: async () => ({ ...answering, put: () => never }) }]) {
    const factory = new FaultyFactory();
    await inHaste(async () => {
      const phone = await openPhone({ ...phoneParts({ factory }), caches });
      deepEqual(phone.health, { ok: false, code: "store-cannot-write" });
      const content = fieldSet(phone.newJob(), "vehicle.vin", "x");
      for (let n = 0; n < 2; n += 1)
        await rejects(phone.save(content), { name: "SaveFailed", code: "store-cannot-write" });
      await phone.keepReserve();
      equal(phone.isTight, true);
    });
    equal(factory.written.length, 0);
  }
});

test("a tab that was put to sleep while it wrote holds up no other for long", async () => {
  let wake;
  const asleep = new Promise((resolve) => { wake = resolve; });
  const sleeping = navigator.locks.request("tapermark.disk", () => asleep);
  const { timeout } = AbortSignal;
  AbortSignal.timeout = (ms) => timeout.call(AbortSignal, ms / 100);
  try {
    const phone = await openPhone({ ...phoneParts(), caches: slowDisk(40).caches });
    equal((await phone.save(fieldSet(phone.newJob(), "vehicle.vin", "x"))).n, 1);
  } finally {
    AbortSignal.timeout = timeout;
    wake();
    await sleeping;
  }
});

test("on a full disk what the shop told is not taken away: that too is a write into the log of the entries",
    async () => {
  const factory = new FaultyFactory();
  let dropped = 0;
  const drop = factory.deleteDatabase.bind(factory);
  factory.deleteDatabase = (name) => { dropped += 1; return drop(name); };
  const disk = slowDisk(2);
  const phone = await openPhone({ ...phoneParts({ factory }), caches: disk.caches });
  const lines = await phone.lines();
  const page = { fittings: [], next: { epoch: "e", at: 1 } };
  await lines.takeFittings(page);
  disk.left = 0;
  await pause(110);
  await rejects(lines.takeFittings(page), { code: "store-full" });
  await rejects(lines.keepOnly([]), { code: "store-full" });
  equal(dropped, 0);
  disk.left = 2;
  await pause(1010);
  factory.faults = [NO_SPACE];
  await rejects(lines.takeFittings(page), { code: "store-full" }, "no room for a new log");
  equal(dropped, 0);
});

test("a write of what the shop told that the disk broke off is followed by a new log of the entries", async () => {
  const factory = new FaultyFactory();
  const phone = await openPhone({ ...phoneParts({ factory }), caches: slowDisk(40).caches });
  const lines = await phone.lines();
  await lines.takeFittings({ fittings: [], next: { epoch: "e", at: 1 } });
  const before = factory.written.length;
  factory.faults = [NO_SPACE];
  await lines.takeFittings({ fittings: [], next: { epoch: "e", at: 2 } });
  const stores = factory.written.slice(before).map((each) => [each.stores].flat().join());
  deepEqual(stores, ["fittings,state", "drafts", "drafts", "fittings,state"]);
  ok((await lines.position()).at === 2);
});

test("a start that finds the witness behind begins no new log where there is room for a value alone", async () => {
  const factory = new FaultyFactory();
  const parts = phoneParts({ factory });
  const phone = await openPhone(parts);
  const job = phone.newJob();
  for (const value of ["x", "y"]) await phone.save(fieldSet(job, "vehicle.vin", value));
  const witness = JSON.parse(parts.localStorage.getItem(LOCAL.STORED_JOBS));
  // its disk was full when it was to be noted
  parts.localStorage.setItem(LOCAL.STORED_JOBS, JSON.stringify({ ...witness, n: 1 }));
  const before = factory.written.length;
  const { name, localStorage } = parts;
  const later = await openPhone({ ...phoneParts({ factory, name, localStorage, seed: 5 }),
    caches: slowDisk(3).caches });
  deepEqual([later.health, factory.written.length - before], [{ ok: false, code: "store-full" }, 0]);
  equal((await later.entries(job)).length, 2);
});
