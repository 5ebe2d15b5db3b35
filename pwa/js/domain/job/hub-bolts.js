// The hub bolts of an axle from what was typed, as the fitting aids take them. Pure; it offers no value of its own.
//
// Slot `vehicle.bolts`, a field-set, holds {"typed": what stands in the form, all of it text, "bolts": as calc's fit
// takes `bolts`}. Bolts are [radius in mm, clock in degrees from the top towards the rear], so one list is right for
// both wheels.

import { CLEARANCE_MM, MOST_BOLTS, PROOF_STRESS_MPA } from "../constants.js";
import { InputError } from "../numbers/input-error.js";
import { linesOf, numberFrom } from "../numbers/plain-number.js";
import { PITCHES_MM } from "../fit/threads.js";

const COUNT = [2, MOST_BOLTS];
const CIRCLE_MM = [20, 1000];
const RADIUS_MM = [10, 500];
const CLOCK_DEG = [0, 360];
const LENGTH_MM = [0.5, 200];
/** Of a bolt under its head. */
export const BOLT_LENGTH_MM = [5, 200];
const HOLES = ["through", "blind"]; // in a closed hole a longer bolt may bottom, so nobody guesses which it is
const TURNS = [0.5, 100];

/** Why no bolt was backed out before the plan: how far they are in is measured at the wheel then. */
export const BOLTS_STAY = "vehicle.bolts-stay";

/**
 * @param {object|null} value of the slot
 * @returns {boolean} whether it says how far a bolt is screwed in and how long it is; of a stud the length is not asked
 */
export function isBoltMeasured(value) {
  const { turns, engaged_mm: engaged } = value?.bolts ?? {};
  return Boolean(turns || engaged) && Boolean(value.length_mm || value.typed?.fastener === "stud");
}

/** @returns {boolean} whether somebody counted its turns or measured its length, so that a bolt was out */
export function isBackedOut(value) {
  return Boolean(value?.bolts?.turns || String(value?.typed?.turns ?? "").trim() || value?.length_mm);
}

/**
 * @param {string} text of the length under the head, as typed
 * @returns {number|null} in mm; null where nothing was typed
 * @throws {InputError} code "bolts-number"
 */
export function boltLengthFrom(text) {
  return String(text ?? "").trim() === "" ? null : wanted(text, "length", BOLT_LENGTH_MM);
}

/** Threads to choose from: {id, diameter_mm, pitch_mm}, coarse first. */
export const THREADS = Object.entries(PITCHES_MM).flatMap(([diameter, pitches]) => {
  return pitches.map((pitch_mm) => ({ id: `${diameter}x${pitch_mm}`, diameter_mm: Number(diameter), pitch_mm }));
});

export const CLASSES = Object.keys(PROOF_STRESS_MPA).sort((a, b) => Number(a) - Number(b));

/**
 * @param {object} typed {layout: "circle"|"list", count, circle, first, list, thread, class, fastener: "bolt"|"stud",
 *   hole: "through"|"blind", depth, by: "measured"|"turns", engaged, turns, metal, nut}
 * @returns {object} `bolts` of the fitting aids; what was not typed is left out
 * @throws {InputError} code "bolts-number", "bolts-list" or "bolts-hole", field the name of what was typed
 */
export function boltsFrom(typed) {
  const thread = THREADS.find(({ id }) => id === typed.thread);
  const isStud = typed.fastener === "stud";
  const bolts = { at: typed.layout === "list" ? placesFrom(typed.list, "list") : circleOf(typed) };
  if (thread) bolts.thread = { diameter_mm: thread.diameter_mm, pitch_mm: thread.pitch_mm };
  if (CLASSES.includes(typed.class)) bolts.class = typed.class;
  if (typed.by === "turns" && thread) setNumber(bolts, "turns", typed.turns, "turns", TURNS);
  else if (typed.by !== "turns") setNumber(bolts, "engaged_mm", typed.engaged, "engaged", LENGTH_MM);
  const isDepthWanted = !isStud && (bolts.engaged_mm !== undefined || bolts.turns !== undefined);
  if (isDepthWanted && !HOLES.includes(typed.hole))
    throw new InputError("bolts-hole", "hole", "through or blind", typed.hole ?? "");
  // else it would pass for a through hole
  if (typed.hole === "blind" && !isStud) bolts.blind_depth_mm = wanted(typed.depth, "depth", LENGTH_MM);
  if (isStud) setNumber(bolts, "nut_height_mm", typed.nut, "nut", [1, 50]);
  else if (typed.metal) bolts.metal = typed.metal;
  checkDepth(bolts, typed);
  checkRoom(bolts, typed);
  return bolts;
}

/**
 * Places from lines such as "60, 45": radius in mm, clock in degrees from the top towards the rear.
 * @throws {InputError} code "bolts-list"
 */
export function placesFrom(text, field, fewest = 2) {
  const places = linesOf(text).map((line) => {
    const [radius, clock, ...more] = line.split(/[;\s]+|,\s+/).filter(Boolean).map(numberFrom);
    const fits = more.length === 0 && within(radius, RADIUS_MM) && within(clock, CLOCK_DEG);
    if (!fits) throw new InputError("bolts-list", field, "radius in mm and clock in degrees", line);
    return [radius, clock];
  });
  if (places.length < fewest) throw new InputError("bolts-list", field, `${fewest} lines or more`, text ?? "");
  return places;
}

function circleOf({ count, circle, first }) {
  const bolts = wanted(count, "count", COUNT);
  if (!Number.isInteger(bolts)) throw refused("count", COUNT, count);
  const radius = wanted(circle, "circle", CIRCLE_MM) / 2;
  const start = String(first ?? "").trim() === "" ? 0 : wanted(first, "first", CLOCK_DEG);
  return Array.from({ length: bolts }, (_, k) => [radius, (start + (k * 360) / bolts) % 360]);
}

function setNumber(bolts, name, text, field, limits) {
  if (String(text ?? "").trim() !== "") bolts[name] = wanted(text, field, limits);
}

function wanted(text, field, limits) {
  const number = numberFrom(text);
  if (number === null || !within(number, limits)) throw refused(field, limits, text);
  return number;
}

function within(number, [low, high]) {
  return typeof number === "number" && number >= low && number <= high;
}

function refused(field, [low, high], got) {
  return new InputError("bolts-number", field, `${low} to ${high}`, got ?? "", { low, high });
}

// A bolt cannot be screwed in deeper than its hole.
function checkDepth({ blind_depth_mm: depth, engaged_mm: measured, turns, thread }, typed) {
  const engaged = measured ?? (turns && turns * thread.pitch_mm);
  if (depth !== undefined && engaged !== undefined && depth < engaged)
    throw refused("depth", [engaged, LENGTH_MM[1]], typed.depth);
}

// The clearance of a bolt must leave the centre of the ring.
function checkRoom({ at, thread }, typed) {
  const half = thread ? CLEARANCE_MM[thread.diameter_mm] / 2 : 0;
  if (at.some(([radius]) => radius <= half))
    throw refused("circle", [2 * half + 1, CIRCLE_MM[1]], typed.circle || typed.list);
}
