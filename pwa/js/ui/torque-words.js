/** A typed torque in words: its stages, and how it is judged for thread and class. It offers no torque of its own. */

import { torqueReport } from "../domain/fasteners.js";

/** @returns {string} "25 N m", or "then 90° further" */
export function stageWords(t, { torque, unit, angle_deg }, locale) {
  if (torque === null) return t("fitting.torque.angle", { degrees: angle_deg });
  return `${new Intl.NumberFormat(locale).format(torque)} ${unit === "N·m" ? "N m" : "lbf ft"}`;
}

/** @returns {{shape: string, text: string}} low, usual or high; or why it is not judged */
export function torqueJudged(t, torque, bolts) {
  const { judged, why } = torqueReport(torque, bolts?.thread ?? null, bolts?.class ?? null);
  if (judged) return { shape: judged === "usual" ? "inside" : "outside", text: t(`fitting.torque.${judged}`) };
  return { shape: "open", text: t(`fitting.torque.${why}`) };
}
