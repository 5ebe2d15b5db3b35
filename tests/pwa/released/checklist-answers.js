// As release 0.1.0 had it, never edited: how a phone of that release reads a job. Its checklist is fixtures/demo/checklist.json.
//
// What the entries say about one step: done, overridden, answered with what. Pure; it locks nothing and shows nothing.

import { agreedTo, isOfSamePair } from "/js/domain/job/agreed-plan.js";
import { KIND } from "/js/domain/job/entry.js";
import { isTicked, planOf } from "/js/domain/job/checklist-slots.js";
import { fieldOf } from "/js/domain/job/slot-values.js";
import { SIDES } from "/js/domain/numbers/sides.js";

/**
 * Reads the answer to a step.
 * @param {object} fold of the job
 * @param {object} step with `type`, `slot`, `panel`, `items`, `options` (each {id, warn?, refuse?})
 * @param {number} round
 * @returns {{done: boolean, overridden: boolean, conflict: boolean, value: *, refusal: string|null, warning: string|null}}
 *   While people differ about a step it is not done; an answer that refuses counts even then, because that is the safe side.
 */
export function answerOf(fold, step, round) {
  const live = fold.slots[step.slot] ?? [];
  const conflict = fold.conflicts.includes(step.slot);
  const values = live.filter(({ kind }) => kind === KIND.FIELD_SET).map(({ body }) => body.value ?? null);
  const chosen = (step.options ?? []).filter(({ id }) => values.includes(id));
  const refusal = chosen.find(({ refuse }) => refuse)?.refuse ?? null;
  return {
    done: !conflict && refusal === null && IS_DONE[step.type](fold, step, round, { live, values }),
    overridden: isOverridden(live) && !(step.panel === "consent" && agreedTo(fold, round, live) === "anew"),
    conflict,
    value: conflict ? null : values[0] ?? null,
    refusal,
    warning: chosen.find(({ warn }) => warn)?.warn ?? PANEL_WARNING[step.panel]?.(fold, round, { live, values }) ?? null,
  };
}

/** Two people who both let the work go on differ in words only; one of them who took it back does not. */
function isOverridden(live) {
  return live.some(({ kind }) => kind === KIND.HOLD_OVERRIDDEN) && live.every(({ kind }) => kind !== KIND.STEP_UNDONE);
}

const isAnswered = (fold, step, round, { values }) => values.length > 0 && values.every(isGiven);

const IS_DONE = {
  // a tick about the pair is about the pair that was planned when it was given
  tick: (fold, step, round, { live }) => isTicked(fold, step.slot) && (!step.isOfPair || live.every(({ body }) => isOfSamePair(fold, round, step.wheel, body.plan))),
  choice: (fold, step, round, { values }) => step.options.some(({ id }) => id === values[0]),
  text: isAnswered,
  number: isAnswered,
  photo: (fold, step) => fold.photos.some(({ body }) => body.about === step.slot),
  panel: (fold, step, round, answer) => PANEL_IS_DONE[step.panel](fold, step, round, answer),
};

function isGiven(value) {
  return (value ?? null) !== null && (typeof value !== "string" || value.trim() !== "");
}

const PANEL_IS_DONE = {
  // derived by checklist.js from the other steps of its stage
  "can-rings-go-in": () => false,
  readings: (fold) => isReadAtBothWheels(fold, "base"),
  windows: (fold) => isGiven(fieldOf(fold, "window.source")) && windowSlots(fold).some((slot) => isGiven(fieldOf(fold, slot))),
  plan: (fold, step, round) => planOf(fold, round) !== null,
  consent: (fold, step, round, { live }) => live.some(({ kind }) => kind === KIND.CONSENT_RECORDED) && agreedTo(fold, round, live) !== "anew",
  "single-use-list": (fold, step, round, { values }) => step.items.every((item) => isGiven(values[0]?.[item])),
  torque: isAnswered,
  "parts-used": isAnswered,
  bolts: isAnswered,
  pressures: isAnswered,
  bracket: isAnswered,
  "level-ride": isAnswered,
  "level-hanging": isAnswered,
  // it only shows what follows from the answers before
  "fitting-aids": () => false,
  "check-readings": (fold, step, round) => isReadAtBothWheels(fold, `round.${round}.check`),
  proof: (fold, step, round) => isReadAtBothWheels(fold, `round.${round}.check`),
  "front-readings": (fold) => SIDES.every((side) => readingsIn(fold, `front.after.${side}`).some(({ toe }) => toe !== null)),
  sign: (fold) => fold.state === "signed",
  stop: (fold) => fold.state === "stopped",
};

const PANEL_WARNING = {
  // a part that has to be ordered does not stop the work, but it must be in sight before anything is taken apart
  "single-use-list": (fold, round, { values }) => (Object.values(values[0] ?? {}).includes("to-order") ? "part-to-order" : null),
  consent: (fold, round, { live }) => ({ anew: "consent-anew", wheels: "consent-other-plan" })[agreedTo(fold, round, live)] ?? null,
};

function isReadAtBothWheels(fold, prefix) {
  return SIDES.every((side) =>
    Object.keys(fold.slots).some((slot) =>
      slot.startsWith(`${prefix}.${side}.`) &&
      readingsIn(fold, slot).some(({ camber, toe }) => camber !== null && toe !== null)));
}

function readingsIn(fold, slot) {
  return (fold.slots[slot] ?? []).filter(({ kind }) => kind === KIND.READING_TAKEN).map(({ body }) => body);
}

function windowSlots(fold) {
  return Object.keys(fold.slots).filter((slot) => slot.startsWith("window.") && slot !== "window.source");
}
