// The shop's vehicle types on this phone, among its settings: the list by which they are found in one record, each type
// in one of its own, and what this phone proposed itself until the server has it. Nothing of a job is here.

import { matchOf, rowOf } from "../domain/types/find-type.js";
import { STORE } from "./names.js";
import { settingOf } from "./settings.js";

const LIST = "types.list"; // {tag, check_months, rows}
const OWN = "types.own"; // [{id, job, revision: 0, state: "unchecked", type}]
const CHECK_MONTHS = 12;
const recordOf = (id) => `type.${id}`;

/** The ETag under which this phone has the list; null where it has none. */
export async function typesTag(database) {
  return (await settingOf(database, LIST))?.tag ?? null;
}

/**
 * Keeps what the server said of types, and lets go of own ones that it knows.
 * @param {{tag: string|null, answer: {check_months: number, types: object[]}}|null} said null: nothing new
 * @returns {Promise<boolean>} whether anything is different now
 */
export function keepTypes(database, said) {
  return database.write([STORE.SETTINGS, STORE.OUTBOX], async (t) => {
    const unsent = new Set((await t.all(STORE.OUTBOX)).map(({ job }) => job));
    const own = (await t.get(STORE.SETTINGS, OWN))?.value ?? [];
    const kept = own.filter(({ job }) => unsent.has(job));
    if (kept.length < own.length) t.put(STORE.SETTINGS, { name: OWN, value: kept });
    if (said) await replace(t, said);
    return Boolean(said) || kept.length < own.length;
  });
}

/** An accepted revision never changes, so only what is new is written. */
async function replace(t, { tag, answer: { check_months: months = CHECK_MONTHS, types } }) {
  const before = new Map(((await t.get(STORE.SETTINGS, LIST))?.value.rows ?? []).map((row) => [row.id, row]));
  for (const type of types) {
    const was = before.get(type.id);
    before.delete(type.id);
    const isSame = was?.revision === type.revision && was.state === type.state && type.state !== "unchecked";
    if (!isSame) t.put(STORE.SETTINGS, { name: recordOf(type.id), value: type });
  }
  for (const id of before.keys()) t.delete(STORE.SETTINGS, recordOf(id));
  t.put(STORE.SETTINGS, { name: LIST, value: { tag, check_months: months, rows: types.map(rowOf) } });
}

/** A type that this phone proposed is of use on it at once. */
export function keepOwnType(database, own) {
  return database.write([STORE.SETTINGS], async (t) => {
    const others = ((await t.get(STORE.SETTINGS, OWN))?.value ?? []).filter(({ job }) => job !== own.job);
    t.put(STORE.SETTINGS, { name: OWN, value: [...others, { revision: 0, state: "unchecked", ...own }] });
  });
}

/** The pairing has ended. What a job took from a type stands in the job. In a transaction that writes settings. */
export async function forgetTypes(t) {
  const names = await t.keys(STORE.SETTINGS);
  for (const name of names.filter((each) => each === LIST || each === OWN || each.startsWith(recordOf(""))))
    t.delete(STORE.SETTINGS, name);
}

/**
 * @returns {Promise<object[]>} rows of find-type.js: of the shop, then those of this phone that the server does not
 *   list yet
 */
export async function typeRows(database) {
  const { list, own } = await both(database);
  const known = new Set(list.rows.map(({ id }) => id));
  return [...list.rows, ...own.filter(({ id }) => !known.has(id)).map(rowOf)];
}

/**
 * A type as it is now: where it was merged, the one that it went into; where it was one job's and a lead has decided
 * since, the accepted one of that make and model.
 * @param {{type: string, revision: number, make?: string, model?: string}} ref as a job names it
 * @returns {Promise<{id, revision, state: "accepted"|"unchecked"|"retired"|"unknown", months: number, type:
 *   object|null}>}
 */
export async function typeNow(database, ref) {
  const { list, own } = await both(database);
  const months = list.check_months;
  let row = list.rows.find(({ id }) => id === ref.type);
  for (let k = 0; row?.state === "merged" && k < list.rows.length; k += 1)
    row = list.rows.find(({ id }) => id === row.merged_into);
  const mine = row ? null : own.find(({ id }) => id === ref.type);
  if (mine) return { ...mine, months };
  if (!row && ref.revision === 0 && ref.make)
    row = list.rows.find((each) => each.state === "accepted" && matchOf(each) === matchOf(ref));
  const found = row && (await settingOf(database, recordOf(row.id)));
  return found ? { id: found.id, revision: found.revision, state: found.state, months, type: found.type ?? null }
    : { id: ref.type, revision: ref.revision, state: "unknown", months, type: null };
}

async function both(database) {
  const [list, own] = await Promise.all([settingOf(database, LIST), settingOf(database, OWN)]);
  return { list: list ?? { check_months: CHECK_MONTHS, rows: [] }, own: own ?? [] };
}
