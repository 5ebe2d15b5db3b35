/** What is there for those who want more, folded under a quiet button. */

import { element } from "./element.js";

/**
 * @param {{label: string, key?: string, summaryKey?: string, open?: boolean}} fold
 * @param {...(Node|string|Array|null|false)} inside as in `element`
 * @returns {HTMLDetailsElement}
 */
export function more({ label, key, summaryKey, open }, ...inside) {
  return element("details", { class: "more", key, open },
    element("summary", { class: "button quiet", key: summaryKey },
      element("span", { class: "button-label", text: label })),
    inside);
}
