// Everything that may lie behind a check reading: each cause as the change that it would have shown. The twin of
// calc/prove/causes.py, where each code is described; the words are the phone's texts. It weighs nothing: explain.js
// does.
//
// A candidate is one way in which a cause may have happened: {code, detail, shown, rings, base, check, toeFactor,
// elsewhere, looseSd, weight}. `shown` is the [camber, toe] change it would have shown, mdeg; `rings` are those really
// fitted (null: none); `base` and `check` are the true readings under it; `toeFactor` multiplies the spread of toe;
// `elsewhere` is what sits at the other wheel under it and what was planned there, where that can be said, else null;
// `looseSd` is how far it may be off `shown` of itself, mdeg; `weight` how much it counts in its cause.

import { radiansOf, remainder, toDecimals } from "../numbers/arithmetic.js";
import {
  AS_PLANNED, DIGITS_UPSIDE_DOWN, DIRT_APART_MDEG, DIRT_CLOCKS, DIRT_MM, DROOP_SHARES, DROOPS_DEG, MARKS_OFF,
  PAIR_MARKS_OFF, THIN_DIRT, USUAL_TURNS_DEG,
} from "../constants.js";
import { patternTurns } from "../rings/bolt-pattern.js";
import { RINGS } from "../numbers/sides.js";
import { toeSlips } from "./toe-slips.js";
import { effectMdeg, MDEG_PER_RAD, placedPair, placedRing, turnedBy, turnedOver } from "../rings/tilt.js";

/**
 * @param {object} known checked input of `prove`
 * @returns {object[]} every candidate of every cause but between-faces; fitted as planned comes first
 */
export function candidatesOf(known) {
  return [
    fitted(AS_PLANNED, {}, known, plannedRings(known)),
    ...turnedOverCandidates(known),
    ...turnedOnBolts(known),
    ...topTakenHanging(known),
    ...pairOffClock(known),
    ...otherMarks("marks-off", neighbouringMarks, known),
    ...otherMarks("digits-mistaken", mistakenMarks, known),
    ...marksExchanged(known),
    ...leftRightExchanged(known),
    ...otherSets(known),
    ...toeSlips(known.toeUnits).map((slip) => misread(slip, known)),
    ...oldRingsAtBase(known),
    { ...fitted("nothing-fitted", {}, known, null), shown: [0, 0] },
    ...thinDirt(known),
  ];
}

/** @returns {number[]} the marks one to three away, counted round, without the mark itself */
export function neighbouringMarks(mark, ring) {
  const near = MARKS_OFF.map((off) => remainder(mark + off - ring.first_mark, ring.marks) + ring.first_mark);
  return [...new Set(near)].filter((other) => other !== mark);
}

/** @returns {number[]} the ring's marks that one may be read as, rising: digits swapped, 6 for 9, or upside down */
export function mistakenMarks(mark, ring) {
  const digits = [...String(mark)];
  const backwards = [...digits].reverse();
  const oneTurned = digits.map((turned, k) => {
    return digits.map((digit, at) => (at === k && "69".includes(turned) ? DIGITS_UPSIDE_DOWN[digit] : digit));
  });
  const allTurned = backwards.map((digit) => DIGITS_UPSIDE_DOWN[digit] ?? "no digit"); // then the reading is no number
  const readings = [backwards, ...oneTurned, allTurned].map((reading) => reading.join(""));
  const numbers = new Set(readings.filter((reading) => reading.length === 1 || reading[0] !== "0").map(Number));
  return [...numbers].filter((number) => number !== mark && hasMark(ring, number)).sort((a, b) => a - b);
}

function plannedRings({ ringSet, pair }) {
  return placedPair(ringSet, pair);
}

// Readings are right, and these rings are in.
function fitted(code, detail, { base, check }, rings, elsewhere = null) {
  const shown = rings && effectMdeg(rings);
  return { code, detail, shown, rings, base, check, toeFactor: 1, elsewhere, looseSd: 0, weight: 1 };
}

function turnedOverCandidates(known) {
  const [inner, outer] = plannedRings(known);
  return [
    fitted("faces-reversed", {}, known, [turnedOver(inner), turnedOver(outer)]),
    fitted("one-ring-turned-over", { ring: "inner" }, known, [turnedOver(inner), outer]),
    fitted("one-ring-turned-over", { ring: "outer" }, known, [inner, turnedOver(outer)]),
  ];
}

function turnedOnBolts(known) {
  const turns = known.bolts.length > 0 ? patternTurns(known.bolts) : USUAL_TURNS_DEG;
  return turns.map((turn) => {
    return fitted("pair-turned-on-bolts", { turn_deg: turn }, known, turnedBy(plannedRings(known), radiansOf(turn)));
  });
}

// On a trailing arm the rings then sit towards the front.
function topTakenHanging(known) {
  const droops = known.droopDeg === null ? DROOPS_DEG : DROOP_SHARES.map((share) => share * known.droopDeg);
  return droops.filter((droop) => droop > 0).map((droop) => {
    return fitted("top-taken-hanging", { turn_deg: -droop }, known, turnedBy(plannedRings(known), -radiansOf(droop)));
  });
}

function pairOffClock(known) {
  return PAIR_MARKS_OFF.map((marks) => {
    const turn = marks * 360 / known.ringSet.inner.marks;
    const rings = turnedBy(plannedRings(known), radiansOf(turn));
    return fitted("pair-off-clock", { turn_deg: toDecimals(turn, 1) }, known, rings);
  });
}

// Only where the rings are unlike.
function marksExchanged(known) {
  const { ringSet, pair: [i, j] } = known;
  const isAlike = JSON.stringify(ringSet.inner) === JSON.stringify(ringSet.outer);
  if (isAlike || i === j || !hasMark(ringSet.inner, j) || !hasMark(ringSet.outer, i)) return [];
  return [fitted("marks-exchanged", {}, known, placedPair(ringSet, [j, i]))];
}

function thinDirt(known) {
  const planned = fitted(THIN_DIRT, {}, known, plannedRings(known));
  const [camber, toe] = planned.shown;
  const clocks = Array.from({ length: DIRT_CLOCKS }, (_, clock) => clock * 360 / DIRT_CLOCKS);
  return DIRT_MM.flatMap((thick) => {
    const tilt = Math.atan(thick / smallerDiameterMm(known.ringSet)) * MDEG_PER_RAD;
    return clocks.map((clock_deg) => {
      const clock = radiansOf(clock_deg);
      const shown = [camber + tilt * Math.cos(clock), toe + tilt * Math.sin(clock)];
      return { ...planned, detail: { clock_deg }, shown, looseSd: DIRT_APART_MDEG };
    });
  });
}

/** @returns {number} the diameter over which both rings lie on each other */
export function smallerDiameterMm({ inner, outer }) {
  return Math.min(inner.outer_diameter_mm, outer.outer_diameter_mm);
}

// One ring alone at another mark.
function otherMarks(code, marksOf, known) {
  return RINGS.flatMap((ring, k) => marksOf(known.pair[k], known.ringSet[ring]).map((mark) => {
    const rings = plannedRings(known);
    rings[k] = placedRing(known.ringSet[ring], mark);
    return fitted(code, { ring, mark }, known, rings);
  }));
}

function leftRightExchanged(known) {
  if (!known.other?.fitting) return [];
  const [theirs, ours] = [placedPair(known.other.fitting.ringSet, known.other.fitting.pair), plannedRings(known)];
  return [
    fitted("left-right-exchanged", { faces: "right" }, known, theirs, [ours, theirs]),
    fitted("left-right-exchanged", { faces: "reversed" }, known, theirs.map(turnedOver),
      [ours.map(turnedOver), theirs]),
  ];
}

function otherSets(known) {
  const others = (known.other?.ringSets ?? []).filter((ringSet) => {
    const isOther = JSON.stringify(ringSet) !== JSON.stringify(known.ringSet);
    return isOther && RINGS.every((ring, k) => hasMark(ringSet[ring], known.pair[k]));
  });
  return others.map((ringSet) => fitted("other-set", { ring_set: ringSet.id }, known, placedPair(ringSet, known.pair)));
}

// The recorded toe of a reading is `factor` times the true one.
function misread({ code, detail, factor, weight }, known) {
  const [inBase, inCheck] = [detail.reading !== "check", detail.reading !== "base"];
  const rings = plannedRings(known);
  const [camber, toe] = effectMdeg(rings);
  const { base, check } = known;
  const trueBaseToe = inBase ? base[1] / factor : base[1];
  const expectedToe = (trueBaseToe + toe) * (inCheck ? factor : 1);
  return {
    code,
    detail,
    shown: [camber, expectedToe - base[1]],
    rings,
    base: [base[0], trueBaseToe],
    check: [check[0], inCheck ? check[1] / factor : check[1]],
    toeFactor: inCheck ? factor : 1,
    elsewhere: null,
    looseSd: 0,
    weight,
  };
}

function oldRingsAtBase(known) {
  if (!known.other?.oldRings) return [];
  const rings = plannedRings(known);
  const [camber, toe] = effectMdeg(rings);
  const [oldCamber, oldToe] = effectMdeg(placedPair(known.other.oldRings.ringSet, known.other.oldRings.pair));
  return [{
    ...fitted("old-rings-at-base", {}, known, rings),
    shown: [camber - oldCamber, toe - oldToe],
    base: [known.base[0] - oldCamber, known.base[1] - oldToe],
  }];
}

function hasMark({ first_mark, marks }, mark) {
  return mark >= first_mark && mark < first_mark + marks;
}
