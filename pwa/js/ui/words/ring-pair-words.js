/**
 * A ring pair in words, the same on every screen and in the report: "12 meets 31, at the top", with the set's name;
 * rings alike may be swapped freely, else inner and outer are named.
 */

import { swapFreely } from "../../domain/rings/rings.js";

/**
 * @param {function} t
 * @param {{ring_set: string, pair: [number, number]}|null} fitted null: this wheel gets no rings
 * @param {{set: function(string): Object|undefined}} choice looks a ring set up by its id
 */
export function ringPairWords(t, fitted, choice) {
  if (!fitted) return t("ui.pair.none");
  const set = choice.set(fitted.ring_set);
  return fittedWords(t, fitted, set && { name: set.name, ring_set: set.table.ring_set });
}

/**
 * @param {function} t
 * @param {{ring_set: string, pair: [number, number]}} fitted
 * @param {{name: string, ring_set: Object}|null|undefined} set where its data are not here, inner and outer are named
 */
function fittedWords(t, fitted, set) {
  const [inner, outer] = fitted.pair;
  return t(set && swapFreely(set.ring_set) ? "ui.pair.alike" : "ui.pair",
    { inner, outer, set: set?.name ?? fitted.ring_set });
}

/**
 * What sits at a wheel when the report is written: its pair, and whether it is to come out or not tightened; else what
 * became of one, or none.
 */
export function wheelFitted({ t, report, setOf }, side) {
  const fitted = report.fitted[side];
  if (!fitted && report.still_in.includes(side)) return t("report.still-in");
  if (!fitted) return t(report.taken_out.includes(side) ? "report.taken-out" : "report.no-rings");
  const words = fittedWords(t, fitted, setOf(fitted));
  const pair = fitted.closed === false ? t("report.not-tightened", { pair: words }) : words;
  return fitted.leaving ? t("report.leaving", { pair }) : pair;
}
