// What a job proposes to keep as a vehicle type, in the shape that the server takes (slot finish.vehicle-type). Pure.

import { isObject } from "../job/entry.js";
import { canonical } from "../job/fold.js";
import { boltsOf } from "../job/fit-request.js";
import { carried, FACT_GROUPS, HEIGHT_LIMITS, HEIGHT_SLOTS, isAlike, isGone, KEYS, replacedIn, TORQUE_SLOTS,
  USUAL_SLOTS, WINDOW_SLOTS } from "./type-parts.js";

/**
 * @param {Job} job
 * @param {{make: string, model: string, years: [number|null, number|null], grades: Object<string, string>}} named
 *   `grades` by slot of a torque
 * @returns {{make, model, years, facts, usual, windows, torques}}
 */
export function typeFrom(job, { make, model, years, grades }) {
  const replaced = replacedIn(job);
  const answered = (slots) => Object.fromEntries(slots.map((slot) => [slot, carried(slot, job.field(slot))])
    .filter(([slot, value]) => value !== null && !isGone(slot, replaced)));
  return {
    make, model, years, usual: Object.fromEntries(USUAL_SLOTS.map((slot) => [slot, job.field(slot)])
      .filter(([, value]) => value)),
    facts: answered(Object.values(FACT_GROUPS).flat()), windows: windowsFrom(job, replaced),
    torques: torquesFrom(job, grades),
  };
}

/**
 * @returns {string[]} those of suspension code, drive, wheel size and edition that nobody has said, while there are
 *   windows that hold only with them
 */
export function keysMissing(job) {
  const keys = job.field("window.keys") ?? {};
  return limitsOf(job, []).length > 0 ? KEYS.filter((name) => !keys[name]?.trim()) : [];
}

function windowsFrom(job, replaced) {
  const keys = job.field("window.keys") ?? {};
  const source = job.field("window.source") ?? "";
  if (keysMissing(job).length > 0 || !source.trim()) return [];
  const own = Object.fromEntries(KEYS.map((name) => [name, keys[name].trim()]));
  return limitsOf(job, replaced).map(({ slot, value }) => ({ slot, ...own, source, value }));
}

function limitsOf(job, replaced) {
  const windows = WINDOW_SLOTS.map((slot) => ({ slot, value: job.field(slot) }))
    .filter(({ value }) => value?.low || value?.high);
  const heights = Object.fromEntries(Object.entries(HEIGHT_LIMITS)
    .map(([edge, slot]) => [edge, carried(slot, job.field(slot))]));
  const isHeld = (heights.low || heights.high) && !isGone(HEIGHT_SLOTS[0], replaced);
  return [...windows, ...(isHeld ? HEIGHT_SLOTS.map((slot) => ({ slot, value: heights })) : [])];
}

function torquesFrom(job, grades) {
  return torquesOf(job).map((slot) =>
    ({ slot, grade: gradeOf(job, slot, grades), value: carried(slot, job.field(slot)) })).filter(({ grade }) => grade);
}

/** @returns {string[]} slots of the torques of this job */
export function torquesOf(job) {
  return TORQUE_SLOTS.filter((slot) => job.field(slot)?.source);
}

/** The grade of the hub bolts stands at the bolts; of the others somebody says it. */
export function gradeOf(job, slot, grades) {
  return slot === "fit.torque" ? boltsOf(job.fold)?.class ?? grades[slot] ?? "" : grades[slot] ?? "";
}

/** @returns {object} a type with its parts, from what was proposed: so this phone has it before the server does */
export function typeOf({ make, model, years, facts = {}, usual = {}, windows = [], torques = [] }, day) {
  const plain = (text) => String(text).normalize("NFKC").toLowerCase();
  const parts = {};
  for (const [slot, value] of Object.entries(facts)) parts[`fact/${slot}`] = value;
  for (const [slot, value] of Object.entries(usual)) parts[`usual/${slot}`] = value;
  for (const part of windows) parts[["window", part.slot, ...KEYS.map((name) => plain(part[name]))].join("/")] =
    { ...part, day };
  for (const part of torques) parts[`torque/${part.slot}/${plain(part.grade)}`] = { ...part, day };
  return { make, model, years, axle: "rear", parts };
}

/**
 * What of a proposal is new or otherwise than the known type has it.
 * @param {object} proposed as typeFrom gives it
 * @param {{parts: object}} known
 * @returns {{type: object, changes: string[]}} `type` with these parts alone; `changes` the slots of them
 */
export function changesOf(proposed, known) {
  const { parts } = typeOf(proposed, undefined);
  const isChange = (key) => known.parts[key] === undefined
    || !isAlike(slotIn(key), valueIn(parts[key]), valueIn(known.parts[key]));
  const changed = new Set(Object.keys(parts).filter((key) => !key.startsWith("usual/") && isChange(key)));
  const keyOf = (part, keys) => Object.keys(parts)
    .find((key) => key.startsWith(`${keys}/${part.slot}/`) && canonical(dayless(parts[key])) === canonical(part));
  const type = {
    make: known.make, model: known.model, years: known.years, usual: {},
    facts: Object.fromEntries(Object.entries(proposed.facts).filter(([slot]) => changed.has(`fact/${slot}`))),
    windows: proposed.windows.filter((part) => changed.has(keyOf(part, "window"))),
    torques: proposed.torques.filter((part) => changed.has(keyOf(part, "torque"))),
  };
  return { type, changes: [...Object.keys(type.facts), ...[...type.windows, ...type.torques].map(({ slot }) => slot)] };
}

function slotIn(key) {
  return key.split("/")[1];
}

/** Windows and torques stand with their keys and their source. */
function valueIn(part) {
  return part?.slot ? part.value : part;
}

function dayless(part) {
  if (!isObject(part)) return part ?? null;
  const { day: _day, ...rest } = part;
  return rest;
}

/** Make, model and years as far as "Marrow Vale Estate 1.8, 2019" tells them: whoever keeps the type corrects them. */
export function namedIn(description) {
  const year = /\b(?:19|20)\d\d\b/.exec(description)?.[0] ?? null;
  const [make = "", ...model] = description.replace(year ?? "", "").replace(/[\s,;]+/g, " ").trim().split(" ");
  return { make, model: model.join(" "), years: [year ? Number(year) : null, null] };
}
