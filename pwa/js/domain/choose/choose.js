// Chooses rings and marks for both rear wheels: the twin of calc.choose, by the same rule on the same tables.
// It sets up the four fit patterns and puts their plans together. How the best is found stands in joint-search.js, what
// is better than what in outside.js, wheel-aim.js and plan-order.js. All angles are whole millidegrees; only thrust and
// toe_outside may end in .5.

import { POINTS } from "../constants.js";
import { adviceOf } from "./advice.js";
import { isSafelyInside } from "./base-reading.js";
import { covarianceOf, pointsInside } from "./chance.js";
import { checkedInput } from "./choose-input.js";
import { buildIndex, NO_RINGS } from "./effect-index.js";
import { InputError } from "../numbers/input-error.js";
import { bestPair } from "./joint-search.js";
import { CamberOutside, ToeOutside } from "./outside.js";
import { inOrder, isClose } from "./plan-order.js";
import { SIDES } from "../numbers/sides.js";
import { aimOf, aimsJson } from "./wheel-aim.js";

// In the order of the last ties.
const PATTERNS = [
  { left: false, right: false },
  { left: true, right: false },
  { left: false, right: true },
  { left: true, right: true },
];

/**
 * The best plan of every fit pattern that is allowed, the recommended one first, and what else to think of.
 * @param {object} input as python -m calc choose takes it; `ring_sets` may hold the ids of ring sets
 * @param {object[]} tables parsed tables; each ring set of the input must have its own among them
 * @param {EffectIndex|null} index buildIndex(tables) of just those ring sets of the input that may be chosen, in their
 *   order; else it is built anew
 * @returns {{advice: string[], plans: object[], other_way: object|null, aims: object}} as calc.choose gives it
 * @throws {InputError} naming the field
 */
export function choose(input, tables, index = null) {
  const request = checkedInput(input, tables);
  const effects = index && isOfTables(index, request.tables) ? index : buildIndex(request.tables);
  const task = taskOf(request);
  const plans = inOrder(allowedPatterns(request, effects).map((pattern) => planOf(request, effects, task, pattern)));
  return {
    advice: adviceOf(request, plans), plans, other_way: otherWay(request, effects, task, plans[0]),
    aims: aimsJson(request),
  };
}

// Where the recommended plan leaves anything outside: the plan of the same pattern that spares camber before toe.
function otherWay(request, effects, task, recommended) {
  if (recommended.toe_outside === 0 && recommended.camber_outside === 0) return null;
  const pattern = { left: recommended.left !== null, right: recommended.right !== null };
  const other = planOf(request, effects, { ...task, changes: { ...task.changes, isCamberFirst: true } }, pattern);
  return SIDES.every((wheel) => isSameFitting(other[wheel], recommended[wheel])) ? null : other;
}

function isSameFitting(one, other) {
  if (one === null || other === null) return one === other;
  return one.ring_set === other.ring_set && one.pair.every((mark, at) => mark === other.pair[at]);
}

/**
 * The plan that given pairs make, judged as the best of a pattern is: to show a pair that a person tries.
 * @param {object} input as `choose` takes it
 * @param {object[]} tables
 * @param {{left: {ring_set: string, pair: number[]}|null, right: object|null}} fitting
 * @returns {object} a plan as `choose` gives it
 * @throws {InputError} where a pair is not in its ring set's table
 */
export function planWith(input, tables, fitting) {
  const request = checkedInput(input, tables);
  const task = taskOf(request);
  const fitted = Object.fromEntries(
    SIDES.map((wheel) => [wheel, fitting[wheel] && fittedInTable(fitting[wheel], request.tables, wheel)]));
  const part = (aim, wheel) => aim.distance(...(fitted[wheel]?.effect ?? [0, 0]));
  const distance = part(task.changes.leftAim, "left") + part(task.changes.rightAim, "right");
  return judged(request, task.windows, fitted, distance);
}

function fittedInTable({ ring_set, pair: [i, j] }, tables, wheel) {
  const table = tables.find((each) => each.ring_set.id === ring_set);
  const row = i - (table?.ring_set.inner.first_mark ?? 0);
  const column = j - (table?.ring_set.outer.first_mark ?? 0);
  if (!table || !(row >= 0 && row < table.rows && column >= 0 && column < table.columns)) {
    throw new InputError("bad-input", wheel, "marks of a ring set whose table is here", `${ring_set}: ${i}, ${j}`);
  }
  const k = row * table.columns + column;
  return { ringSet: table.ring_set, pair: [i, j], effect: [table.camber[k], table.toe[k]] };
}

function isOfTables(index, tables) {
  return index.tables.length === tables.length && tables.every((table, at) => table === index.tables[at]);
}

function allowedPatterns({ wheels }, effects) {
  for (const wheel of SIDES) {
    if (effects.size === 0 && wheels[wheel].rings === "yes") {
      throw new InputError("bad-input", `wheels.${wheel}.rings`,
        "auto or no, as no ring set offers an index pair", "yes");
    }
  }
  return PATTERNS.filter((pattern) => SIDES.every((wheel) => {
    const { rings } = wheels[wheel];
    return (rings === "auto" || (rings === "yes") === pattern[wheel]) && !(pattern[wheel] && effects.size === 0);
  }));
}

// Windows and aims as the readings must meet them, and the same for changes from the base readings.
function taskOf(request) {
  const { wheels: { left, right }, windows, axle, band } = request;
  return {
    windows: {
      toe: new ToeOutside(windows.left.toe, windows.right.toe, axle.total_toe, axle.thrust),
      camber: new CamberOutside(windows.left.camber, windows.right.camber, axle.cross_camber),
    },
    changes: {
      toe: new ToeOutside(
        asChange(windows.left.toe, left.toe),
        asChange(windows.right.toe, right.toe),
        asChange(axle.total_toe, left.toe + right.toe),
        asChange(axle.thrust, (left.toe - right.toe) / 2),
      ),
      camber: new CamberOutside(
        asChange(windows.left.camber, left.camber),
        asChange(windows.right.camber, right.camber),
        asChange(axle.cross_camber, left.camber - right.camber),
      ),
      band,
      leftAim: aimOf(request, "left").from(left),
      rightAim: aimOf(request, "right").from(right),
    },
  };
}

function asChange(window, base) {
  return window && window.map((edge) => edge - base);
}

// Where the best of both wheels uses two ring sets, the best one of a single set takes its place if that is as good but
// for the distance and its chance is close: one set is simpler to stock and to fit.
function planOf(request, effects, { windows, changes }, pattern) {
  const indexes = SIDES.map((wheel) => (pattern[wheel] ? effects : NO_RINGS));
  const found = bestPair(...indexes, changes);
  const best = planAt(request, windows, indexes, found);
  if (!best.left || !best.right || best.left.ring_set === best.right.ring_set) return best;
  const ofOneSet = bestOfOneSet(effects, changes, found);
  if (ofOneSet === null) return best;
  const simpler = planAt(request, windows, [ofOneSet.index, ofOneSet.index], ofOneSet.found);
  return isClose(best.chance, simpler.chance) ? simpler : best;
}

// Of the grade of `found`; of equals the set that comes first stays.
function bestOfOneSet(effects, changes, { grade }) {
  let [best, bound] = [null, { grade, distance: Infinity }];
  for (const index of effects.ofEachSet()) {
    const better = bestPair(index, index, changes, bound);
    if (better) [best, bound] = [{ index, found: better }, better];
  }
  return best;
}

function planAt(request, windows, [left, right], found) {
  return judged(request, windows, { left: pairAtPosition(left, found.left), right: pairAtPosition(right, found.right) },
    found.distance);
}

function judged(request, windows, fitted, distance) {
  const { wheels, band, spread } = request;
  const opened = SIDES.filter((wheel) => fitted[wheel]);
  const predicted = { left: sum(wheels.left, fitted.left), right: sum(wheels.right, fitted.right) };
  const [[leftCamber, leftToe], [rightCamber, rightToe]] = [predicted.left, predicted.right];
  const toeOutside = windows.toe.at(leftToe, rightToe);
  const camberOutside = windows.camber.at(leftCamber, rightCamber);
  const inside = pointsInside(
    [leftCamber, leftToe, rightCamber, rightToe],
    covarianceOf(fitted.left, fitted.right, spread),
    windows,
  );
  return {
    left: asJson(fitted.left),
    right: asJson(fitted.right),
    predicted,
    axle: { total_toe: leftToe + rightToe, thrust: (leftToe - rightToe) / 2, cross_camber: leftCamber - rightCamber },
    toe_outside: toeOutside,
    camber_outside: camberOutside,
    toe_steps: Math.floor(toeOutside / band.toe),
    camber_steps: Math.floor(camberOutside / band.camber),
    needless: opened.filter((wheel) => isSafelyInside(request, wheel)).length,
    pairs: opened.length,
    distance,
    chance: inside / POINTS,
    ...doubtsOf(request, opened.map((wheel) => fitted[wheel].ringSet.id)),
  };
}

// What is doubted about the ring sets of a plan; nothing where none is.
function doubtsOf({ doubts }, used) {
  const ofThese = Object.entries(doubts).filter(([id]) => used.includes(id));
  return ofThese.length > 0 ? { doubts: Object.fromEntries(ofThese) } : {};
}

// What stands at a position of an index: null where the wheel gets no rings.
function pairAtPosition(index, position) {
  if (index === NO_RINGS) return null;
  const { table, pair } = index.pairOfRank(index.rank[position]);
  return { ringSet: table.ring_set, pair, effect: [index.camber[position], index.toe[position]] };
}

function sum({ camber, toe }, fitted) {
  const [camberChange, toeChange] = fitted?.effect ?? [0, 0];
  return [camber + camberChange, toe + toeChange];
}

function asJson(fitted) {
  return fitted && { ring_set: fitted.ringSet.id, pair: fitted.pair, effect: fitted.effect };
}
