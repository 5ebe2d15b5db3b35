/**
 * Two plans of one round that open different wheels: while none of them holds nothing is opened and nothing is chosen.
 * It says so, and asks which one holds; that plan is then written once more, in place of all.
 */

import { plannedPairAt } from "../../domain/job/checklist-slots.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { button, element } from "../parts/element.js";
import { planInShort } from "./plan-table.js";
import { remark } from "../parts/signal.js";

/**
 * @param {{t: function, fold: Object, round: number, among: Object[], onHolds: function(Object): void}} options `among`
 *   as beginningOf gives it; onHolds takes the plan-chosen entry that holds
 */
export function disputedRoundCard({ t, fold, round, among, onHolds }) {
  return element("section", { class: "sheet stack wide", key: "round-disputed" },
    remark({ name: "warning", text: t("fitting.disputed", { round }) }),
    among.map((entry, at) => element("div", { class: "stack" },
      element("p", { text: t("fitting.disputed.plan",
        { by: entry.by, plan: planInShort(t, entry.body.plan, what(fold, round, entry.body)) }) }),
      button({ key: `holds-${at}`, label: t("fitting.disputed.holds"), onPress: () => onHolds(entry) }))));
}

function what(fold, round, { open }) {
  const isOpen = (side) => !open || open.includes(side);
  return { closed: SIDES.filter((side) => !isOpen(side)),
    old: SIDES.filter((side) => isOpen(side) && plannedPairAt(fold, side, round - 1)) };
}
