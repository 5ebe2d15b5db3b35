/** Which wheel this is about, in letters that nobody overlooks, standing on that side of the screen. */

import { element } from "./element.js";
import { shape } from "./shape.js";

/** @param {{t: function, side: "left"|"right", axle?: "rear"|"front"}} options */
export function sideBanner({ t, side, axle = "rear" }) {
  const word = element("span", { class: "side-word", text: t(`ui.side.${side}`) });
  const what = element("span", { class: "side-what", text: t(`ui.side.${axle}-wheel`) });
  const words = element("span", { class: "side-words" }, word, what);
  return element("p", { class: `side-banner ${side}`, key: "side" }, side === "left" ? [shape("left"), words] : [words, shape("right")]);
}
