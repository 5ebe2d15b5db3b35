/** One plan: what is fitted where, what it will read afterwards, what stays outside, how likely all windows hold. */

import { AXLE, PARTS } from "../../../domain/numbers/quantities.js";
import { addingHolds, composedPrediction } from "../../../domain/rings/rings.js";
import { SIDES } from "../../../domain/numbers/sides.js";
import { button, element } from "../../parts/element.js";
import { angleJudged } from "../../words/angle-judged.js";
import { remark } from "../../parts/signal.js";
import { ringPairWords } from "../../words/ring-pair-words.js";

/**
 * @param {{app: App, plan: Object, best: Object, choice: PlanChoice, isChosen: boolean, onTake: function(): void, gate: function(Object): Object,
 *   isTried?: boolean}} options best is the recommended plan, against which cost and gain are said; gate tells what refuses a
 *   plan's pairs on this axle, by wheel: such a plan cannot be taken
 * @returns {HTMLElement}
 */
export function planCard({ app, plan, best, choice, isChosen, onTake, gate, isTried = false }) {
  const { t } = app;
  const pattern = isTried ? "tried" : patternOf(plan);
  const open = plan === best || isChosen || isTried;
  const body = (found = gate(plan)) => element("div", { class: "stack wide" },
    SIDES.map((side) => wheelPart(app, plan, choice, side, found[side])),
    axlePart(app, plan, choice),
    plan !== best && element("p", { text: comparison(t, plan, best) }),
    isChosen ? remark({ name: "done", text: t("ui.choose.chosen"), key: "chosen" })
      : SIDES.some((side) => found[side].length > 0) ? remark({ name: "refused", text: t("fitting.plan.refused") })
      : button({ key: `take-${pattern}`, label: isTried ? t("fitting.tried.take") : t(`ui.choose.take.${pattern}`), onPress: onTake }));
  const head = [
    element("span", { class: "big", text: isTried ? t("fitting.tried") : t(`ui.choose.pattern.${pattern}`) }),
    element("span", { class: "chance", key: "chance", text: t("ui.choose.chance", { chance: chanceWords(t, plan.chance) }) }),
    element("span", { text: outsideWords(app, plan) }),
  ];
  if (plan === best) return element("section", { class: "sheet stack plan", key: `plan-${pattern}` }, element("h3", { class: "plan-head" }, head), body());
  const details = element("details", { class: "sheet plan", open, key: `plan-${pattern}` }, element("summary", { key: `more-${pattern}` }, element("h3", { class: "plan-head" }, head)), open && body());
  if (!open) details.addEventListener("toggle", () => details.append(body()), { once: true }); // what nobody opens costs no time
  return details;
}

/** @returns {"none"|"left"|"right"|"both"} which wheels get rings */
function patternOf({ left, right }) {
  if (left && right) return "both";
  return left ? "left" : right ? "right" : "none";
}

/**
 * @param {function} t
 * @param {Object} plan
 * @param {{closed: string[], old: string[]}} [choice] wheels that stay closed in this round, and those whose pair comes out
 * @returns {string} "LEFT 12 meets 31, RIGHT stays closed"
 */
export function planInShort(t, plan, { closed, old } = { closed: [], old: [] }) {
  const what = (side) => (plan[side] ? "pair" : closed.includes(side) ? "closed" : old.includes(side) ? "out" : "none");
  const wheel = (side) => {
    const [inner, outer] = plan[side]?.pair ?? [];
    return t(`ui.choose.short.${what(side)}`, { side: t(`ui.side.${side}`), inner, outer });
  };
  return SIDES.every((side) => what(side) === "none") ? t("ui.choose.short.nowhere") : SIDES.map(wheel).join(", ");
}

/** One wheel of a plan: its pair, what refuses it here, what is predicted. */
export function wheelPart(app, plan, choice, side, refused = []) {
  const { t } = app;
  const [camber, toe] = plan.predicted[side];
  const limits = choice.input.windows[side];
  return element("section", { class: `stack wheel ${side}` },
    element("h4", { text: t(`ui.side.${side}`) }),
    element("p", { class: "pair", key: `pair-${side}`, text: wheelWords(t, plan, choice, side) }),
    exactPart(app, plan, choice, side),
    refused.map((code) => remark({ name: "refused", text: t(`refusal.${code}`), key: `refusal-${side}-${code}` })),
    element("dl", { class: "means" }, PARTS.map((part) => [
      element("dt", { text: t("ui.choose.predicted", { part: t(`ui.quantity.${part}`) }) }),
      element("dd", {}, angleJudged({ app, quantity: part, mdeg: part === "camber" ? camber : toe, limits: limits[part] })),
    ])));
}

/** A wheel that stays closed, a pair that comes out and leaves nothing, or the pair that goes in. */
function wheelWords(t, plan, choice, side) {
  if (choice.closed.includes(side)) return t("fitting.closed");
  return !plan[side] && choice.old.includes(side) ? t("proof.comes-out") : ringPairWords(t, plan[side], choice);
}

/** Far from upright, adding the effect is not exact enough to stand alone: the composed reading is said too. */
function exactPart({ t, words }, plan, choice, side) {
  const fitted = plan[side];
  const { camber, toe } = choice.input.wheels[side];
  const ringSet = fitted && choice.set(fitted.ring_set)?.table.ring_set;
  if (!ringSet || addingHolds(ringSet, [camber, toe])) return null;
  const exact = composedPrediction(ringSet, ...fitted.pair, [camber, toe]).map(Math.round);
  return remark({ name: "warning", key: `exact-${side}`, text: t("fitting.exact", { camber: words.say("camber", exact[0]), toe: words.say("toe", exact[1]) }) });
}

/** Both wheels of a plan together. */
export function axlePart(app, plan, choice) {
  const { t } = app;
  return element("section", { class: "stack" },
    element("h4", { text: t("ui.choose.axle") }),
    element("dl", { class: "means" }, AXLE.filter(([, name]) => name !== "cross_camber" || choice.input.axle.cross_camber).map(([quantity, name]) => [
      element("dt", { text: t(`ui.quantity.${quantity}`) }),
      element("dd", {}, angleJudged({ app, quantity, mdeg: plan.axle[name], limits: choice.input.axle[name] })),
    ])));
}

/** @returns {string} "about 9 in 10"; near the ends said as such, never as certain */
export function chanceWords(t, chance) {
  if (chance < 0.05) return t("ui.chance.low");
  if (chance > 0.95) return t("ui.chance.high");
  return t("ui.chance", { tenths: Math.round(chance * 10) });
}

/** @returns {string} what a plan leaves outside its windows, by how much in all */
export function outsideWords({ t, words }, { toe_outside: toe, camber_outside: camber }) {
  if (toe === 0 && camber === 0) return t("ui.choose.all-inside");
  const parts = [toe > 0 && t("ui.choose.toe-outside", { by: words.size("toe", toe) }), camber > 0 && t("ui.choose.camber-outside", { by: words.size("camber", camber) })];
  return parts.filter(Boolean).join(" ");
}

function comparison(t, plan, best) {
  const pairs = plan.pairs - best.pairs;
  const cost = pairs === 0 ? t("ui.choose.same-pairs") : t(pairs < 0 ? "ui.choose.fewer-pairs" : "ui.choose.more-pairs", { count: Math.abs(pairs) });
  return t("ui.choose.against", { cost, here: chanceWords(t, plan.chance), there: chanceWords(t, best.chance) });
}
