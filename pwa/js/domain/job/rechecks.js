// What a signed job says of rechecking its fasteners: after which distance or by which day, and who did it. The twin of
// server/records/recheck.py, which has the form of both slots; bound to it by fixtures/golden/recheck.json. Pure.

import { isObject, KIND } from "./entry.js";

export const RECHECK = Object.freeze({ AFTER: "finish.recheck-after", DONE: "finish.recheck-done" });
export const RECHECK_SOURCES = Object.freeze(["service-information", "common-practice"]);
export const RECHECK_UNITS = Object.freeze(["km", "mi"]);
const DAY = /^[0-9]{4}-[0-9]{2}-[0-9]{2}$/;
const LONGEST = 200;
const LONGEST_DISTANCE = 40;

/**
 * @param {object} fold of a job
 * @returns {{entry: string, day: string|null, distance: {text, unit, by: number|null}|null, source: string|null,
 *   page: string, done_by: string|null}[]} of every live answer of a signed job, for where two people differ both are
 *   due; `by`: what the odometer reads then, where it was read in the same unit
 */
export function rechecksOf({ state, slots }) {
  if (state !== "signed") return [];
  const done = new Map();
  for (const { value } of valuesAt(slots, RECHECK.DONE)) for (const id of namedIn(value)) done.set(id, value);
  const odometer = valuesAt(slots, "vehicle.odometer")[0]?.value ?? {};
  return valuesAt(slots, RECHECK.AFTER).filter(({ value }) => isObject(value.recheck)).map(({ entry, value }) => (
    { entry: entry.id, ...recheckParts(value.recheck, odometer), done_by: doneBy(done.get(entry.id)) }));
}

/** What one answer says, also while the job is open; without the odometer `by` is null. */
export function recheckParts({ day, distance, source, page }, odometer = {}) {
  return {
    day: typeof day === "string" && DAY.test(day) ? day : null,
    distance: distanceOf(distance, odometer),
    source: RECHECK_SOURCES.includes(source) ? source : null,
    page: typeof page === "string" ? cut(page, LONGEST) : "",
  };
}

/**
 * The value of `finish.recheck-done` that says of one more, or of one less, that somebody did it; what was said of
 * others stays.
 * @param {object[]} live entries of that slot
 * @param {string} entry that asked
 * @param {{by: string, day: string}|null} done null: it was not done after all
 * @returns {object|null}
 */
export function doneWith(live, entry, done) {
  const values = live.map(({ body }) => body.value).filter(isObject);
  const others = values.flatMap(namedIn).filter((id) => id !== entry);
  const named = [...new Set(done ? [...others, entry] : others)].sort();
  if (named.length === 0) return null;
  const { by, day } = done ?? values.find((value) => namedIn(value).some((id) => named.includes(id)));
  return { recheck_of: named, by, day };
}

/**
 * Which rechecks nobody has done yet, the soonest first: by their day, then those that have only a distance.
 * @param {object[]} jobs on this phone, as phone.jobs() tells them
 * @param {object[]} told by the shop, as `GET /api/rechecks` has them: of a job that is on this phone its own entries
 *   say it
 * @returns {{job: {job, registration, description}, recheck: object, isHere: boolean}[]} `isHere`: the job is on this
 *   phone
 */
export function dueOf(jobs, told) {
  const whole = jobs.filter(({ isPart }) => !isPart);
  const here = new Set(whole.map(({ job }) => job));
  const own = whole.flatMap((job) => (job.rechecks ?? [])
    .map((recheck) => ({ job, recheck, isHere: true, at: job.changed_ms })));
  const others = told.filter(({ job }) => !here.has(job))
      .map(({ job, registration, vehicle, last_day: lastDay, ...recheck }) => (
    { job: { job, registration, description: vehicle }, recheck, isHere: false, at: Date.parse(lastDay) || 0 }));
  const dayOf = ({ recheck: { day } }) => day ?? "9999";
  return [...own, ...others].sort((a, b) => (dayOf(a) < dayOf(b) ? -1 : dayOf(a) > dayOf(b) ? 1 : a.at - b.at));
}

function valuesAt(slots, slot) {
  const live = (slots[slot] ?? []).filter(({ kind }) => kind === KIND.FIELD_SET);
  return live.map((entry) => ({ entry, value: entry.body.value })).filter(({ value }) => isObject(value));
}

function distanceOf(distance, odometer) {
  if (!isObject(distance) || typeof distance.text !== "string" || !RECHECK_UNITS.includes(distance.unit)) return null;
  const { number, text, unit } = distance;
  const isKnown = odometer.unit === unit && isNumber(number) && isNumber(odometer.number);
  return { text: cut(text, LONGEST_DISTANCE), unit, by: isKnown ? Math.floor(odometer.number + number + 0.5) : null };
}

function doneBy(value) {
  if (!value) return null;
  return typeof value.by === "string" && value.by ? cut(value.by, LONGEST) : "nobody named";
}

function namedIn({ recheck_of: named }) {
  return Array.isArray(named) ? named.filter((id) => typeof id === "string") : [];
}

/** By characters, as Python counts them. */
function cut(text, longest) {
  return text.length <= longest ? text : [...text].slice(0, longest).join("");
}

function isNumber(part) {
  return typeof part === "number" && Math.abs(part) < 1e9;
}
