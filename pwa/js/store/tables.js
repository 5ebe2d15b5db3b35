// Ring sets and their tables. A table lives under the SHA-256 of its bytes and is kept as the bytes that came.

import { KIND } from "../domain/job/entry.js";
import { INDEX, STATE_KEY, STORE } from "./names.js";
import { sha256Hex } from "./photos.js";
import { StoreError } from "./store-error.js";

const parsedTables = new Map(); // sha256 -> parsed; a table never changes under its name

/** Keeps a table. Rejects StoreError table-damaged if the bytes are not those that the name names. */
export async function keepTable(database, sha256, bytes) {
  if ((await sha256Hex(bytes)) !== sha256) throw new StoreError("table-damaged");
  await database.write([STORE.TABLES], (t) => t.put(STORE.TABLES, { sha256, bytes }));
}

/** Names of the tables on this phone. */
export function tableNames(database) {
  return database.read([STORE.TABLES], (t) => t.keys(STORE.TABLES));
}

/** Notes the tables that plans among these entries were made with, in the transaction that puts them. */
export async function notePlanTables(transaction, entries) {
  const names = planTablesIn(entries);
  if (names.length === 0) return;
  const known = await transaction.get(STORE.STATE, STATE_KEY.PLAN_TABLES);
  transaction.put(STORE.STATE, withNames(known, names));
}

/**
 * Names of the tables that plans on this phone were made with. A database of an older program is looked through once.
 */
export async function planTablesOf(database) {
  const known = await database.read([STORE.STATE], (t) => t.get(STORE.STATE, STATE_KEY.PLAN_TABLES));
  if (known.whole) return known.names;
  const names = new Set();
  for (const job of await database.read([STORE.SUMMARIES], (t) => t.keys(STORE.SUMMARIES))) {
    const records = await database.read([STORE.ENTRIES], (t) => t.allByIndex(STORE.ENTRIES, INDEX.ENTRIES_BY_JOB, job));
    for (const name of planTablesIn(records.map(({ entry }) => entry))) names.add(name);
  }
  return database.write([STORE.STATE], async (t) => {
    const all = { ...withNames(await t.get(STORE.STATE, STATE_KEY.PLAN_TABLES), names), whole: true };
    t.put(STORE.STATE, all);
    return all.names;
  });
}

function planTablesIn(entries) {
  return entries.filter(({ kind }) => kind === KIND.PLAN_CHOSEN)
    .flatMap(({ body }) => Object.values(body?.tables ?? {}));
}

function withNames(known, names) {
  return { ...known, names: [...new Set([...known.names, ...names])] };
}

/**
 * Replaces the list of ring sets by the server's, in one transaction; where `tables` are named, one whose
 * table is not among them stays as it is here, but for being retired. Tables stay: a plan may name them. Resolves with
 * whether anything is different now.
 */
export async function keepRingSets(database, ringSets, tables = null) {
  const here = await database.read([STORE.RING_SETS], (t) => t.all(STORE.RING_SETS));
  const before = new Map(here.map((ringSet) => [ringSet.id, ringSet]));
  const asHere = ({ id, retired }) => before.has(id) && { ...before.get(id), retired };
  const list = ringSets.map((ringSet) => (tables === null || tables.has(ringSet.table) ? ringSet : asHere(ringSet)))
    .filter(Boolean);
  const wanted = JSON.stringify(list.sort((a, b) => (a.id < b.id ? -1 : 1)));
  if (JSON.stringify(here) === wanted) return false; // as after almost every answer: no write then
  await database.write([STORE.RING_SETS], async (t) => {
    for (const id of await t.keys(STORE.RING_SETS)) t.delete(STORE.RING_SETS, id);
    for (const ringSet of list) t.put(STORE.RING_SETS, ringSet);
  });
  return true;
}

/**
 * Ring sets whose table is here: [{id, name, revision, retired, doubts, sha256, table}], table as parsed JSON. A set
 * with doubts is untrusted; an older server does not say.
 */
export async function ringSetsOf(database) {
  const { ringSets, tables } = await database.read([STORE.RING_SETS, STORE.TABLES], async (t) => ({
    ringSets: await t.all(STORE.RING_SETS), tables: await t.all(STORE.TABLES),
  }));
  const bytesOf = new Map(tables.map((table) => [table.sha256, table.bytes]));
  return ringSets.filter((ringSet) => bytesOf.has(ringSet.table)).map((ringSet) => ({
    id: ringSet.id, name: ringSet.name, revision: ringSet.revision, retired: ringSet.retired,
    doubts: ringSet.doubts ?? [],
    sha256: ringSet.table, table: parsed(ringSet.table, bytesOf.get(ringSet.table)),
  }));
}

/** Whether one ring set has its table here. */
export function hasRingSet(database) {
  return database.read([STORE.RING_SETS, STORE.TABLES], async (t) => {
    const [ringSets, tables] = await Promise.all([t.all(STORE.RING_SETS), t.keys(STORE.TABLES)]);
    return ringSets.some(({ table }) => tables.includes(table));
  });
}

/** The names of the ring sets by id, without their tables. */
export async function ringSetNamesOf(database) {
  const ringSets = await database.read([STORE.RING_SETS], (t) => t.all(STORE.RING_SETS));
  return Object.fromEntries(ringSets.map(({ id, name }) => [id, name]));
}

/** The parsed table of that name, or null. */
export async function tableOf(database, sha256) {
  const table = await database.read([STORE.TABLES], (t) => t.get(STORE.TABLES, sha256));
  return table ? parsed(sha256, table.bytes) : null;
}

function parsed(sha256, bytes) {
  if (!parsedTables.has(sha256)) parsedTables.set(sha256, JSON.parse(new TextDecoder().decode(bytes)));
  return parsedTables.get(sha256);
}
