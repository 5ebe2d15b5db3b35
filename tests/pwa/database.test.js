// The connection to the phone's database: transactions, other tabs, other versions, upgrades.

import "./idb-counts.js";
import { Database } from "/js/store/database.js";
import { STORE } from "/js/store/names.js";
import { openPhone } from "/js/store/phone.js";
import { DATABASE_VERSION, upgrade } from "/js/store/upgrades.js";
import { deepEqual, equal, fixture, ok, rejects, test } from "./harness.js";
import { fieldSet, freshName, phoneParts } from "./store-parts.js";

const RELEASED = [1, 2];

function opened(name, version, onUpgrade = () => {}) {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name, version);
    request.onupgradeneeded = (event) => onUpgrade(request.result, request.transaction, event.oldVersion);
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

test("a body that awaits something foreign is found out, not believed", async () => {
  const database = new Database({ name: freshName() });
  const foreign = async (t) => {
    t.put(STORE.SETTINGS, { name: "a", value: 1 });
    await new Promise((resolve) => setTimeout(resolve, 50));
    return "done";
  };
  await rejects(database.write([STORE.SETTINGS], foreign), /something foreign was awaited/);
});

test("a body that throws leaves nothing behind", async () => {
  const database = new Database({ name: freshName() });
  const broken = (t) => {
    t.put(STORE.OUTBOX, { id: "a" });
    throw new TypeError("broken");
  };
  await rejects(database.write([STORE.OUTBOX, STORE.ENTRIES], broken), { name: "TypeError" });
  deepEqual(await database.read([STORE.OUTBOX], (t) => t.all(STORE.OUTBOX)), []);
});

test("a newer program in another tab may upgrade; this one then says to reload", async () => {
  const parts = phoneParts();
  const phone = await openPhone(parts);
  const job = phone.newJob();
  await phone.save(fieldSet(job, "vehicle.vin", "x"));
  const newer = await opened(parts.name, DATABASE_VERSION + 1);
  await rejects(phone.save(fieldSet(job, "vehicle.vin", "y")), { code: "store-newer" });
  deepEqual(phone.rescued().map((kept) => kept.body.value), ["y"]);
  newer.close();
});

test("an upgrade that another tab blocks says so", async () => {
  const blocked = { open: () => { const request = {}; setTimeout(() => request.onblocked()); return request; } };
  const parts = phoneParts({ factory: blocked, limits: { openMs: 60, transactionMs: 60 } });
  deepEqual((await openPhone(parts)).health, { ok: false, code: "store-blocked" });
});

test("a connection that the browser closes is opened again", async () => {
  const parts = phoneParts();
  const phone = await openPhone(parts);
  parts.database.close();
  equal((await phone.save(fieldSet(phone.newJob(), "vehicle.vin", "x"))).n, 1);
});

for (const version of RELEASED) {
  test(`a database of released version ${version} keeps its unsent entries`, async () => {
    const recorded = await fixture(`databases/v${version}.json`);
    const parts = phoneParts();
    await restore(parts.name, version, recorded);
    const phone = await openPhone(parts);
    deepEqual(phone.health, { ok: true });
    deepEqual(await phone.unsent(), recorded.unsent);
    const [{ job, unsent, state, changed_ms: changedMs }, ...others] = await phone.jobs();
    deepEqual([unsent, state, new Date(changedMs).toISOString()], [10, "open", "2026-03-02T08:00:09.000Z"]);
    deepEqual(others, [], "each job has its summary");
    deepEqual(await phone.jobIds(), [job]);
    equal((await phone.save(fieldSet(job, "vehicle.vin", "x"))).n, 11, "the counter goes on");
  });
}

test("a database of version 1 is looked through once for the tables of its plans", async () => {
  const recorded = await fixture("databases/v1.json");
  const [record] = recorded.records.entries;
  const plan = { ...record, id: "11111111-1111-4111-8111-111111111111",
    entry: { ...record.entry, kind: "plan-chosen", body: { tables: { "demo-54": "a".repeat(64) } } } };
  const parts = phoneParts();
  await restore(parts.name, 1, { ...recorded,
    records: { ...recorded.records, entries: [...recorded.records.entries, plan] } });
  const phone = await openPhone(parts);
  deepEqual(await phone.syncStore.tablesOfPlans(), ["a".repeat(64)]);
  const before = globalThis.idbCounts.now();
  await phone.save({ ...fieldSet(plan.job, "round.1.plan", null), kind: "plan-chosen",
    body: { tables: { "demo-66": "b".repeat(64), "demo-54": "a".repeat(64) } } });
  deepEqual(await phone.syncStore.tablesOfPlans(), ["a".repeat(64), "b".repeat(64)]);
  equal(globalThis.idbCounts.since(before).entries, 1, "what was saved is read back, and no entry beside it");
});

test("the newest recorded database has the stores that this program makes", async () => {
  equal(RELEASED.at(-1), DATABASE_VERSION, "record a database of the new version: fixtures/databases");
  const recorded = await fixture(`databases/v${DATABASE_VERSION}.json`);
  const database = await opened(freshName(), DATABASE_VERSION, upgrade);
  deepEqual(storesOf(database), recorded.stores);
  database.close();
});

test("an upgrade that breaks half-way leaves the older version whole", async () => {
  const name = freshName();
  const recorded = await fixture("databases/v1.json");
  await restore(name, 1, recorded);
  const broken = [() => {}, (database) => { database.createObjectStore("more"); throw new Error("power lost"); }];
  await rejects(opened(name, 2, (database, transaction, old) => {
    try {
      upgrade(database, transaction, old, broken);
    } catch {
      transaction.abort();
    }
  }), { name: "AbortError" });
  const database = await opened(name, 1);
  deepEqual(storesOf(database), recorded.stores);
  database.close();
  deepEqual(await (await openPhone(phoneParts({ name }))).unsent(), recorded.unsent);
});

test("upgrades run every step from the older version on, in order", async () => {
  const run = [];
  upgrade(null, null, 1, [0, 1, 2].map((step) => () => run.push(step)));
  deepEqual(run, [1, 2]);
});

async function restore(name, version, recorded) {
  const database = await opened(name, version, (fresh) => {
    for (const { store, key, indexes } of recorded.stores) {
      const made = fresh.createObjectStore(store, { keyPath: key });
      for (const [index, path] of indexes) made.createIndex(index, path);
    }
  });
  const transaction = database.transaction([...database.objectStoreNames], "readwrite");
  for (const [store, records] of Object.entries(recorded.records)) {
    for (const record of records) transaction.objectStore(store).put(withBytes(record));
  }
  await new Promise((resolve) => { transaction.oncomplete = resolve; });
  database.close();
}

/** JSON has no bytes: {"bytes": {"base64": "..."}} stands for an ArrayBuffer. */
function withBytes(record) {
  if (!record.bytes?.base64) return record;
  return { ...record, bytes: Uint8Array.from(atob(record.bytes.base64), (character) => character.charCodeAt(0))
    .buffer };
}

function storesOf(database) {
  const transaction = database.transaction([...database.objectStoreNames]);
  return [...database.objectStoreNames].map((store) => {
    const { keyPath, indexNames } = transaction.objectStore(store);
    return { store, key: keyPath,
      indexes: [...indexNames].map((index) => [index, transaction.objectStore(store).index(index).keyPath]) };
  });
}
