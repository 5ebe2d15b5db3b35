/**
 * Beside a plan: whether its rings lie where this phone works. And what a set that would have to be ordered would gain.
 */

import { pairsOf } from "../../domain/job/rings-at-hand.js";
import { button, element } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { LEFT_OUT } from "./plan-choice.js";
import { chanceWords, outsideWords } from "./plan-table.js";

/** @returns {HTMLElement[]} a line for each ring set of the plan; none where nobody knows what is here */
export function atHandNotes(t, { choice, alsoTaken }, plan) {
  if (!choice.atHand) return [];
  const { name: place } = choice.atHand.place;
  return pairsOf(plan, choice.atHand).map(({ ring_set: id, taken, here }) => {
    const key = here < 0 ? "wrong" : here === 0 ? "none" : here < taken ? "few" : "here";
    const others = here > 0 ? othersOf(alsoTaken.get(id)) : [];
    const isShort = others.reduce((left, { pairs }) => left - pairs, here) < taken;
    const said = [t(`at-hand.${key}`, { set: choice.set(id)?.name ?? id, place, here, taken }),
      ...others.map(({ what, jobs, pairs }) => t(`at-hand.${what}`, { jobs, pairs }))];
    return remark({ name: isShort ? "warning" : "done", key: `at-hand-${id}`, text: said.join("; ") });
  });
}

/** Of each kind of other jobs that take pairs of a set: how many, and how many they take. */
function othersOf(also) {
  return Object.entries(also ?? {}).filter(([, { jobs }]) => jobs > 0)
    .map(([what, { jobs, pairs }]) => ({ what: `${what}-${jobs === 1 ? "job" : "jobs"}`, jobs, pairs }));
}

/**
 * @returns {HTMLElement|null} what sets that are not here would gain, and the way to choose from all; null where they
 *   gain nothing
 */
export function toOrderCard({ context, choice }) {
  const { t, app, save } = context;
  const plan = choice.gainedByOrder;
  if (!plan) return null;
  const names = pairsOf(plan, choice.atHand).filter(({ here, taken }) => here < taken)
    .map(({ ring_set: id }) => choice.set(id)?.name ?? id);
  return element("section", { class: "stack", key: "to-order" },
    remark({ name: "open", text: t("at-hand.gain",
      { sets: names.join(", "), outside: outsideWords(app, plan), chance: chanceWords(t, plan.chance) }) }),
    context.goTo && button({ key: "choose-from-all", label: t("at-hand.choose-all"),
      onPress: () => save({ slot: LEFT_OUT }, { body: { value: { ids: [] } } }) }));
}
