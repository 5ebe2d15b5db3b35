// Readings that were taken before something they rest on was put right: pressures, load, height, a part, old rings.
// They become "as found": they stand in slots of their own, "found.left.1", and their place under "base" is free for
// new ones. Pure: it says what is to be written.
//
// It is written and not derived, so that every program that reads "base", on phones and at the desk, takes the same
// numbers.

import { isTicked } from "./checklist-slots.js";
import { KIND } from "./entry.js";
import { fingerprint } from "./fold.js";
import { fitSlot, isRaised, oldRingsAt, TAKE_OUT } from "./round-work.js";
import { SIDES } from "../numbers/sides.js";

export const FOUND = "found";
const BASE = "base";
/** What is done anew before anything is read anew. */
const BEFORE_READING = ["base.compensation", "base.settled"];
/** What both wheels' toes were made of, where the equipment shows no toe of a wheel. */
const AXLE = ["total-toe", "thrust"];
const NOTHING = Object.freeze({ camber: null, toe: null });
/** What readings rest on: the part of a slot's value that counts. */
const RESTS_ON = {
  "vehicle.pressures-found": (value) => value?.pressures?.set ?? null,
  "vehicle.load": wording, "vehicle.tank": wording,
  "vehicle.ride-height": same, "vehicle.ride-height-left": same, "vehicle.ride-height-right": same,
  "vehicle.bearings": same, "vehicle.bushes-springs": same, "vehicle.structure": same,
};

function same(value) {
  return value ?? null;
}

/** Capitals and spaces are no other load. */
function wording(value) {
  return value ? String(value).trim().toLowerCase() : null;
}

/** @returns {boolean} whether any reading stands as found */
export function hasAsFound(fold) {
  const isRead = (slot) => fold.slots[slot].some(({ body }) => body.camber || body.toe);
  return Object.keys(fold.slots).some((slot) => slot.startsWith(`${FOUND}.`) && isRead(slot));
}

/** @returns {boolean} whether an answer there can make readings "as found": another one need not be tried */
export function mayMoveReadings({ slot, wheel }) {
  return Object.hasOwn(RESTS_ON, slot) || (Boolean(wheel) && slot === fitSlot(TAKE_OUT, "pair-out", wheel));
}

/**
 * What has to be written after an answer, because base readings rested on what it changed.
 * @param {Job} job after the row's own entry
 * @param {object} row
 * @returns {{slot: string, kind: string, body: object}[]} nothing where the answer is the first, or where rings went in
 *   meanwhile: what was read before them is not read again
 */
export function asFoundDue(job, row) {
  if (isRaised(job.fold, 1) || !(isChanged(job, row) || isOldPairOut(job, row))) return [];
  const readings = moved(job, BASE, FOUND);
  const anew = readings.length > 0 ? BEFORE_READING.filter((slot) => isTicked(job.fold, slot)) : [];
  return [...readings, ...anew.map((slot) => ({ slot, kind: KIND.STEP_UNDONE, body: {} }))];
}

function isChanged(job, { slot }) {
  const part = RESTS_ON[slot];
  const entry = part && job.live(slot)[0];
  if (entry?.kind !== KIND.FIELD_SET) return false;
  const now = part(entry.body.value);
  const isBefore = ({ id, kind, slot: at }) => at === slot && kind === KIND.FIELD_SET && entry.after.includes(id);
  const before = job.entries.filter(isBefore).map(({ body }) => part(body.value));
  return now !== null && before.some((was) => was !== null && fingerprint(was) !== fingerprint(now));
}

function isOldPairOut(job, { slot, wheel }) {
  if (!oldRingsAt(job.fold).includes(wheel)) return false;
  return slot === fitSlot(TAKE_OUT, "pair-out", wheel) && job.row(slot)?.state === "done";
}

/** @returns {{slot, kind, body}[]} what makes base readings of them again: what was corrected was the writing alone */
export function asFoundBack(job) {
  return moved(job, FOUND, BASE);
}

/** Readings keep their numbers where these are free; else they get the next. */
function moved(job, from, to) {
  const places = SIDES.flatMap((side) => placesFor(job, from, to, side));
  const wheels = places.flatMap(({ slot, body, side, at }) => [
    { slot: `${to}.${side}.${at}`, kind: KIND.READING_TAKEN, body },
    { slot, kind: KIND.READING_TAKEN, body: NOTHING },
  ]);
  return [...wheels, ...AXLE.flatMap((part) => movedAxle(job, from, to, part, places))];
}

function placesFor(job, from, to, side) {
  let free = nextNumber(job, to, side);
  return takenUnder(job, from, side).map((taken) => {
    const at = Math.max(taken.number, free);
    free = at + 1;
    return { ...taken, side, at };
  });
}

/** It goes with the wheels that were made of it; left behind it would make toes of what is typed anew. */
function movedAxle(job, from, to, part, places) {
  const isThere = (number) => job.live(`${from}.${part}.${number}`).some(({ body }) => body.value);
  return numbersUnder(job, from, part).filter(isThere).flatMap((number) => {
    const slot = `${from}.${part}.${number}`;
    const value = job.field(slot);
    const [at, ...others] = new Set(places.filter((each) => each.number === number).map((each) => each.at));
    const kept = value && at && others.length === 0
      ? [{ slot: `${to}.${part}.${at}`, kind: KIND.FIELD_SET, body: { value } }] : [];
    return [...kept, { slot, kind: KIND.FIELD_SET, body: { value: null } }];
  });
}

function takenUnder(job, prefix, side) {
  return numbersUnder(job, prefix, side).map((number) => ({ number, slot: `${prefix}.${side}.${number}` }))
    .map((each) => ({ ...each, body: job.body(each.slot, KIND.READING_TAKEN) }))
    .filter(({ body }) => body && (body.camber || body.toe));
}

/** Beyond all that hold a reading now: what was withdrawn is written over. */
function nextNumber(job, prefix, side) {
  return Math.max(0, ...takenUnder(job, prefix, side).map(({ number }) => number)) + 1;
}

function numbersUnder({ fold }, prefix, side) {
  const start = `${prefix}.${side}.`;
  const slots = Object.keys(fold.slots).filter((slot) => slot.startsWith(start));
  const numbers = slots.map((slot) => Number(slot.slice(start.length)));
  return numbers.filter(Number.isInteger).sort((a, b) => a - b);
}

/**
 * What an axle that was read with old rings in would read without them.
 * @param {{left: object, right: object}} means of the as-found readings, as meanReadings gives them
 * @param {{left: {effect: number[]}|null, right: {effect: number[]}|null}} fitted the old pairs, effects in mdeg
 * @param {{seat_sd: number, clock_sd_deg: number}} spread what a fitting adds: the old one had it too
 * @returns {{left: object, right: object}} {camber, toe, camber_sd, toe_sd} in mdeg; angles null where they were not
 *   read
 */
export function withoutOldRings(means, fitted, { seat_sd: seatSd, clock_sd_deg: clockSd }) {
  return Object.fromEntries(SIDES.map((side) => {
    const wheel = means[side];
    const effect = fitted[side]?.effect ?? null;
    const { camber, toe, camber_sd, toe_sd } = wheel;
    if (!effect) return [side, { camber, toe, camber_sd, toe_sd }];
    const turned = clockSd * Math.PI / 180; // an error of the clock moves the effect across itself
    const sd = (reading, across) => Math.hypot(reading, seatSd, turned * across);
    return [side, {
      camber: less(camber, effect[0]), toe: less(toe, effect[1]),
      camber_sd: sd(camber_sd, effect[1]), toe_sd: sd(toe_sd, effect[0]),
    }];
  }));
}

function less(read, effect) {
  return read === null ? null : read - effect;
}
