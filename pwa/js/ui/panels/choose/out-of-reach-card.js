/** What to do where no plan reaches every window: which other set would, and what else to look at. */

import { element } from "../../parts/element.js";
import { remark } from "../../parts/signal.js";

const NEXT = ["read", "part", "tolerance", "customer"];

/** @param {{app: App, choice: PlanChoice}} options */
export function outOfReachCard({ app: { t }, choice }) {
  return element("section", { class: "sheet stack", key: "out-of-reach" },
    element("h2", { text: t("fitting.reach") }),
    choice.wouldReach.length === 0
      ? element("p", { text: t("fitting.reach.no-set") })
      : choice.wouldReach.map(({ set, suits }) => remark({ name: suits === false ? "refused" : "suits", text: t(suits === false ? "fitting.reach.unsuited" : "fitting.reach.left-out", { set: set.name }) })),
    element("ol", { class: "stack numbered" }, NEXT.map((step) => element("li", { text: t(`fitting.reach.${step}`) }))));
}
