/**
 * How a row and its answer are said. The three kinds of sentence of a row (caution, method, why) stand in
 * text/<lang>/sheets.json.
 */

import { KIND } from "../../domain/job/entry.js";
import { recheckParts } from "../../domain/job/rechecks.js";
import { recheckWords } from "./recheck-words.js";
import { rowTitle } from "./titles.js";

/** Facts that have no row of their own, by their slot: the card that shows them. */
const SHOWN_ON = [
  [/^base\./, "base.readings"], [/^round\.\d+\.check\./, "check.readings"], [/^front\./, "finish.front-readings"],
  [/^swapped\./, "base.swapped"],
  [/^window\./, "base.windows"], [/^(?:aim|rings)\./, "choose.plan"],
];

/** @returns {Object|null} the row of a slot, or the one whose card shows it */
export function rowShowing(job, slot) {
  const id = SHOWN_ON.find(([pattern]) => pattern.test(slot))?.[1];
  return job.row(slot) ?? job.rows.find((row) => row.id === id) ?? null;
}

/** @returns {"h2"|"h3"} a row's title stands under its pause's, where the sheet has pauses */
export function rowHeading({ pauses }) {
  return pauses.length > 1 ? "h3" : "h2";
}

/** @returns {string} the title with its side, for lists, notices and what is said of it elsewhere */
export function rowName(t, row) {
  const title = rowTitle(t, row);
  return row.wheel ? t("ui.step.with-side", { side: t(`ui.side.${row.wheel}`), title }) : title;
}

/** @returns {string} "caution", "method" or "why" of a row; "" where it has none */
export function rowPart(t, row, part) {
  const key = `row.${row.id}.${part}`;
  return t.has(key) ? t(key, row.params ?? {}) : "";
}

/**
 * @returns {string} what an entry says in this row; "" where it says that there is no answer, or has no words of its
 *   own
 */
export function answerWords(t, row, entry) {
  if (!entry) return "";
  const { kind, body } = entry;
  if (kind === KIND.HOLD_OVERRIDDEN) return t("ui.step.overridden", { reason: body.reason ?? "" });
  if (kind === KIND.STEP_DONE) return t("on-sheet.done");
  if (kind === KIND.FIELD_SET) return valueWords(t, row, body.value);
  const key = `ui.answer.${kind}`;
  return kind !== KIND.STEP_UNDONE && t.has(key) ? t(key) : "";
}

function valueWords(t, { optionSet, options }, answer) {
  if (answer === null || answer === undefined) return "";
  if (typeof answer === "string") return options ? optionWords(t, optionSet ?? options.set, answer) : answer;
  if (typeof answer === "object" && "recheck" in answer) return recheckWords(t, recheckParts(answer.recheck ?? {}));
  if (typeof answer === "object" && "text" in answer && "unit" in answer) return numberWords(t, answer);
  return t("on-sheet.done");
}

/** @returns {string} a plain number as it was typed, with its unit */
export function numberWords(t, { text, unit }) {
  return `${text} ${unitWords(t, unit)}`;
}

/** @returns {string} a unit as it stands beside its number */
export function unitWords(t, unit) {
  const key = [`unit.${unit}`, `ui.unit.${unit}`].find(t.has);
  return key ? t(key) : unit;
}

/** @returns {string} an answer of a list of options; its id where no text knows it */
export function optionWords(t, set, id) {
  const key = `option.${set}.${id}`;
  return t.has(key) ? t(key) : id;
}

/**
 * What a slot is about, also one of a round that is over, or of a row that is no longer asked for; the slot itself
 * where nobody knows.
 */
export function aboutWords(t, job, slot) {
  const [, round, first, wheel, rest] = /^(?:round\.(\d+)\.)?([^.]+)\.(?:(left|right)\.)?(.+)$/.exec(slot) ?? [];
  const row = job.row(slot);
  const id = row?.id ?? `${first}.${rest}`;
  const key = [`row.${id}.title`, `step.${id}.title`].find(t.has);
  if (!key) return slot;
  const title = t(key, row?.params ?? {});
  const place = wheel ? t("ui.step.with-side", { side: t(`ui.side.${wheel}`), title }) : title;
  return job.round > 1 && ["fit", "check"].includes(first)
    ? t("ui.step.in-round", { place, round: round ?? 1 }) : place;
}
