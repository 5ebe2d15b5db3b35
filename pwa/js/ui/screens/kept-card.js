/** "Ready without network" in plain words: what this phone keeps, what it does not, and what can take it away. */

import { element } from "../parts/element.js";

const POINTS_OF = { kept: 3, not: 3, lost: 5 };

/** @param {{t: function(string, Object=): string}} options */
export function keptCard({ t }) {
  return element("section", { class: "stack", key: "kept" },
    element("h3", { text: t("kept.title") }),
    Object.entries(POINTS_OF).map(([part, count]) => [
      element("p", { text: t(`kept.${part}`) }),
      element("ul", { class: "points" },
        Array.from({ length: count }, (_, at) => element("li", { text: t(`kept.${part}.${at + 1}`) })))]));
}
