// What a vehicle type carries, by groups that are looked at once at the vehicle, and what is never carried. Pure.
//
// `parts` of a type have flat keys, as server/records/vehicle_types.py has them: fact/<slot>, usual/<slot>,
// window/<slot>/<suspension>/<drive>/<wheels>/<edition>, torque/<slot>/<grade>.

import { canonical } from "../job/fold.js";
import { boltsOf } from "../job/fit-request.js";
import { bracketFrom } from "../job/bracket-lugs.js";
import { boltsFrom, THREADS } from "../job/hub-bolts.js";

/** Under which windows and ride heights hold. */
export const KEYS = ["suspension", "drive", "wheels", "edition"];
export const HEIGHT_SLOTS = ["vehicle.ride-height-left", "vehicle.ride-height-right"];
/** The maker's limits of the ride height, as this phone keeps them. */
export const HEIGHT_LIMITS = { low: "vehicle.height-least", high: "vehicle.height-most" };
export const WINDOW_SLOTS = [
  "window.left.camber", "window.right.camber", "window.left.toe", "window.right.toe", "window.total-toe",
  "window.thrust",
  "window.cross-camber",
];
export const TORQUE_SLOTS = ["fit.torque", "torque.caliper", "torque.bracket", "torque.wheel", "torque.axle-nut"];
/** Answered at each vehicle; a type shows what was usual. */
export const USUAL_SLOTS = [
  "vehicle.high-voltage", "vehicle.parking-brake", "vehicle.suspension", "vehicle.rear-brake",
  "vehicle.caliper-bracket",
];
/** Group -> slots of its facts. Windows, heights and torques hold only under keys of their own. */
export const FACT_GROUPS = {
  mounting: ["vehicle.mounting", "vehicle.axle-nut", "vehicle.ring-place"],
  pilot: ["vehicle.pilot", "vehicle.pilot-diameter", "vehicle.pilot-length", "vehicle.flange-bore",
    "vehicle.flange-diameter"],
  bolts: ["vehicle.bolts"],
  sensor: ["vehicle.sensor", "vehicle.sensor-gap-most"],
  bracket: ["vehicle.bracket-lugs"],
};
/** Only this answer is a fact; that a pilot is centred is a verdict on a stack. */
const ONLY = { "vehicle.pilot": ["no-pilot"] };
/** Of what was replaced or repaired nothing is carried. */
const OF_PART = {
  hub: ["vehicle.mounting", "vehicle.pilot", "vehicle.pilot-diameter", "vehicle.pilot-length", "vehicle.sensor",
    "vehicle.sensor-gap-most"],
  axle: ["vehicle.flange-bore", "vehicle.flange-diameter", "vehicle.ring-place", "vehicle.bolts",
    "vehicle.bracket-lugs"],
  springs: [...HEIGHT_SLOTS, ...Object.values(HEIGHT_LIMITS)],
};
const BOLTS_KEPT = ["at", "thread", "class", "metal"];

/** @returns {string[]} which of hub, axle and springs were replaced or repaired at this vehicle */
export function replacedIn(job) {
  const said = {
    hub: job.field("vehicle.bearings") === "repaired" || Boolean(job.field("fit.parts-used")?.bearing),
    axle: job.field("vehicle.structure") === "repaired",
    springs: job.field("vehicle.bushes-springs") === "repaired",
  };
  return Object.keys(said).filter((part) => said[part]);
}

export function isGone(slot, replaced) {
  return replaced.some((part) => OF_PART[part].includes(slot));
}

/** What of an answer a type holds, in the form in which it holds it; null: nothing. */
export function carried(slot, value) {
  if (value === null || value === undefined) return null;
  if (slot === "vehicle.bolts") {
    const kept = Object.fromEntries(BOLTS_KEPT.filter((name) => value.bolts?.[name] !== undefined)
      .map((name) => [name, value.bolts[name]]));
    return kept.at ? { bolts: kept } : null;
  }
  if (slot === "vehicle.bracket-lugs") {
    const { lugs } = value.bracket ?? value;
    return lugs ? { lugs } : null;
  }
  if (TORQUE_SLOTS.includes(slot)) {
    const { value_nm, text, unit, source, angle_deg = null } = value;
    return { value_nm, text, unit, source, angle_deg };
  }
  if (typeof value === "object" && "number" in value)
    return { number: value.number, text: value.text, unit: value.unit };
  return ONLY[slot] && !ONLY[slot].includes(value) ? null : value;
}

/**
 * What one group of a type offers at this vehicle.
 * @param {string} group "windows", "heights", "torques", or one of FACT_GROUPS
 * @param {{parts: object}} type
 * @param {Job} job
 * @returns {{keys: object|null, source: string, day: string, facts: {slot, value}[], gone: boolean, grades: boolean}[]}
 *   one for each of the keys under which the group holds; `facts`: what is to be entered; `gone`: something was left
 *   out, for its part was replaced; `grades`: torques were left out, for the bolts of this vehicle have another grade
 *   or none yet
 */
export function offersOf(group, type, job) {
  const replaced = replacedIn(job);
  const left = (facts) => facts.filter(({ slot }) => !isGone(slot, replaced));
  if (group === "windows" || group === "heights")
    return keyedOffers(group, type)
    .map((offer) => ({ ...offer, gone: left(offer.facts).length < offer.facts.length, facts: left(offer.facts),
      grades: false })).filter(isAnything);
  if (group === "torques") return [torqueOffer(type, job)].filter(isAnything);
  const facts = FACT_GROUPS[group].filter((slot) => type.parts[`fact/${slot}`] !== undefined)
    .map((slot) => ({ slot, value: entered(slot, type.parts[`fact/${slot}`]) })).filter(({ value }) => value !== null);
  return [{ keys: null, source: "", day: "", facts: left(facts), gone: left(facts).length < facts.length,
    grades: false }].filter(isAnything);
}

function isAnything({ facts, gone, grades }) {
  return facts.length > 0 || gone || grades;
}

function keyedOffers(group, { parts }) {
  const offers = new Map();
  for (const [key, part] of Object.entries(parts)) {
    if (!key.startsWith("window/") || HEIGHT_SLOTS.includes(part.slot) !== (group === "heights")) continue;
    const keys = Object.fromEntries(KEYS.map((name) => [name, part[name]]));
    const name = canonical(keys);
    const offer = offers.get(name) ?? { keys, source: part.source, day: part.day, facts: [] };
    offers.set(name, { ...offer, day: oldest(offer.day, part.day), facts: [...offer.facts, ...windowFacts(part)] });
  }
  return [...offers.values()].map((offer) =>
    ({ ...offer, facts: [...firstOfEach(offer.facts), ...beside(group, offer)] }));
}

/** Limits of the ride height are the same for both wheels. */
function windowFacts({ slot, value }) {
  if (!HEIGHT_SLOTS.includes(slot)) return [{ slot, value }];
  return Object.entries(HEIGHT_LIMITS).filter(([edge]) => value[edge])
    .map(([edge, at]) => ({ slot: at, value: value[edge] }));
}

function beside(group, { keys, source }) {
  return group === "windows" ? [{ slot: "window.source", value: source }, { slot: "window.keys", value: keys }] : [];
}

function torqueOffer({ parts }, job) {
  const own = boltsOf(job.fold)?.class ?? null;
  const asked = torquesHeld(parts).filter(({ slot }) => job.row(slot));
  // of one slot with two grades nobody knows here which it is
  const isSingle = ({ slot }) => asked.filter((part) => part.slot === slot).length === 1;
  const fits = asked.filter((part) => (part.slot === "fit.torque" ? part.grade === own : isSingle(part)));
  return {
    keys: null, source: fits[0]?.value.source ?? "", day: fits.map(({ day }) => day).reduce(oldest, undefined) ?? "",
    gone: false, grades: fits.length < new Set(asked.map(({ slot }) => slot)).size,
    facts: TORQUE_SLOTS.flatMap((slot) => fits.filter((part) => part.slot === slot))
      .map(({ slot, value, grade }) => ({ slot, value, grade })),
  };
}

function torquesHeld(parts) {
  return Object.entries(parts).filter(([key]) => key.startsWith("torque/")).map(([, part]) => part);
}

function firstOfEach(facts) {
  return facts.filter(({ slot }, at) => facts.findIndex((fact) => fact.slot === slot) === at);
}

function oldest(a, b) {
  return !a ? b : !b || a < b ? a : b;
}

/**
 * What is entered for a fact: bolts and lugs have the form of their cards, without anything that is measured at each
 * vehicle.
 */
function entered(slot, part) {
  try {
    if (slot === "vehicle.bolts") return enteredBolts(part.bolts);
    return slot === "vehicle.bracket-lugs" ? enteredLugs(part.lugs) : part;
  } catch (error) {
    if (error.name !== "InputError") throw error;
    return null; // of another program: it is typed
  }
}

function enteredBolts(bolts) {
  const typed = typedBolts(bolts);
  return { typed, bolts: { ...boltsFrom(typed), at: bolts.at } };
}

function enteredLugs(lugs) {
  const typed = { lugs: linesFrom(lugs) };
  return { typed, bracket: bracketFrom(typed) };
}

function linesFrom(places) {
  return places.map(([radius, clock]) => `${radius}, ${clock}`).join("\n");
}

function typedBolts({ at, thread, class: grade, metal }) {
  const [[radius, first]] = at;
  const isCircle = at.length > 1
    && at.every(([each, clock], k) => Math.abs(each - radius) < 0.01
      && Math.abs(((clock - first - (k * 360) / at.length) % 360 + 540) % 360 - 180) < 0.1);
  const known = thread && THREADS.find(({ diameter_mm, pitch_mm }) => diameter_mm === thread.diameter_mm
    && pitch_mm === thread.pitch_mm);
  const places = isCircle ? { layout: "circle", count: String(at.length), circle: String(radius * 2),
    ...(first && { first: String(first) }) }
    : { layout: "list", list: linesFrom(at) };
  return { fastener: "bolt", by: "turns", ...places, ...(known && { thread: known.id }), ...(grade && { class: grade }),
    ...(metal && { metal }) };
}

/** @returns {boolean} whether two answers say the same as far as a type holds them */
export function isAlike(slot, a, b) {
  return canonical(meaningOf(slot, a)) === canonical(meaningOf(slot, b));
}

/** The quantity itself: 1.5 and 1.50, or degrees and minutes, are no other window. */
function meaningOf(slot, value) {
  const kept = carried(slot, value);
  if (kept === null || typeof kept !== "object") return kept;
  if (TORQUE_SLOTS.includes(slot)) return [kept.value_nm, kept.angle_deg];
  if ("number" in kept) return [kept.number, kept.unit];
  if ("low" in kept) return [kept.low, kept.high].map((edge) => edge && (edge.mdeg ?? edge.number));
  return kept;
}

/** @returns {{from?: object}} of an answer that is completed: it is still the type's as far as that holds any of it */
export function stillFrom({ slot, entry, value: before }, value) {
  const from = entry?.body.from;
  return from && isAlike(slot, before, value) ? { from } : {};
}

/** @returns {string} the group that a slot belongs to */
export function groupOf(slot) {
  if (TORQUE_SLOTS.includes(slot)) return "torques";
  if (slot.startsWith("window.")) return "windows";
  if (Object.values(HEIGHT_LIMITS).includes(slot)) return "heights";
  return Object.keys(FACT_GROUPS).find((group) => FACT_GROUPS[group].includes(slot)) ?? "mounting";
}

/** @returns {boolean} whether what was looked up on that day asks to be checked */
export function isOld(day, months, now) {
  if (!day) return false;
  const limit = new Date(`${day}T00:00:00Z`);
  limit.setUTCMonth(limit.getUTCMonth() + months);
  return now > limit.getTime();
}

/**
 * Facts of this job that came from an older revision and that the type has otherwise now.
 * @param {Job} job
 * @param {{id: string, revision: number, state: string, type: object|null}} chosen the type as it is now
 * @returns {{slot: string, was: *, now: *}[]} `now` null: the type has it no more
 */
export function correctedIn(job, { id, revision, state, type }) {
  if (state !== "accepted" || !type) return [];
  const isOlder = ({ slot, from }) => isFact(slot) && (from.type !== id || from.revision < revision);
  const changed = takenIn(job).filter(isOlder);
  return changed.map(({ slot, value }) => ({ slot, was: value, now: heldAt(job, type, slot) }))
    .filter(({ slot, was, now }) => now === null || !isAlike(slot, was, now));
}

/** @returns {{slot, value, from}[]} every live answer that was taken from a vehicle type */
export function takenIn({ fold }) {
  const taken = Object.entries(fold.slots)
    .map(([slot, live]) => ({ slot, entry: fold.conflicts.includes(slot) ? null : fromType(live) }));
  return taken.filter(({ slot, entry }) => entry && slot !== "vehicle.type" && entry.body.value !== null)
    .map(({ slot, entry: { body } }) => ({ slot, value: body.value, from: body.from }));
}

/**
 * @returns {object|null} one of live answers that are alike, where it is a type's: what a person said on another phone
 *   is the person's
 */
export function fromType(live) {
  return live.length > 0 && live.every(({ body }) => body?.from) ? live[0] : null;
}

function isFact(slot) {
  return slot !== "vehicle.description" && !slot.startsWith("type.");
}

/** What a type says for a slot under the keys of this vehicle; null: nothing. */
function heldAt(job, type, slot) {
  const fact = type.parts[`fact/${slot}`];
  if (fact !== undefined) return entered(slot, fact);
  if (TORQUE_SLOTS.includes(slot)) {
    const held = torquesHeld(type.parts).filter((part) => part.slot === slot);
    const own = slot === "fit.torque" ? held.find(({ grade }) => grade === boltsOf(job.fold)?.class) : held.length === 1
      ? held[0] : null;
    return own?.value ?? null;
  }
  const wanted = canonical(job.field("window.keys") ?? null);
  const group = Object.values(HEIGHT_LIMITS).includes(slot) ? "heights" : "windows";
  const offers = keyedOffers(group, type);
  const offer = offers.find(({ keys }) => canonical(keys) === wanted)
    ?? (group === "heights" && offers.length === 1 ? offers[0] : null);
  return offer?.facts.find((each) => each.slot === slot)?.value ?? null;
}
