// A disk that failed under a write: Chromium's log may end in half a record, so a new one is begun before anything else
// is written. That this saves the database is shown on a real full disk: tests/faults/test_full_disk.py.

import { LOCAL, STORE } from "/js/store/names.js";
import { openPhone } from "/js/store/phone.js";
import { FaultyFactory, NO_SPACE } from "./faulty-database.js";
import { deepEqual, equal, ok, rejects, test } from "./harness.js";
import { fieldSet, phoneParts, SmallStorage } from "./store-parts.js";

const MORE_THAN_THE_BUFFER = 4.5 * 1024 * 1024;

async function setting(parts = {}) {
  const factory = new FaultyFactory();
  const all = { factory, ...phoneParts({ factory, ...parts }) };
  const phone = await openPhone(all);
  return { ...all, phone, job: phone.newJob() };
}

/** How many characters of padding each later transaction puts, until `stop` is called. */
function watchPadding() {
  const { put } = IDBObjectStore.prototype;
  const seen = { padded: 0, first: null };
  IDBObjectStore.prototype.put = function watched(record) {
    seen.first ??= this.name;
    if (this.name === STORE.DRAFTS && String(record.key).startsWith("padding.")) seen.padded += record.value.length;
    return put.call(this, record);
  };
  return { seen, stop: () => { IDBObjectStore.prototype.put = put; } };
}

/** Runs `body` and says what of padding was put meanwhile, and what came first. */
async function padding(body) {
  const { seen, stop } = watchPadding();
  await Promise.resolve(body()).finally(stop);
  return seen;
}

test("a full disk is said as such, and the next write begins a new log first", async () => {
  const { factory, phone, job, localStorage, database } = await setting();
  factory.faults = [NO_SPACE, NO_SPACE];
  await rejects(phone.save(fieldSet(job, "vehicle.vin", "x")), { name: "SaveFailed", code: "store-full" });
  equal(factory.faults.length, 0, "neither the value nor a new log");
  deepEqual(phone.health, { ok: false, code: "store-full" });
  const { padded, first } = await padding(() => phone.save(fieldSet(job, "vehicle.vin", "x")));
  ok(first === STORE.DRAFTS && padded > MORE_THAN_THE_BUFFER, `${padded} characters, first in ${first}`);
  deepEqual(phone.health, { ok: true });
  deepEqual(await database.read([STORE.DRAFTS], (t) => t.all(STORE.DRAFTS)), [], "the padding is gone");
  equal(localStorage.getItem(LOCAL.TORN_LOG), null);
  equal((await padding(() => phone.save(fieldSet(job, "vehicle.vin", "y")))).padded, 0, "once is enough");
});

test("after a start, and in another tab, it is known too", async () => {
  const { factory, phone, job, name, localStorage } = await setting();
  const other = await openPhone(phoneParts({ name, seed: 5, localStorage }));
  factory.faults = [NO_SPACE, NO_SPACE];
  await rejects(phone.save(fieldSet(job, "vehicle.vin", "x")));
  ok((await padding(() => other.save(fieldSet(other.newJob(), "vehicle.vin", "x")))).padded > MORE_THAN_THE_BUFFER);
  factory.faults = [NO_SPACE, NO_SPACE];
  await rejects(phone.save(fieldSet(job, "vehicle.vin", "y")));
  ok((await padding(() => openPhone(phoneParts({ name, seed: 6, localStorage })))).padded > MORE_THAN_THE_BUFFER);
});

test("a witness that lags or is gone says that not all has reached the disk: a new log before the first write",
    async () => {
  for (const change of [
    (witness) => ({ ...witness, n: 1 }),
    () => null,
    (witness) => witness,
  ]) {
    const { phone, job, name, localStorage } = await setting();
    for (const value of ["x", "y"]) await phone.save(fieldSet(job, "vehicle.vin", value));
    const before = JSON.parse(localStorage.getItem(LOCAL.STORED_JOBS));
    const later = new SmallStorage();
    const witness = change(before);
    if (witness) later.setItem(LOCAL.STORED_JOBS, JSON.stringify(witness));
    const { padded } = await padding(() => openPhone(phoneParts({ name, seed: 7, localStorage: later })));
    equal(padded > 0, witness?.n !== before.n);
  }
});

test("without room for a new log the database is not opened, and is again as soon as there is some", async () => {
  let isRoom = true;
  const full = { open: async () => ({
    keys: async () => [], delete: async () => true,
    put: async () => { if (!isRoom) throw new DOMException("Unexpected internal error.", "UnknownError"); },
  }) };
  const { factory, phone, job, localStorage, database } = await setting({ caches: full });
  const opened = factory.opens;
  localStorage.setItem(LOCAL.TORN_LOG, "1");
  database.close();
  isRoom = false;
  await rejects(phone.entries(job), { code: "store-full" });
  deepEqual(await phone.check(), { ok: false, code: "store-full" });
  equal(factory.opens, opened);
  isRoom = true;
  const { now } = performance;
  performance.now = () => now.call(performance) + 6000; // it is not tried all the time
  await phone.save(fieldSet(job, "vehicle.vin", "x")).finally(() => { performance.now = now; });
  equal(factory.opens, opened + 1);
});
