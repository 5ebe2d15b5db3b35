// Whether a plan still follows from what is known: its windows and readings may have been corrected after it was taken,
// and parts that it needs may not be there. Pure. It chooses nothing: whether the plan is still the best, choosing
// says.

import { beginningOf, isTicked, planOf } from "./checklist-slots.js";
import { isOfSamePair } from "./agreed-plan.js";
import { fingerprint } from "./fold.js";
import { chooseInputOf } from "./job.js";
import { fitSlot, workOf } from "./round-work.js";
import { fieldOf } from "./slot-values.js";
import { PUT_IN, putIn } from "./untrusted-sets.js";
import { SIDES } from "../numbers/sides.js";

const WHEEL_PARTS = ["camber", "toe"];
/** Parts that a plan itself asks for, whatever somebody has ticked. */
const AXLE_NUT = "axle-nut";
const RINGS_AT_HAND = "rings";

/**
 * What the plan of a round was taken from and what is so no more.
 * @returns {{what: string, was: *, now: *}[]} `what`: "left.toe" a reading, "window.left.toe", "aim.left",
 *   "axle.thrust", "rings.left"; values in mdeg, null where there is none. Empty where nothing changed, or where the
 *   plan does not say what it was taken from
 */
export function planChanges(fold, round) {
  const body = planOf(fold, round);
  if (!body?.input?.wheels) return [];
  const { input: then } = body;
  const { input, missing } = chooseInputOf(fold, round, then.ring_sets, beginningOf(fold, round));
  if (!input) return missing.map((what) => ({ what, was: valueAt(then.wheels, what), now: null }));
  const wishes = SIDES.filter((side) => !keepsTo(input.wheels[side].rings, body.plan[side]));
  return [
    ...SIDES.flatMap((side) => wheelChanges(then, input, side)),
    ...Object.keys(input.axle).map((name) => change(`axle.${name}`, then.axle?.[name], input.axle[name])),
    ...takenOut(fold, body).map((id) => change(`${PUT_IN}.${id}`, true, false)),
    ...wishes.map((side) => change(`rings.${side}`, Boolean(body.plan[side]), input.wheels[side].rings)),
  ].filter(({ was, now }) => JSON.stringify(was) !== JSON.stringify(now));
}

function valueAt(wheels, what) {
  const [side, part] = what.split(".");
  return wheels[side][part];
}

function change(what, was, now) {
  return { what, was: was ?? null, now };
}

function wheelChanges(then, now, side) {
  const [windowThen, windowNow] = [then.windows[side], now.windows[side]];
  return [
    ...WHEEL_PARTS.map((part) => change(`${side}.${part}`, then.wheels[side][part], now.wheels[side][part])),
    ...WHEEL_PARTS.map((part) => change(`window.${side}.${part}`, windowThen[part], windowNow[part])),
    change(`aim.${side}`, windowThen.aim, windowNow.aim),
  ];
}

/**
 * Untrusted sets of the plan that somebody put in for it and has taken out again since; what the shop alone changes is
 * said elsewhere.
 */
function takenOut(fold, { input, plan }) {
  const used = new Set(SIDES.map((side) => plan[side]?.ring_set));
  const isOut = (id) => used.has(id) && Object.hasOwn(input.untrusted ?? {}, id) && !putIn(fold)[id];
  return (input.put_in ?? []).filter(isOut);
}

/** Whether a plan does at a wheel what the technician's own word asks there. */
function keepsTo(wish, fitted) {
  return wish === "auto" || (wish === "yes") === Boolean(fitted);
}

/**
 * Whether the plan of a round has to be chosen again, or why it stands be said, before anything more is done by it.
 * @returns {{code: string, changes: object[]}|null} `code` names this very set of changes, for a reason holds for no
 *   other; null: the plan holds, or every wheel of it is closed: what was closed by an older plan is judged by its
 *   check readings
 */
export function stalePlan(fold, round) {
  const changes = planChanges(fold, round);
  if (changes.length === 0 || isAllClosed(fold, round)) return null;
  return { code: fingerprint(changes), changes };
}

function isAllClosed(fold, round) {
  const { work } = workOf(fold, round) ?? { work: [] };
  return work.length > 0 && work.every((side) => {
    const slot = fitSlot(round, "tightened", side);
    return isTicked(fold, slot) && fold.slots[slot].every(({ body }) => isOfSamePair(fold, round, side, body.plan));
  });
}

/** @returns {boolean} whether two plans do the same at both wheels: choosing again gave the plan that was taken */
export function isSamePlan(a, b) {
  const pairAt = (fitted) => (fitted ? [fitted.ring_set, fitted.pair] : null);
  const deeds = (plan) => JSON.stringify(SIDES.map((side) => pairAt(plan[side])));
  return deeds(a) === deeds(b);
}

/** @returns {string[]} of these parts those that this vehicle can have; an axle nut until all say that there is none */
export function partsAsked(fold, items) {
  return fieldOf(fold, "vehicle.axle-nut") === "no" ? items.filter((item) => item !== AXLE_NUT) : items;
}

/**
 * Parts that the plan of a round needs and that are not at hand: to be ordered, or said to be not needed.
 * @param {object} fold of the job
 * @param {number} round
 * @param {{value: object|null}} list the answer about parts
 * @returns {string[]} in the order of the list
 */
export function partsMissing(fold, round, { value }) {
  const work = workOf(fold, round);
  if (!value || !work || work.work.length === 0) return [];
  const needed = [work["new-pair"].length > 0 && RINGS_AT_HAND, AXLE_NUT, ...(planOf(fold, round)?.needs ?? [])];
  const isMissing = (item) => value[item] === "to-order" || (value[item] === "not-needed" && needed.includes(item));
  return partsAsked(fold, Object.keys(value)).filter(isMissing);
}
