/**
 * A typed torque in words: its stages as shares of it, and how it is judged for thread and class. It offers no torque
 * of its own.
 */

import { torqueReport, unitQuestion } from "../../domain/fit/torque.js";

const SHARES = ["first", "second"]; // in words alone: a figure that nobody typed could be taken for the maker's

/**
 * @returns {string[]} "about a third", "about two thirds", "full: 88 N m, as typed", and "then 90° further" where it
 *   was typed
 */
export function stagesWords(t, torque) {
  const stages = [...SHARES.map((share) => t(`fitting.torque.share.${share}`)),
    t("fitting.torque.full", { torque: torqueFigure(t, torque) })];
  return torque.angle_deg ? [...stages, t("fitting.torque.angle", { degrees: torque.angle_deg })] : stages;
}

/** @returns {string} the typed torque, its angle and its source */
export function typedTorqueWords(t, torque) {
  const angle = torque.angle_deg ? `, ${t("fitting.torque.angle", { degrees: torque.angle_deg })}` : "";
  return t("fitting.torque.typed", { torque: `${torqueFigure(t, torque)}${angle}`, source: torque.source });
}

/** @returns {string} that nobody has said yet which unit the source prints; "" where it is the one that was typed */
export function unitNotNamed(t, torque) {
  return unitQuestion(torque, null, null).to_be_named ? t("plan.torque.unit.not-named") : "";
}

/** @returns {string} the typed figure with its unit */
export function torqueFigure(t, { value, unit }) {
  return `${t.number(value, 0, 3)} ${unit === "N·m" ? "N m" : "lbf ft"}`;
}

/**
 * @returns {{shape: string, text: string}} low, usual or high; usual in the other unit alone; or why it is not judged
 */
export function torqueJudged(t, torque, bolts) {
  const { judged, why, unit } = torqueReport(torque, bolts?.thread ?? null, bolts?.class ?? null);
  if (unit.fits === "other") return { shape: "outside", text: t(`fitting.torque.${judged}.other-unit`) };
  if (judged) return { shape: judged === "usual" ? "inside" : "outside", text: t(`fitting.torque.${judged}`) };
  return { shape: "open", text: t(`fitting.torque.${why}`) };
}
