// Which rows of the sheets there are in a round: by the plan, by the answers, by what was opened and has to be closed
// again. Pure. It says nothing of what state they are in.

import { allHold, mayHold } from "./checklist-conditions.js";
import { hasAsFound } from "./as-found.js";
import { isTicked, planOf } from "./checklist-slots.js";
import { isOfSamePair } from "./agreed-plan.js";
import { KIND } from "./entry.js";
import { fitSlot, isAnswered, isEnding, isRaised, mayBoltBeOut, TAKE_OUT, workOf } from "./round-work.js";
import { partsMissing, stalePlan } from "./plan-still-holds.js";
import { fieldOf } from "./slot-values.js";
import { placeOf, slotOf } from "./sheet-data.js";
import { SIDES } from "../numbers/sides.js";

/** What is written on the rings of a wheel, in every language. */
const LETTER = { left: "L", right: "R" };
export const NO_PARAMS = Object.freeze({});

/**
 * What the rows of a round hang on.
 * @returns {object} {work: as workOf, facts: what conditions ask, by wheel and null for the whole vehicle, params: what
 *   a row at a wheel says of its pair, isReopened: whether a hub that was closed over another pair has to come off once
 *   more}
 */
export function sceneOf(template, fold, round, { names, begunWith }) {
  const work = workOf(fold, round);
  const plan = planOf(fold, round)?.plan;
  const isClosingOnly = work !== null && work.work.every((side) => work["given-up"].includes(side));
  const [ending, raised] = [isEnding(fold), isRaised(fold, round)];
  const scene = { template, fold, round, work, begunWith, isEnding: ending, isRaised: raised, isClosingOnly };
  scene.facts = new Map([null, ...SIDES].map((wheel) => [wheel, factsAt(scene, wheel)]));
  scene.params = new Map(SIDES.map((side) => [side, paramsOf(plan?.[side], side, names)]));
  scene.isReopened = new Map(SIDES.map((side) => [side, isReopened(fold, round, side)]));
  return scene;
}

function factsAt(scene, wheel) {
  const { template, fold, round, work, isRaised: raised } = scene;
  const sides = () => (work?.work.length > 0 ? work.work : SIDES);
  const slotsFor = (id) => {
    const place = placeOf(template, id);
    const asked = place.isPerWheel && wheel === null ? sides() : [wheel];
    return asked.map((side) => slotOf(place, { round, wheel: side }));
  };
  const isVehiclePlanned = (what) => work !== null && (work[what].length > 0 || (what === "work" && raised));
  const facts = {
    isPlanKnown: work !== null,
    isEnding: scene.isEnding,
    isPlanned: (what) => (wheel ? work?.[what].includes(wheel) ?? false : isVehiclePlanned(what)),
    isFound: (what) => isFound(scene, what),
    isTicked: (id) => slotsFor(id).every((slot) => isTicked(fold, slot)),
    valuesOf: (id) => slotsFor(id).flatMap((slot) => answersIn(fold, slot)),
    mayBeAsked: (id) => mayHold(placeOf(template, id).row.when, facts),
  };
  return facts;
}

/** Where two people say different things, what either answer asks for is there. */
function answersIn(fold, slot) {
  if (!fold.conflicts.includes(slot)) return [fieldOf(fold, slot) ?? null];
  return fold.slots[slot].map(({ kind, body }) => (kind === KIND.FIELD_SET ? body.value ?? null : null));
}

function isFound({ template, fold, round, work, isEnding: ending }, what) {
  if (what === "plan-stale") return stalePlan(fold, round) !== null;
  if (what === "as-found") return hasAsFound(fold);
  if (what === "vehicle-type") return Boolean(fieldOf(fold, "vehicle.type")?.type);
  if (what === "bolt-backed-out") {
    const willClose = (side) => !ending && work.work.includes(side) && !work["given-up"].includes(side);
    return (ending || work !== null) && mayBoltBeOut(fold, round, SIDES.filter(willClose));
  }
  const list = slotOf(placeOf(template, "choose.single-use"), { round, wheel: null });
  return partsMissing(fold, round, { value: fieldOf(fold, list) }).length > 0;
}

/** A hub that was tightened over another pair has to come off once more: what led to it is done again. */
function isReopened(fold, round, side) {
  const slot = fitSlot(round, "tightened", side);
  return isTicked(fold, slot) && fold.slots[slot].some(({ body }) => !isOfSamePair(fold, round, side, body.plan));
}

function paramsOf(fitted, side, names) {
  if (!fitted) return NO_PARAMS;
  const [inner, outer] = fitted.pair;
  return { inner, outer, ringSet: names[fitted.ring_set] ?? fitted.ring_set, letter: LETTER[side] };
}

/** @returns {string[]} the wheels of a row that stands once per wheel on a sheet of the whole vehicle */
export function wheelsBeside(entry, { work }) {
  return entry.isInRounds && work ? work.work : SIDES;
}

/**
 * @param {function} holds allHold: whether the row is there; mayHold: whether an answer or a plan to come may bring it
 */
export function applies(sheet, entry, wheel, scene, facts, holds) {
  const { row } = entry;
  const { fold, round, work } = scene;
  if (!holds(sheet.when, facts) || !holds(row.when, facts)) return false;
  if (wheel !== null && entry.isInRounds && !work && holds === allHold) return false;
  const slot = slotOf(entry, { round, wheel });
  if (scene.begunWith < 2 && entry.isNew && isDoneWithout(scene, entry, slot, wheel)) return false;
  if (round === TAKE_OUT && sheet.id === "plan") return row.when.some(({ plan }) => plan === "work");
  if (work?.["given-up"].includes(wheel) && entry.isInRounds) return isClosing(scene, entry, slot, wheel);
  if (scene.isEnding && sheet.id !== "finish") return isKeptAtEnd(sheet, entry, slot, wheel, scene);
  if (scene.isClosingOnly && sheet.id === "lift") return isAnswered(fold, slot) || (row.hold && wheel === null);
  return true;
}

/**
 * A job that was begun before there were sheets: what its program never asked is asked only where the work has not gone
 * past it. A wheel that it closed is not opened again for a question.
 */
function isDoneWithout({ fold, round }, { row }, slot, wheel) {
  if (fold.slots[slot]) return false;
  const { sheetId, hold, gate } = row;
  const done = (name, side = null) => isAnswered(fold, fitSlot(round, name, side));
  if (sheetId === "wheel") return done("wheel-on", wheel);
  if (sheetId === "lift") return done("supported");
  // what the holds at the wheel hang on is asked as long as one of them may be
  if (sheetId === "down" || gate) return done("chocks-away");
  if (sheetId === "check") return fold.slots[`round.${round}.check.left.1`] !== undefined;
  if (sheetId === "plan" || !hold) return isRaised(fold, round);
  return planOf(fold, round) !== null;
}

/** At a wheel that the plan has given up: what was done stays in sight, and what closes it again is asked. */
function isClosing(scene, { row }, slot, wheel) {
  const { fold } = scene;
  const isRefused = (row.options ?? []).some(({ id, refuse }) => refuse && fieldOf(fold, slot) === id);
  if (isAnswered(fold, slot) && !isRefused) return true;
  if (row.when.some(({ plan }) => plan === "bare")) return true;
  return closesSomething(scene, row, wheel);
}

/** Whether something was done at a wheel that a row closes again. */
function closesSomething({ template, fold, round }, { closesAll }, wheel) {
  return closesAll.some((id) => {
    const place = placeOf(template, id);
    return isAnswered(fold, slotOf(place, { round, wheel: place.isPerWheel ? wheel : null }));
  });
}

/** A job that ends here asks nothing more, but for what closes the vehicle and lets it down. */
function isKeptAtEnd(sheet, { row }, slot, wheel, scene) {
  const { fold, round, work, isRaised: raised } = scene;
  if (isAnswered(fold, slot)) return true;
  if (row.type === "torque") return work?.work.some((side) => closesSomething(scene, row, side)) ?? false;
  if (work?.rings.includes(wheel)) return true;
  if (sheet.id === "lift") return raised && row.hold && wheel === null;
  return sheet.id === "down" && raised && (wheel === null || work?.work.includes(wheel) || round === TAKE_OUT);
}
