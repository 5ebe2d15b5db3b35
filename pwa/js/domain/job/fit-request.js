// What a job's fields mean for the fitting aids (fit.js): vehicle, bolts, torque, bracket. Pure; it computes no aid.

import { oldRingsIn } from "./round-work.js";
import { fieldOf } from "./slot-values.js";

const CHOICES = {
  mounting: "vehicle.mounting", driven: "vehicle.driven-allowed", ring_place: "vehicle.ring-place",
  sensor: "vehicle.sensor",
  brake: "vehicle.rear-brake", bracket: "vehicle.caliper-bracket",
};
const LENGTHS_MM = {
  pilot_diameter_mm: "vehicle.pilot-diameter", pilot_length_mm: "vehicle.pilot-length",
  flange_bore_mm: "vehicle.flange-bore",
  sensor_gap_mm: "vehicle.sensor-gap-now", sensor_gap_most_mm: "vehicle.sensor-gap-most",
  tyre_radius_mm: "vehicle.tyre-radius",
  arch_gap_mm: "vehicle.arch-gap", flange_diameter_mm: "vehicle.flange-diameter",
};
/** Units that a torque may be typed in, as entries name them, and as the fitting aids do. */
export const TORQUE_UNITS = { "nm": "N·m", "lbf-ft": "lbf·ft" };

/** The vehicle as the gate asks for it; what is not answered is left out. */
export function vehicleOf(fold) {
  const vehicle = {};
  for (const [name, slot] of Object.entries(CHOICES)) if (fieldOf(fold, slot)) vehicle[name] = fieldOf(fold, slot);
  for (const [name, slot] of Object.entries(LENGTHS_MM)) {
    const length = fieldOf(fold, slot)?.number;
    if (typeof length === "number") vehicle[name] = length;
  }
  const pilot = fieldOf(fold, "vehicle.pilot");
  if (pilot) vehicle.pilot = pilot === "no-pilot" ? "no-pilot" : "pilot";
  const pairs = pairsStillIn(fold);
  return pairs === null ? vehicle : { ...vehicle, pairs_fitted: pairs };
}

// Old rings count until they are confirmed out.
function pairsStillIn(fold) {
  return fieldOf(fold, "vehicle.pair-fitted") ? oldRingsIn(fold).length : null;
}

/** The hub bolts, or null; turns counted at that wheel while taking it apart say more than what was typed before. */
export function boltsOf(fold, side = null) {
  const { engaged_mm, turns, ...bolts } = fieldOf(fold, "vehicle.bolts")?.bolts ?? {};
  if (!bolts.at) return null;
  const counted = side && fieldOf(fold, `fit.${side}.bolt-turns`)?.number;
  if (counted && bolts.thread) return { ...bolts, turns: counted };
  return { ...bolts, ...(engaged_mm === undefined ? {} : { engaged_mm }), ...(turns === undefined ? {} : { turns }) };
}

/**
 * How far a bolt was screwed in by the turns that were counted at that wheel, beside what was typed before.
 * @returns {{turns: number, counted_mm: number|null, typed_mm: number|null, clashes: boolean}|null} null where none
 *   were counted; clashes: they differ by more than one pitch, which no counting error of a turn explains
 */
export function countedOf(fold, side) {
  const turns = fieldOf(fold, `fit.${side}.bolt-turns`)?.number;
  if (!turns) return null;
  const before = boltsOf(fold) ?? {};
  const pitch = before.thread?.pitch_mm ?? null;
  const counted = pitch && turns * pitch;
  const typed = before.engaged_mm ?? (pitch && before.turns ? before.turns * pitch : null);
  return { turns, counted_mm: counted, typed_mm: typed, clashes: counted !== null && typed !== null
    && Math.abs(counted - typed) > pitch };
}

/** A typed torque, the hub bolts' unless another is named, as the fitting aids take it, or null. */
export function torqueOf(fold, slot = "fit.torque") {
  const torque = fieldOf(fold, slot);
  if (!torque) return null;
  const typed = Number(String(torque.text).replace(",", "."));
  return { value: typed, unit: TORQUE_UNITS[torque.unit], source: torque.source, angle_deg: torque.angle_deg,
    unit_named: torque.unit_named ?? null };
}

/**
 * The input of `fit` for one wheel.
 * @param {{ringSet: object, pair: number[], cutPair?: number[]|null}} fitting
 */
export function fitInputOf(fold, side, { ringSet, pair, cutPair = null }) {
  return {
    wheel: side, ring_set: ringSet, pair, cut_pair: cutPair, vehicle: vehicleOf(fold), bolts: boltsOf(fold, side),
    torque: torqueOf(fold), bracket: fieldOf(fold, "vehicle.bracket-lugs")?.bracket ?? null,
  };
}
