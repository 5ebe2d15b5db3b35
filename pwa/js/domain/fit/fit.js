// Fitting aids of one wheel: the gate, what is seen at the wheel, bolts, cutting, spacers, tightening.
// The twin of calc/fit/fit.py. What cannot be computed from what was given is null, and gate.missing says what to give.
// It chooses no rings and never offers a torque. Lengths in mm, clocks in degrees, effect in mdeg.

import { degreesOf, remainder, toDecimals } from "../numbers/arithmetic.js";
import { SLACK_MM } from "../constants.js";
import { clearanceMarks, cutRingServes, wrappedMark } from "../rings/cutting.js";
import { commonLength, engagementAtBolt, wantedMm } from "./engagement.js";
import { checkedFitInput } from "./fit-input.js";
import { archReport, checkedGate, pilotReport, sensorReport } from "./gate.js";
import { drawnPlaces, drawnRing, stackAt, stackSummary } from "../rings/placement.js";
import { thickPointClock } from "../rings/rings.js";
import { RINGS } from "../numbers/sides.js";
import { spacerRows } from "./spacers.js";
import { tighteningOrder, tighteningStages } from "./tightening.js";
import { torqueReport } from "./torque.js";

/**
 * @param {object} input {wheel} and, where known, ring_set, pair, vehicle, bolts, torque, cut_pair, bracket
 * @returns {object} {wheel, gate, stack, pilot, sensor, arch, drawing, bolts, longer, tightening, cut_rings, spacers},
 *   as calc's fit gives it but for the words, which are the phone's texts by code
 * @throws {InputError} naming the field
 */
export function fit(input) {
  const request = checkedFitInput(input);
  const gate = checkedGate(request);
  const isPlaced = request.ringSet !== null && request.pair !== null;
  const ifPlaced = (aid) => (isPlaced ? aid(request, gate) : null);
  const bolts = ifPlaced(boltRows);
  const longer = longerBolts(bolts, gate);
  const spacers = ifPlaced(spacersAtLugs);
  const cutRings = ifPlaced(cutRingsServe);
  return {
    wheel: request.wheel,
    gate: gate.toJson(),
    stack: ifPlaced(({ ringSet, pair }) => stackSummary(ringSet, pair)),
    pilot: ifPlaced(pilotReport),
    sensor: ifPlaced(sensorReport),
    arch: ifPlaced(archReport),
    drawing: ifPlaced(drawing),
    bolts,
    longer,
    tightening: tightening(request),
    cut_rings: cutRings,
    spacers,
  };
}

// As seen from outboard; `front` is the hand on which the vehicle's front is.
function drawing({ wheel, ringSet, pair, bolts, bracket }) {
  return {
    front: wheel,
    inner: drawnRing(ringSet.inner, pair[0], wheel),
    outer: drawnRing(ringSet.outer, pair[1], wheel),
    bolts: drawnPlaces(bolts?.at ?? [], wheel),
    lugs: drawnPlaces(bracket?.lugs ?? [], wheel),
  };
}

function boltRows(request, gate) {
  const { bolts, ringSet, pair } = request;
  if (bolts === null) return null;
  const want = wantedEngagement(bolts, gate);
  if (bolts.clearanceMm === null) gate.miss("bolts.clearance_mm");
  const isKnown = want !== null && bolts.engagedMm !== null;
  return bolts.at.map((place, k) => {
    const stack = stackAt(ringSet, pair, place);
    return {
      number: k + 1,
      stack_mm: toDecimals(stack, 2),
      engagement: isKnown ? engagementAtBolt(stack, bolts.engagedMm, want, bolts.depthMm) : null,
      clearance: bolts.clearanceMm === null ? null : clearance(request, place),
    };
  });
}

function wantedEngagement({ engagedMm, thread, nutHeightMm, metal }, gate) {
  if (engagedMm === null) gate.miss("bolts.engaged_mm");
  if (thread === null) {
    gate.miss("bolts.thread");
    return null;
  }
  if (nutHeightMm === null && metal === null) {
    gate.miss("bolts.metal");
    return null;
  }
  return wantedMm(thread, metal, nutHeightMm);
}

function clearance({ ringSet, pair, bolts }, place) {
  const [inner, outer] = RINGS.map((ring, k) => clearanceMarks(ringSet[ring], pair[k], place, bolts.clearanceMm));
  return { inner, outer };
}

// The extra length that suits every bolt; a refusal where none does.
function longerBolts(bolts, gate) {
  if (bolts === null || bolts[0].engagement === null) return null;
  const longer = commonLength(bolts.map((bolt) => bolt.engagement));
  const { at_least_mm, less_than_mm, possible } = longer;
  if (!possible) gate.refuse("bolts-bottom", { at_least_mm, less_than_mm });
  return longer;
}

function tightening({ bolts, torque }) {
  return {
    order: bolts && tighteningOrder(bolts.at),
    torque: torque && torqueReport(torque, bolts?.thread ?? null, bolts?.propertyClass ?? null),
    stages: torque && tighteningStages(torque),
  };
}

// Per ring whether, cut for `cutPair`, it serves for `pair`, and the mark that is then at the top.
function cutRingsServe({ ringSet, cutPair, pair, bolts }, gate) {
  if (cutPair === null) return null;
  if (bolts === null) {
    gate.miss("bolts");
    return null;
  }
  const [inner, outer] = RINGS.map((ring, k) => cutRing(ringSet[ring], cutPair[k], pair[k], bolts));
  return { inner, outer };
}

// Turned over, the mark at the top lies mirrored about the thick mark and may fall between two marks.
function cutRing(ring, cutMark, mark, bolts) {
  const [cut, wanted] = [cutMark, mark].map((top) => degreesOf(thickPointClock(ring, top)));
  const found = cutRingServes(bolts.at, cut, wanted, slackMm(bolts));
  const atTop = found.turned_over ? 2 * remainder(ring.thick_mark, ring.marks) - mark : mark;
  return { ...found, mark_at_top: found.serves ? wrappedMark(ring, atTop) : null };
}

// How far a bolt may stand from the middle of its clearance.
function slackMm({ thread, clearanceMm }) {
  return thread === null || clearanceMm === null ? SLACK_MM : (clearanceMm - thread.diameter_mm) / 2;
}

// Only where the bracket stays on the axle, outboard of its ear.
function spacersAtLugs({ vehicle, bracket, ringSet, pair }, gate) {
  if (vehicle.bracket !== "outboard-of-ear" || vehicle.brake === "drum" || bracket === null) return null;
  if (bracket.stock.length === 0) gate.miss("bracket.stock");
  return spacerRows(bracket.lugs.map((lug) => stackAt(ringSet, pair, lug)), bracket.stock, bracket.engagedMm);
}
