/** A ring pair in words: "12 meets 31, at the top", with the set's name; inner and outer are named where they differ. */

import { swapFreely } from "../domain/rings.js";

/**
 * @param {function} t
 * @param {{ring_set: string, pair: [number, number]}|null} fitted null: this wheel gets no rings
 * @param {{set: function(string): Object|undefined}} choice looks a ring set up by its id
 */
export function ringPairWords(t, fitted, choice) {
  if (!fitted) return t("ui.pair.none");
  const [inner, outer] = fitted.pair;
  const set = choice.set(fitted.ring_set);
  const key = set && swapFreely(set.table.ring_set) ? "ui.pair.alike" : "ui.pair";
  return t(key, { inner, outer, set: set?.name ?? fitted.ring_set });
}
