// What a folded job means for choosing: windows, aims, base readings of a round, ring wishes. Pure.
// Nothing is chosen on a value that a person must first decide (slot-values.js).

import { beginningOf, planOf } from "./checklist-slots.js";
import { WHEEL_ANGLES } from "../numbers/quantities.js";
import { agreedReadings, bothSides, disagreeingReadings, meanReadings } from "./readings.js";
import { fieldOf } from "./slot-values.js";
import { readingSds, spreadOf } from "./shop-spread.js";

const AXLE_WINDOWS = Object.freeze({
  total_toe: "window.total-toe", thrust: "window.thrust", cross_camber: "window.cross-camber",
});

/**
 * The window of a slot as [low, high] in mdeg, or null where the maker gives none or nobody has typed it. A field that
 * has null for an edge says "at most" or "at least": that edge is null, and never both.
 */
export function windowOf(fold, slot) {
  const { low, high } = fieldOf(fold, slot) ?? {};
  return low || high ? [low?.mdeg ?? null, high?.mdeg ?? null] : null;
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
 * @param {{left: [number, number], right: [number, number]}} [fitted] effects really fitted, where they are not those
 *   planned
 * @param {object} [sds] SDs of one reading, as in agreedReadings, where something is to be decided: readings that
 *   contradict each other then give null; left out where it is only shown
 * @returns {{left: object, right: object, estimated: boolean}} wheels as in meanReadings
 */
export function baseOf(fold, round, fitted = undefined, sds = undefined) {
  const read = sds ? agreedReadings : meanReadings;
  const checked = read(fold, readingsBefore(round), sds);
  if (round === 1) return { ...checked, estimated: false };
  const effects = fitted ?? beginningOf(fold, round).less ?? effectsOf(fold, round - 1);
  const wheels = bothSides((side) => {
    const [camber, toe] = effects?.[side] ?? [null, null];
    return { ...checked[side], camber: without(checked[side].camber, camber), toe: without(checked[side].toe, toe) };
  });
  return { ...wheels, estimated: true };
}

/** Prefix of the readings that a round starts from. */
export function readingsBefore(round) {
  return round === 1 ? "base" : `round.${round - 1}.check`;
}

/** [camber, toe] in mdeg that the plan of a round makes at each wheel; null while there is no single plan. */
function effectsOf(fold, round) {
  const plan = planOf(fold, round)?.plan;
  return plan ? bothSides((side) => plan[side]?.effect ?? [0, 0]) : null;
}

/**
 * The input of `choose` for a round, or what it still lacks.
 * @param {string[]} ringSets ids, in the order in which ties fall
 * @param {{open?: string[], less?: object, bare?: string[]}} [begun] how this round was begun (rounds.js): wheels that
 *   are opened get rings or lose them, the others keep what they have
 * @param {object|null} [shop] the shop's own spreads (shop-spread.js)
 * @returns {{input: object|null, missing: string[], disagreeing: object[], estimated: boolean}} `missing` are names
 *   such as "left.camber"; `disagreeing` as disagreeingReadings: what is missing because its readings contradict each
 *   other
 */
export function chooseInputOf(fold, round, ringSets, begun = beginningOf(fold, round), shop = null) {
  const { estimated, ...wheels } = baseOf(fold, round, begun.less, readingSds(shop));
  const disagreeing = disagreeingReadings(fold, readingsBefore(round), readingSds(shop));
  const missing = Object.entries(wheels).flatMap(([side, wheel]) =>
    WHEEL_ANGLES.filter((quantity) => wheel[quantity] === null).map((quantity) => `${side}.${quantity}`));
  if (missing.length > 0) return { input: null, missing, disagreeing, estimated };
  const input = {
    ring_sets: ringSets,
    wheels: bothSides((side) => ({
      camber: wheels[side].camber, toe: wheels[side].toe, rings: ringsIn(fold, side, begun),
    })),
    windows: bothSides((side) => ({ ...windowsAt(fold, side), aim: fieldOf(fold, `aim.${side}`) ?? null })),
    axle: Object.fromEntries(Object.entries(AXLE_WINDOWS).map(([name, slot]) => [name, windowOf(fold, slot)])),
    spread: spreadOf(wheels, shop),
  };
  return { input, missing, disagreeing, estimated };
}

/**
 * A wheel that stays closed, or that is left bare, gets no rings; at every other the technician's own word holds, in
 * each round.
 */
function ringsIn(fold, side, { open, bare }) {
  return (open && !open.includes(side)) || bare?.includes(side) ? "no" : fieldOf(fold, `rings.${side}`) ?? "auto";
}

function without(checked, effect) {
  return checked === null || effect === null ? null : checked - effect;
}
