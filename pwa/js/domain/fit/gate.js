// Can rings go in here at all? A ladder of checks, each a refusal or a warning by stable code. The twin of
// calc/fit/gate.py. It is not clever: whatever was not given is named as missing, never guessed. The words are the
// phone's texts by code.

import { FLANGE_STEP_MM, PILOT_DEPTH_MM, RIM_MM } from "../constants.js";
import { radiansOf, toDecimals } from "../numbers/arithmetic.js";
import { centreMm } from "../rings/placement.js";
import { RINGS } from "../numbers/sides.js";
import { effectMdeg, placedPair } from "../rings/tilt.js";

/** Refusals, warnings and missing fields, in the order in which they were found. */
class Gate {
  #refusals = [];
  #warnings = [];
  #missing = [];

  refuse(code, figures = {}) {
    this.#refusals.push({ code, figures });
  }

  warn(code, figures = {}) {
    this.#warnings.push({ code, figures });
  }

  miss(field) {
    this.#missing.push(field);
  }

  /** @returns {boolean} whether all of the vehicle's fields are given; those that are not are noted as missing */
  needs(vehicle, ...names) {
    const absent = names.filter((name) => vehicle[name] === null);
    absent.forEach((name) => this.miss(`vehicle.${name}`));
    return absent.length === 0;
  }

  /** @returns {object} the verdict: may_go_in is false with a refusal, null while something is missing, else true */
  toJson() {
    const verdict = this.#refusals.length > 0 ? false : this.#missing.length > 0 ? null : true;
    return { may_go_in: verdict, refusals: this.#refusals, warnings: this.#warnings, missing: this.#missing };
  }
}

/**
 * @param {object} request checked input of `fit`
 * @returns {Gate} without ring set and pair only what needs neither is judged
 */
export function checkedGate(request) {
  const gate = new Gate();
  checkMounting(gate, request.vehicle);
  checkPlace(gate, request.vehicle);
  if (request.ringSet === null || request.pair === null) {
    if (request.ringSet === null) gate.miss("ring_set");
    if (request.pair === null) gate.miss("pair");
    checkBracket(gate, request);
    return gate;
  }
  for (const check of [checkPilot, checkSensor, checkBracket, checkArch, checkFlange, checkRims]) check(gate, request);
  return gate;
}

/**
 * Room for the hub's pilot: left in the flange bore is its length less the stack; tilted it needs more than its
 * diameter there, and at most the stack x tan(tilt) more in the rings' bore.
 * @returns {object|null} {depth_left_mm, room_needed_mm, room_mm, bore_needed_mm}; null where the pilot is not known
 */
export function pilotReport({ vehicle, ringSet, pair }) {
  const { pilot, pilot_diameter_mm: diameter, pilot_length_mm: length, flange_bore_mm: bore } = vehicle;
  if (pilot !== "pilot" || diameter === null || length === null) return null;
  const [tilt, stack] = [totalTiltRad(ringSet, pair), centreMm(ringSet)];
  const depth = length - stack;
  const needed = Math.max(depth, 0) * Math.tan(tilt) + diameter * (1 / Math.cos(tilt) - 1);
  return {
    depth_left_mm: toDecimals(depth, 2),
    room_needed_mm: toDecimals(needed, 3),
    room_mm: bore === null ? null : toDecimals(bore - diameter, 3),
    bore_needed_mm: toDecimals(diameter + stack * Math.tan(tilt), 2),
  };
}

/**
 * @returns {object|null} {grows_mm, gap_mm}: a sensor that stays on the axle is left behind by the stack at the centre
 */
export function sensorReport({ vehicle, ringSet }) {
  if (vehicle.sensor === null) return null;
  const grows = vehicle.sensor === "on-axle" ? centreMm(ringSet) : 0;
  const gap = vehicle.sensor_gap_mm;
  return { grows_mm: toDecimals(grows, 2), gap_mm: gap === null ? null : toDecimals(gap + grows, 2) };
}

/** @returns {object|null} {moves_out_mm, left_mm} of the tyre's top: the stack + tyre radius x tan(camber change) */
export function archReport({ vehicle, ringSet, pair }) {
  const { tyre_radius_mm: radius, arch_gap_mm: gap } = vehicle;
  if (radius === null) return null;
  const [camberMdeg] = effectMdeg(placedPair(ringSet, pair));
  const moves = centreMm(ringSet) + radius * Math.tan(radiansOf(camberMdeg / 1000));
  return { moves_out_mm: toDecimals(moves, 1), left_mm: gap === null ? null : toDecimals(gap - moves, 1) };
}

function totalTiltRad(ringSet, pair) {
  const [camber, toe] = effectMdeg(placedPair(ringSet, pair)).map((mdeg) => Math.tan(radiansOf(mdeg / 1000)));
  return Math.atan(Math.hypot(camber, toe));
}

function checkMounting(gate, vehicle) {
  if (!gate.needs(vehicle, "mounting")) return;
  if (vehicle.mounting === "one-piece") gate.refuse("stub-one-piece");
  if (vehicle.mounting === "driven" && gate.needs(vehicle, "driven") && vehicle.driven === "not-both") {
    gate.refuse("driven-not-allowed");
  }
}

function checkPlace(gate, vehicle) {
  if (gate.needs(vehicle, "ring_place")) {
    if (vehicle.ring_place === "hub-to-wheel") gate.refuse("hub-to-wheel");
    if (vehicle.ring_place === "outboard-of-plate") gate.warn("plate-stays-behind");
  }
  if (gate.needs(vehicle, "pairs_fitted") && vehicle.pairs_fitted > 0) {
    gate.refuse("pair-already-fitted", { pairs: vehicle.pairs_fitted });
  }
}

function checkPilot(gate, request) {
  const { vehicle, ringSet } = request;
  if (!gate.needs(vehicle, "pilot") || vehicle.pilot === "no-pilot") return;
  gate.needs(vehicle, "pilot_diameter_mm", "pilot_length_mm", "flange_bore_mm");
  const report = pilotReport(request);
  if (report === null) return;
  const { depth_left_mm, room_needed_mm, room_mm, bore_needed_mm } = report;
  if (depth_left_mm <= 0) gate.refuse("pilot-lifts-out", { depth_left_mm });
  else if (depth_left_mm < PILOT_DEPTH_MM) gate.warn("pilot-shallow", { depth_left_mm });
  if (depth_left_mm > 0 && room_mm !== null && room_mm < room_needed_mm) {
    gate.refuse("pilot-binds", { room_mm, room_needed_mm });
  }
  const bore_mm = Math.min(ringSet.inner.bore_diameter_mm, ringSet.outer.bore_diameter_mm);
  if (bore_mm < bore_needed_mm) gate.refuse("ring-bore-too-small", { bore_mm, bore_needed_mm });
}

function checkSensor(gate, request) {
  const { vehicle } = request;
  if (!gate.needs(vehicle, "sensor") || vehicle.sensor !== "on-axle") return;
  const { grows_mm, gap_mm } = sensorReport(request);
  const most_mm = vehicle.sensor_gap_most_mm;
  gate.needs(vehicle, "sensor_gap_mm");
  if (most_mm === null || gap_mm === null) gate.warn("sensor-gap-unknown", { grows_mm });
  else if (gap_mm > most_mm) gate.refuse("sensor-gap-too-wide", { gap_mm, most_mm });
  else gate.warn("sensor-gap", { grows_mm, gap_mm });
}

function checkBracket(gate, { vehicle, bracket }) {
  if (!gate.needs(vehicle, "brake") || vehicle.brake === "drum" || !gate.needs(vehicle, "bracket")) return;
  if (vehicle.bracket === "inboard-of-ear") gate.refuse("bracket-inboard");
  if (vehicle.bracket === "outboard-of-ear") {
    gate.warn("bracket-spacers");
    if (bracket === null) gate.miss("bracket");
  }
}

function checkArch(gate, request) {
  if (!gate.needs(request.vehicle, "tyre_radius_mm", "arch_gap_mm")) return;
  const report = archReport(request);
  if (report.left_mm <= 0) gate.refuse("arch-too-close", report);
}

function checkFlange(gate, { vehicle, ringSet }) {
  if (!gate.needs(vehicle, "flange_diameter_mm")) return;
  for (const ring of RINGS) {
    const beyond = toDecimals(ringSet[ring].outer_diameter_mm - vehicle.flange_diameter_mm, 2);
    if (beyond > FLANGE_STEP_MM) gate.warn("ring-beyond-flange", { ring, wider_by_mm: beyond });
    if (beyond < -FLANGE_STEP_MM) gate.warn("ring-inside-flange", { ring, narrower_by_mm: -beyond });
  }
}

function checkRims(gate, { bolts, ringSet }) {
  if (bolts === null || bolts.clearanceMm === null) return;
  const reach = Math.max(...bolts.at.map(([radius]) => radius)) + bolts.clearanceMm / 2;
  for (const ring of RINGS) {
    const rim_mm = toDecimals(ringSet[ring].outer_diameter_mm / 2 - reach, 2);
    if (rim_mm < RIM_MM) gate.refuse("bolt-outside-ring", { ring, rim_mm, rim_wanted_mm: RIM_MM });
  }
}
