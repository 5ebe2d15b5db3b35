/** Which wheel this is about, in letters that nobody overlooks, standing on that side of the screen. */

import { element } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";

/** @param {{t: function, side: "left"|"right", axle?: "rear"|"front", round?: number|null}} options a round after the first is said */
export function sideBanner({ t, side, axle = "rear", round = null }) {
  const word = element("span", { class: "side-word", text: t(`ui.side.${side}`) });
  const place = t(`ui.side.${axle}-wheel`);
  const what = element("span", { class: "side-what", text: round > 1 ? t("ui.step.in-round", { place, round }) : place });
  const words = element("span", { class: "side-words" }, word, what);
  return element("p", { class: `side-banner ${side}`, key: "side" }, side === "left" ? [stateShape("left"), words] : [words, stateShape("right")]);
}
