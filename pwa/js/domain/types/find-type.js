// Finds vehicle types while make and model are typed, among some thousands, without network. Pure.
//
// A row of the list: {id, revision, state, merged_into?, make, model, years: [first, last], find}. Types that are
// retired or merged have no make: they are known, and never offered.

const MOST_OFFERED = 5;
/** Two letters find half of a shop's types. */
const FEWEST_LETTERS = 2;
const YEAR = /^(?:19|20)\d\d$/;

/**
 * The row of a type as the server gives it, without what only its own record needs. What changes a type that is known
 * has no name of its own: it is no type, and is never offered.
 */
export function rowOf({ id, revision, state, base = null, merged_into: mergedInto = null, type = null }) {
  const row = { id, revision, state, merged_into: mergedInto };
  return type && !(base?.revision > 0) ? { ...row, make: type.make, model: type.model, years: type.years,
    find: ` ${wordsOf(`${type.make} ${type.model}`)}` } : row;
}

/**
 * @param {object[]} rows
 * @param {string} text as it is being typed, perhaps with a year
 * @returns {{rows: object[], year: string}} the best first, those that a lead accepted before those of one job; `year`
 *   as it was typed
 */
export function findTypes(rows, text) {
  const typed = wordsOf(text).split(" ").filter(Boolean);
  const year = typed.find((word) => YEAR.test(word)) ?? "";
  const words = typed.filter((word) => word !== year);
  if (words.join("").length < FEWEST_LETTERS) return { rows: [], year };
  const found = rows.filter((row) => row.find && words.every((word) => row.find.includes(` ${word}`))
    && isOfYear(row, year));
  const start = ` ${words.join(" ")}`;
  const rank = (row) => (row.state === "accepted" ? 0 : 2) + (row.find.startsWith(start) ? 0 : 1);
  found.sort((a, b) => rank(a) - rank(b) || (a.find < b.find ? -1 : a.find > b.find ? 1 : a.id < b.id ? -1 : 1));
  return { rows: found.slice(0, MOST_OFFERED), year };
}

/** @returns {string} what two types of one make and model have in common, however they were typed */
export function matchOf({ make, model }) {
  return `${make} ${model}`.normalize("NFKC").toLowerCase().replace(/[^\p{L}\p{N}]/gu, "");
}

function isOfYear({ years }, year) {
  if (!year) return true;
  const [first, last] = years ?? [null, null];
  return (first === null || first <= Number(year)) && (last === null || Number(year) <= last);
}

/** Small letters without accents, one blank between words. */
function wordsOf(text) {
  return String(text ?? "").normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, " ").trim();
}
