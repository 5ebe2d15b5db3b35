// As release 0.1.0 had it, never edited: how a phone of that release reads a job. Its checklist is fixtures/demo/checklist.json.
//
// The checklist of a job: which steps there are, what state each is in, what holds or refuses what follows.
// Pure: it reads the checklist's data and the job's fold, and neither stores nor shows anything.

import { SIDES } from "/js/domain/numbers/sides.js";
import { answerOf } from "./checklist-answers.js";
import { allHold, mayHold } from "/js/domain/job/checklist-conditions.js";
import { currentRound, isTicked, planOf, slotOf, wheelsOf, wheelsWithRings } from "/js/domain/job/checklist-slots.js";
import { inWorkingOrder } from "./working-order.js";
import { fieldOf } from "/js/domain/job/slot-values.js";

/** What is written on the rings of a wheel, in every language. */
const LETTER = { left: "L", right: "R" };

/** Rings that sit at the axle are got ready only once they are out. */
const OLD_PAIR_OUT = "fit.pair-out";

/**
 * The steps of a job in working order, those that do not apply left out.
 * @param {object} checklist parsed checklist.json
 * @param {object} fold of the job (fold.js)
 * @param {{round?: number, names?: Object<string, string>}} [at] the current round unless given; names of the ring sets by id
 * @returns {object[]} {stage, round: number|null, id, slot, wheel, type, hold, required, always, remembered, gate, caution, format, units, panel, shows, items,
 *   optionSet, options, params, state: "done"|"open"|"locked"|"overridden"|"refused", lockedBy: slot|null,
 *   lockedFor: "hold"|"refusal"|null, canOverride, conflict, value, refusal, warning}
 */
export function stepsOf(checklist, fold, { round = currentRound(fold), names = {} } = {}) {
  const expanded = expandedSteps(checklist, fold, round, names);
  const answered = expanded.map((step) => ({ ...step, ...answerOf(fold, step, round) }));
  return withLocks(withGate(answered), checklist.stages.map(({ id }) => id));
}

/**
 * @returns {{id: string, state: "done"|"open"|"locked"|"refused"|"waiting"|"not-needed", done: number, left: number}[]}
 *   counted over required steps; waiting: there is no plan yet; not-needed: the plan has no rings. Left are also those that only an
 *   answer still to be given can bring: so the count falls, by more than one where some fall away, and never rises by an answer
 */
export function stageStates(checklist, fold, at = {}) {
  const { round = currentRound(fold) } = at;
  const steps = stepsOf(checklist, fold, at);
  const wheels = wheelsWithRings(fold, round);
  const there = new Set(steps.map(({ slot }) => slot));
  const mayCome = expandedSteps(checklist, fold, round, {}, mayHold).filter(({ slot, required }) => required && !there.has(slot));
  return checklist.stages.map(({ id }) => {
    const required = steps.filter((step) => step.stage === id && step.required);
    const left = required.filter((step) => !isConfirmed(step));
    const coming = mayCome.filter(({ stage }) => stage === id);
    return { id, state: stageState(steps, id, left, required, wheels), done: required.length - left.length, left: left.length + coming.length };
  });
}

/**
 * The step to do next: the first open one after a slot (required or not), else the first open one that is required, else
 * the first that was answered with a refusal: its answer is changed, or the job is stopped.
 * @param {string|null} [after] slot of the step that was just done
 * @returns {object|null} null when nothing is left to do
 */
export function nextStep(checklist, fold, after = null, at = {}) {
  const steps = stepsOf(checklist, fold, at);
  const following = steps.slice(steps.findIndex(({ slot }) => slot === after) + 1);
  const isOpen = ({ state, always }) => state === "open" && !always;
  return (after !== null && following.find(isOpen))
    || steps.find((step) => step.required && isOpen(step))
    || steps.find(({ state }) => state === "refused")
    || null;
}

/** @returns {object[]} required steps neither done nor overridden, the signature itself left out: what a signed sheet would lack */
export function missing(checklist, fold, at = {}) {
  return stepsOf(checklist, fold, at).filter((step) => step.required && step.panel !== "sign" && !isConfirmed(step));
}

/** @returns {{code, slot, id, wheel, gate}[]} answers that stop the job; each is changed or the job is stopped, none is overridden */
export function refusals(checklist, fold, at = {}) {
  return findings(stepsOf(checklist, fold, at), "refusal");
}

/** @returns {{code, slot, id, wheel, gate}[]} answers that ask for care and stop nothing */
export function warnings(checklist, fold, at = {}) {
  return findings(stepsOf(checklist, fold, at), "warning");
}

function findings(steps, what) {
  return steps.filter((step) => step[what]).map(({ slot, id, wheel, gate, [what]: code }) => ({ code, slot, id, wheel, gate }));
}

function isConfirmed({ state }) {
  return state === "done" || state === "overridden";
}

function stageState(steps, stage, left, required, wheels) {
  const ofStage = steps.filter((step) => step.stage === stage);
  if (ofStage.length === 0) return wheels === null ? "waiting" : "not-needed";
  if (ofStage.some(({ state }) => state === "refused")) return "refused";
  if (left.length === 0) return "done";
  return left.every(({ state }) => state === "locked") && left.length === required.length ? "locked" : "open";
}

/** @param {function} holds allHold: the steps that there are; mayHold: with those that may still come */
function expandedSteps(checklist, fold, round, names, holds = allHold) {
  const planned = wheelsOf(fold, round);
  const wheels = withGivenUp(planned ?? {});
  const places = placesOf(checklist);
  const steps = [];
  for (const stage of checklist.stages) {
    for (const { step, wheel } of inWorkingOrder(stage.steps, wheels.work ?? [])) {
      const facts = {
        isPlanKnown: planned !== null,
        isPlanned: (what) => (wheels[what] ?? []).some((each) => wheel === null || each === wheel),
        mayBeAsked: (id) => mayHold(places[id].step.when, facts),
        valueOf: (id) => fieldOf(fold, slotOf(places[id].stage, places[id].step, { round, wheel })) ?? null,
      };
      if (!holds(stage.when, facts) || !holds(step.when, facts)) continue;
      if (wheels["given-up"].includes(wheel) && !closes(fold, step, (id) => slotOf(stage, { id, per: "wheel" }, { round, wheel }))) continue;
      steps.push(plainStep(checklist, stage, step, { fold, round, wheel, names }));
    }
  }
  return (wheels["old-pair"] ?? []).reduce(benchAfterOldPair, steps);
}

/** A wheel that is open has to be closed, whatever the plan has come to say of it meanwhile. */
function withGivenUp(wheels) {
  const { work = [], bare = [], emptied = [], "given-up": givenUp = [] } = wheels;
  return { ...wheels, "work": SIDES.filter((side) => [...work, ...givenUp].includes(side)), "bare": [...bare, ...emptied], "given-up": givenUp };
}

/** At a wheel that the plan has given up: what was done stays in sight, and what closes again what was opened is asked. */
function closes(fold, step, slotAt) {
  return isTicked(fold, slotAt(step.id)) || step.when?.some(({ plan }) => plan === "bare") || (step.closes && isTicked(fold, slotAt(step.closes)));
}

/** At a wheel whose old pair comes out in this round, lining up and opening the rings follows that, for they may be the same rings. */
function benchAfterOldPair(steps, wheel) {
  const isBench = (step) => step.stage === "prepare" && step.wheel === wheel;
  const others = steps.filter((step) => !isBench(step));
  const at = others.findIndex((step) => step.id === OLD_PAIR_OUT && step.wheel === wheel) + 1;
  return [...others.slice(0, at), ...steps.filter(isBench), ...others.slice(at)];
}

/** Where each step id stands in the data, so that a condition can name it. */
function placesOf(checklist) {
  return Object.fromEntries(checklist.stages.flatMap((stage) => stage.steps.map((step) => [step.id, { stage, step }])));
}

function plainStep(checklist, stage, step, { fold, round, wheel, names }) {
  return {
    stage: stage.id,
    round: stage.rounds ? round : null,
    id: step.id,
    slot: slotOf(stage, step, { round, wheel }),
    wheel,
    type: step.type,
    hold: step.hold ?? false,
    required: step.required ?? true,
    always: step.always ?? false,
    remembered: step.remembered ?? false,
    gate: step.gate ?? false,
    caution: step.caution ?? null,
    passable: step.passable ?? true,
    format: step.format ?? null,
    units: step.units ?? null,
    panel: step.panel ?? null,
    shows: step.shows ?? null,
    items: step.items ?? null,
    optionSet: step.options ?? null,
    options: step.options ? checklist.option_sets[step.options] : null,
    params: paramsOf(fold, { round, wheel, names }),
    isOfPair: wheel !== null && (stage.id === "prepare" || (step.when ?? []).some(({ plan }) => plan === "rings")),
  };
}

function paramsOf(fold, { round, wheel, names }) {
  const fitted = wheel && planOf(fold, round).plan[wheel];
  return fitted ? { inner: fitted.pair[0], outer: fitted.pair[1], ringSet: names[fitted.ring_set] ?? fitted.ring_set, letter: LETTER[wheel] } : {};
}

/** "Can rings go in here" has no entry of its own: it is answered when every question behind it is, and none refuses. */
function withGate(steps) {
  const done = steps.filter(({ gate }) => gate).every((step) => step.done);
  return steps.map((step) => (step.panel === "can-rings-go-in" ? { ...step, done } : step));
}

function withLocks(steps, stageOrder) {
  const locks = [];
  let reached = 0; // bench work that waits for the old pair is as far in the job as what stands before it
  return steps.map((step) => {
    const stage = stageOrder.indexOf(step.stage);
    reached = Math.max(reached, stage);
    const lock = step.always ? undefined : locks.find((candidate) => isLockedBy(candidate, step, reached));
    const state = stateOf(step, lock);
    const { done: _done, overridden: _overridden, passable, ...shown } = step;
    const result = {
      ...shown,
      state,
      lockedBy: lock?.slot ?? null,
      lockedFor: lock?.why ?? null,
      // nobody but the customer can say yes; whether that yes covers a changed plan, a technician may know
      canOverride: step.hold && passable && state === "open" && (step.panel !== "consent" || step.warning === "consent-anew"),
    };
    locks.push(...locksFrom(result, stage));
    return result;
  });
}

function stateOf({ refusal, overridden, done }, lock) {
  if (refusal) return "refused";
  if (overridden) return "overridden";
  if (done) return "done";
  return lock ? "locked" : "open";
}

/** What an unconfirmed hold or a refusal keeps from being done. */
function locksFrom({ hold, state, slot, wheel, refusal }, stage) {
  const locks = [];
  if (refusal) locks.push({ why: "refusal", slot, wheel, fromStage: stage + 1 });
  if (hold && !isConfirmed({ state })) locks.push({ why: refusal ? "refusal" : "hold", slot, wheel, fromStage: stage });
  return locks;
}

/**
 * Two wheels can be worked on at once: a hold, or a refusal such as a cracked ring, at one does not keep the other waiting. Steps of the
 * whole vehicle wait for both, so that it is neither lifted nor lowered past either.
 */
function isLockedBy(lock, step, stage) {
  const sameWheel = lock.wheel === null || step.wheel === null || lock.wheel === step.wheel;
  return stage >= lock.fromStage && sameWheel;
}
