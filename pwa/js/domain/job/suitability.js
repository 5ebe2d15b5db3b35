// Whether a ring set, or one pair of it, suits this axle: the gate of the fitting aids, asked for a job. Pure.

import { InputError } from "../numbers/input-error.js";
import { fit } from "../fit/fit.js";
import { fitInputOf } from "./fit-request.js";

const leastTilted = new WeakMap();

/**
 * Whether a set suits at all: judged on its pair that tilts least, so what refuses that refuses every pair. The room in
 * the arch depends on the camber change, so it is judged pair by pair alone.
 * @param {object} fold of the job
 * @param {object} table of the ring set
 * @returns {{suits: boolean|null, refusals: object[], warnings: object[], missing: string[], error: InputError|null}}
 *   suits is null while something is not known; `missing` are fields of the fitting aids
 */
export function setSuits(fold, table) {
  const gate = pairSuits(fold, "left", table.ring_set, leastTiltedPair(table));
  const refusals = gate.refusals.filter(({ code }) => code !== "arch-too-close");
  return { ...gate, refusals, suits: refusals.length > 0 ? false : gate.missing.length > 0 || gate.error
    ? null : true };
}

/** The same for one pair at one wheel, the room in the arch among it. */
export function pairSuits(fold, side, ringSet, pair) {
  try {
    const { may_go_in, refusals, warnings, missing } = fit(fitInputOf(fold, side, { ringSet, pair })).gate;
    return { suits: may_go_in, refusals, warnings, missing, error: null };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { suits: null, refusals: [], warnings: [], missing: [], error };
  }
}

function leastTiltedPair(table) {
  if (!leastTilted.has(table)) leastTilted.set(table, findLeastTilted(table));
  return leastTilted.get(table);
}

function findLeastTilted({ camber, toe, columns, ring_set: { inner, outer } }) {
  let best = 0;
  const tilt = (k) => camber[k] * camber[k] + toe[k] * toe[k];
  for (let k = 1; k < camber.length; k += 1) if (tilt(k) < tilt(best)) best = k;
  return [inner.first_mark + Math.floor(best / columns), outer.first_mark + (best % columns)];
}
