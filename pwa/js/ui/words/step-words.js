/** How a step, its stage and its answer are said in one line. */

import { currentRound } from "../../domain/job/checklist-slots.js";
import { KIND } from "../../domain/job/entry.js";

/** Facts that have no step of their own, by the beginning of their slot: the panel that shows them. */
const SHOWN_IN = [
  [/^base\./, "readings"], [/^round\.\d+\.check\./, "check-readings"], [/^front\./, "front-readings"],
  [/^window\./, "windows"], [/^(?:aim|rings)\./, "plan"], [/^round\.\d+\.plan$/, "plan"],
];

/** @returns {Object|null} the step of a slot, or the one whose panel shows it */
export function stepShowing(job, slot) {
  const panel = SHOWN_IN.find(([beginning]) => beginning.test(slot))?.[1];
  return job.step(slot) ?? job.steps.find((step) => panel && step.panel === panel) ?? null;
}

/** @param {string} stage id of a stage */
export function stageName(t, stage) {
  return t(`stage.${stage}`);
}

/** The title alone; the side is said beside it, never in it. */
export function stepTitle(t, step) {
  return t(`step.${step.id}.title`, step.params);
}

/** The title with its side, for lists and notices. */
export function stepName(t, step) {
  const title = stepTitle(t, step);
  return step.wheel ? t("ui.step.with-side", { side: t(`ui.side.${step.wheel}`), title }) : title;
}

/** What a slot is about: the name of its step, also of a round that is over, whose steps the list no longer holds. */
export function aboutWords(t, job, slot) {
  const [, round, stage, wheel, name] = /^(?:round\.(\d+)\.)?([^.]+)\.(?:(left|right)\.)?(.+)$/.exec(slot) ?? [];
  const step = job.step(slot) ?? { id: `${stage}.${name}`, wheel, params: {} };
  if (!t.has(`step.${step.id}.title`)) return slot;
  const place = stepName(t, step);
  return currentRound(job.fold) > 1 && ["fit", "check"].includes(stage) ? t("ui.step.in-round", { place, round: round ?? 1 }) : place;
}

/** @returns {Object|undefined} the entry that says how a step stands: where the hold was gone past, the one with the reason */
export function sayingEntry(job, step) {
  const live = job.live(step.slot);
  return (step.state === "overridden" && live.find(({ kind }) => kind === KIND.HOLD_OVERRIDDEN)) || live[0];
}

/** @returns {string} what an entry answers in this step, in words; "" where the step's state says it all */
export function answerWords(t, step, entry) {
  if (entry.kind === KIND.HOLD_OVERRIDDEN) return t("ui.step.overridden", { reason: entry.body.reason ?? "" });
  if (entry.kind === KIND.STEP_UNDONE) return t("ui.answer.undone");
  if (entry.kind !== KIND.FIELD_SET) return t(`ui.answer.${entry.kind}`);
  return valueWords(t, step, entry.body.value);
}

/** @returns {string} a field's value in words */
function valueWords(t, step, answer) {
  if (answer === null || answer === undefined) return t("ui.answer.none");
  if (typeof answer === "string") return step.optionSet ? optionWords(t, step.optionSet, answer) : answer;
  if (typeof answer === "object" && "text" in answer && "unit" in answer) return `${answer.text} ${unitWords(t, answer.unit)}`;
  if (["single-use-list", "parts-used"].includes(step.panel)) return t("ui.answer.listed", { count: Object.keys(answer).length });
  return "";
}

export function optionWords(t, set, id) {
  const key = `option.${set}.${id}`;
  return t.has(key) ? t(key) : id;
}

function unitWords(t, unit) {
  const key = [`unit.${unit}`, `ui.unit.${unit}`].find(t.has);
  return key ? t(key) : unit;
}
