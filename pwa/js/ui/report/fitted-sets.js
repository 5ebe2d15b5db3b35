/**
 * The ring sets of what is fitted, with their data: what a plan named, in the revision that it named, where it is still
 * here.
 */

import { SIDES } from "../../domain/numbers/sides.js";

/**
 * @param {Phone} phone
 * @param {{left: object|null, right: object|null}} fitted as the report has them
 * @returns {Promise<function(object): ({name: string, ring_set: object, table: object}|null)>} gives the set of a
 *   fitted pair
 */
export async function fittedSets(phone, fitted) {
  const sets = await phone.ringSets();
  const found = new Map();
  for (const each of SIDES.map((side) => fitted[side]).filter(Boolean)) {
    const kept = each.table ? await phone.table(each.table) : null;
    const table = kept ?? sets.find(({ id }) => id === each.ring_set)?.table;
    if (table) found.set(nameOf(each), { name: table.ring_set.name, ring_set: table.ring_set, table });
  }
  return (each) => found.get(nameOf(each)) ?? null;
}

function nameOf({ table, ring_set: id }) {
  return table ?? id;
}
