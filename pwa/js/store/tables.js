// Ring sets and their tables. A table lives under the SHA-256 of its bytes and is kept as the bytes that came.

import { STORE } from "./names.js";
import { sha256Hex } from "./photos.js";
import { StoreError } from "./store-error.js";

const parsedTables = new Map(); // sha256 -> parsed; a table never changes under its name

/** Keeps a table. Rejects StoreError table-damaged if the bytes are not those that the name names. */
export async function keepTable(database, sha256, bytes) {
  if ((await sha256Hex(bytes)) !== sha256) throw new StoreError("table-damaged");
  await database.write([STORE.TABLES], (t) => t.put(STORE.TABLES, { sha256, bytes }));
}

/** Names of the tables on this phone. */
export async function tableNames(database) {
  const tables = await database.read([STORE.TABLES], (t) => t.all(STORE.TABLES));
  return tables.map((table) => table.sha256);
}

/**
 * Replaces the list of ring sets by the server's, in one transaction. Tables stay: a plan may name them.
 * Resolves with whether anything is different now.
 */
export async function keepRingSets(database, ringSets) {
  return database.write([STORE.RING_SETS], async (t) => {
    const before = await t.all(STORE.RING_SETS);
    for (const { id } of before) t.delete(STORE.RING_SETS, id);
    for (const ringSet of ringSets) t.put(STORE.RING_SETS, ringSet);
    return JSON.stringify(before) !== JSON.stringify([...ringSets].sort((a, b) => (a.id < b.id ? -1 : 1)));
  });
}

/** Ring sets whose table is here: [{id, name, revision, retired, sha256, table}], table as parsed JSON. */
export async function ringSetsOf(database) {
  const { ringSets, tables } = await database.read([STORE.RING_SETS, STORE.TABLES], async (t) => ({
    ringSets: await t.all(STORE.RING_SETS), tables: await t.all(STORE.TABLES),
  }));
  const bytesOf = new Map(tables.map((table) => [table.sha256, table.bytes]));
  return ringSets.filter((ringSet) => bytesOf.has(ringSet.table)).map((ringSet) => ({
    id: ringSet.id, name: ringSet.name, revision: ringSet.revision, retired: ringSet.retired,
    sha256: ringSet.table, table: parsed(ringSet.table, bytesOf.get(ringSet.table)),
  }));
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
