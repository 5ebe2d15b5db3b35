// What a folded job means for choosing: windows, aims, base readings of a round, ring wishes. Pure.
// Nothing is chosen on a value that a person must first decide (settled.js).

import { beginningOf, planOf } from "./checklist-slots.js";
import { PARTS } from "../numbers/quantities.js";
import { bothSides, meanReadings } from "./readings.js";
import { fieldOf } from "./settled.js";
import { readingSds, spreadOf } from "./shop-spread.js";

const AXLE_WINDOWS = Object.freeze({
  total_toe: "window.total-toe", thrust: "window.thrust", cross_camber: "window.cross-camber",
});

/** The window of a slot as [low, high] in mdeg, or null where the maker gives none or nobody has typed it. */
export function windowOf(fold, slot) {
  const window = fieldOf(fold, slot);
  return window ? [window.low.mdeg, window.high.mdeg] : null;
}

/** Both windows of a wheel: {camber, toe}, each as windowOf. */
export function windowsAt(fold, side) {
  return { camber: windowOf(fold, `window.${side}.camber`), toe: windowOf(fold, `window.${side}.toe`) };
}

/**
 * What the wheels had before the rings of this round: the base readings in round 1; later an estimate, the check
 * reading of the round before less the effect of what that round fitted.
 * @param {object} fold of the job
 * @param {number} round 1, 2, ...
 * @param {{left: [number, number], right: [number, number]}} [fitted] effects really fitted, where they are not those planned
 * @param {object} [sds] as in meanReadings
 * @returns {{left: object, right: object, estimated: boolean}} wheels as in meanReadings
 */
export function baseOf(fold, round, fitted = undefined, sds = undefined) {
  if (round === 1) return { ...meanReadings(fold, "base", sds), estimated: false };
  const checked = meanReadings(fold, `round.${round - 1}.check`, sds);
  const effects = fitted ?? beginningOf(fold, round).less ?? effectsOf(fold, round - 1);
  const wheels = bothSides((side) => {
    const [camber, toe] = effects?.[side] ?? [null, null];
    return { ...checked[side], camber: less(checked[side].camber, camber), toe: less(checked[side].toe, toe) };
  });
  return { ...wheels, estimated: true };
}

/** [camber, toe] in mdeg that the plan of a round makes at each wheel; null while there is no single plan. */
function effectsOf(fold, round) {
  const plan = planOf(fold, round)?.plan;
  return plan ? bothSides((side) => plan[side]?.effect ?? [0, 0]) : null;
}

/**
 * The input of `choose` for a round, or what it still lacks.
 * @param {string[]} ringSets ids, in the order in which ties fall
 * @param {{open?: string[], less?: object, bare?: string[]}} [begun] how this round was begun (rounds.js): wheels that are opened get
 *   rings or lose them, the others keep what they have
 * @param {object|null} [shop] the shop's own spreads (shop-spread.js)
 * @returns {{input: object|null, missing: string[], estimated: boolean}} `missing` are names such as "left.camber"
 */
export function chooseInputOf(fold, round, ringSets, begun = beginningOf(fold, round), shop = null) {
  const { estimated, ...wheels } = baseOf(fold, round, begun.less, readingSds(shop));
  const missing = Object.entries(wheels).flatMap(([side, wheel]) =>
    PARTS.filter((quantity) => wheel[quantity] === null).map((quantity) => `${side}.${quantity}`));
  if (missing.length > 0) return { input: null, missing, estimated };
  const input = {
    ring_sets: ringSets,
    wheels: bothSides((side) => ({
      camber: wheels[side].camber, toe: wheels[side].toe, rings: ringsIn(fold, side, begun),
    })),
    windows: bothSides((side) => ({ ...windowsAt(fold, side), aim: fieldOf(fold, `aim.${side}`) ?? null })),
    axle: Object.fromEntries(Object.entries(AXLE_WINDOWS).map(([name, slot]) => [name, windowOf(fold, slot)])),
    spread: spreadOf(wheels, shop),
  };
  return { input, missing, estimated };
}

/** A wheel that stays closed, or that is left bare, gets no rings; at every other the technician's own word holds, in each round. */
function ringsIn(fold, side, { open, bare }) {
  return (open && !open.includes(side)) || bare?.includes(side) ? "no" : fieldOf(fold, `rings.${side}`) ?? "auto";
}

function less(checked, effect) {
  return checked === null || effect === null ? null : checked - effect;
}
