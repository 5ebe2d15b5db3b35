/** What to do where no plan reaches every window: which other set would, and what else to look at. */

import { element } from "../parts/element.js";
import { remark } from "../parts/signal.js";

const NEXT = ["read", "part", "tolerance", "customer"];

/** @param {{app: App, choice: PlanChoice}} options */
export function outOfReachCard({ app: { t }, choice }) {
  return element("section", { class: "sheet stack", key: "out-of-reach" },
    element("h2", { text: t("fitting.reach") }),
    choice.wouldReach.length === 0
      ? element("p", { text: t("fitting.reach.no-set") })
      : choice.wouldReach.map((each) =>
        remark({ name: each.suits === false ? "refused" : each.set.doubts.length > 0 ? "warning" : "suits",
          text: t(`fitting.reach.${whyNot(each, choice)}`, { set: each.set.name }) })),
    element("ol", { class: "stack numbered" },
      NEXT.map((step) => element("li", { text: t(`fitting.reach.${step}`) }))));
}

function whyNot({ suits, set, isPutIn }, { notHere }) {
  if (suits === false) return "unsuited";
  if (notHere.includes(set)) return "to-order";
  return set.doubts.length > 0 && !isPutIn ? "untrusted" : "left-out";
}
