/** An angle with how it stands to its window: the number with its way, then "inside" or "outside by", with a shape. */

import { beyond } from "../../domain/numbers/window.js";
import { element } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";

/**
 * @param {{app: App, quantity: string, mdeg: number, limits: [number, number]|null}} options
 * @returns {HTMLElement}
 */
export function angleJudged({ app: { t, words }, quantity, mdeg, limits }) {
  const judged = limits ? words.judge(quantity, mdeg, limits) : t("ui.no-window");
  const name = limits && (beyond(mdeg, limits) === 0 ? "inside" : "outside");
  return element("div", { class: "judgement" },
    element("span", { class: "angle number", text: words.say(quantity, mdeg) }),
    element("span", { class: "with-shape" }, name && stateShape(name), element("span", { text: judged })));
}
