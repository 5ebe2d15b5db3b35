/**
 * Where the main button leads: the next open row of this sheet, else the next sheet with one; and where an answer leads
 * by itself.
 */

import { KIND } from "../../domain/job/entry.js";
import { isLeft } from "../../domain/job/sheets.js";

/** @returns {Object|null} the next open row of a sheet, from the one that was answered last on, then from the top */
export function nextRow({ rows }, answered) {
  const from = rows.findIndex(({ slot }) => slot === answered) + 1;
  return rows.slice(from).find(isOpen) ?? rows.find(isOpen) ?? null;
}

/** @returns {Object|null} the sheet of the next open row behind this one, else of the first before it */
export function nextSheet(job, { key, rows }) {
  const behind = job.nextOpen(rows.at(-1)?.slot ?? null);
  const next = behind && behind.sheet !== key ? behind.sheet : job.nextOpen()?.sheet;
  return next && next !== key ? job.sheet(next) : null;
}

/** @returns {Object|null} the next open row behind one, none before it */
export function openBehind({ rows }, slot) {
  return rows.slice(rows.findIndex((row) => row.slot === slot) + 1).find(isOpen) ?? null;
}

/**
 * Where numbers follow directly behind what was tapped, and nothing to be tapped is left before them, the tap that
 * would ask for them is saved.
 * @returns {Object|null} their row
 */
export function numbersBehind(rows, { slot, kind, body }) {
  const at = rows.findIndex((row) => row.slot === slot);
  const isAnswer = kind === KIND.STEP_DONE || (kind === KIND.FIELD_SET && body.value !== null);
  if (at < 0 || !isAnswer || !isTapped(rows[at]) || rows.slice(0, at).some((row) => isOpen(row) && isTapped(row)))
    return null;
  const next = rows.slice(at + 1).find(({ more }) => !more);
  return next?.state === "open" && isNumbers(next) ? next : null;
}

/**
 * @returns {Object|null} the first row of a sheet, where it is still open and typed into: nothing has to be tapped
 *   before that
 */
export function typedFirst([first]) {
  return first && isOpen(first) && (first.type === "text" || first.card === "windows-table" || isNumbers(first)) ? first
    : null;
}

function isOpen(row) {
  return row.state === "open" && isLeft(row);
}

function isTapped({ type, card }) {
  return type === "tick" || type === "choice" || card === "parts" || card === "vehicle-type";
}

function isNumbers({ type, card }) {
  return type === "number" || type === "torque" || card === "readings-table";
}
