/** Beside a plan: whether its rings lie where this phone works. And what a set that would have to be ordered would gain. */

import { pairsOf } from "../../domain/job/rings-at-hand.js";
import { button, element } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { LEFT_OUT } from "./plan-choice.js";
import { chanceWords, outsideWords } from "./plan-table.js";

/** @returns {HTMLElement[]} a line for each ring set of the plan; none where nobody knows what is here */
export function atHandNotes(t, choice, plan) {
  if (!choice.atHand) return [];
  const { name: place } = choice.atHand.place;
  return pairsOf(plan, choice.atHand).map(({ ring_set: id, taken, here }) => {
    const [shape, key] = here < 0 ? ["warning", "wrong"] : here === 0 ? ["warning", "none"] : here < taken ? ["warning", "few"] : ["done", "here"];
    return remark({ name: shape, key: `at-hand-${id}`, text: t(`at-hand.${key}`, { set: choice.set(id)?.name ?? id, place, here, taken }) });
  });
}

/** @returns {HTMLElement|null} what sets that are not here would gain, and the way to choose from all; null where they gain nothing */
export function toOrderCard({ context, choice }) {
  const { t, app, save } = context;
  const plan = choice.gainedByOrder;
  if (!plan) return null;
  const names = pairsOf(plan, choice.atHand).filter(({ here, taken }) => here < taken).map(({ ring_set: id }) => choice.set(id)?.name ?? id);
  return element("section", { class: "stack", key: "to-order" },
    remark({ name: "open", text: t("at-hand.gain", { sets: names.join(", "), outside: outsideWords(app, plan), chance: chanceWords(t, plan.chance) }) }),
    context.goTo && button({ key: "choose-from-all", label: t("at-hand.choose-all"), onPress: () => save({ slot: LEFT_OUT }, { body: { value: { ids: [] } } }) }));
}
