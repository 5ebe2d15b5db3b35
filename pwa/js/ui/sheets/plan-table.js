/**
 * A plan in one table: the pair of each wheel, what camber and toe go from and to, both wheels together, how likely all
 * windows hold; and the button that takes it, in its own card. It is shut until every advice is answered.
 */

import { axleOf } from "../../domain/choose/axle.js";
import { AXLE_ANGLES, WHEEL_ANGLES } from "../../domain/numbers/quantities.js";
import { addingHolds, composedPrediction, swapFreely } from "../../domain/rings/rings.js";
import { mainButton } from "../../domain/choose/main-button.js";
import { beyond } from "../../domain/numbers/window.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { button, element, fill } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";
import { more } from "../parts/more-fold.js";
import { remark } from "../parts/signal.js";
import { SteadyButtons } from "../parts/steady-buttons.js";
import { atHandNotes, toOrderCard } from "./at-hand-note.js";
import { AimsCard } from "./aims-card.js";
import { disputedRoundCard } from "./disputed-round-card.js";
import { RingSetsCard } from "./ring-sets-card.js";
import { KIND } from "../../domain/job/entry.js";
import { RINGS_FROM } from "../../domain/job/rings-taken.js";
import { SelectField } from "../fields/select-field.js";
import { doubtsOfPlan } from "../../domain/job/untrusted-sets.js";
import { doubtedWords } from "../words/doubt-words.js";
import { PlanModel } from "./plan-model.js";

export class PlanCard {
  static saysTitle = true;
  #context;
  #row;
  #model;
  #sets = null;
  #aims = null;
  #table = element("div", { class: "stack", key: "plan" });
  #more = element("div", { class: "stack" });
  #shown = null;
  #take = new SteadyButtons();

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    this.#model = PlanModel.of(context, row);
    this.#model.onChange(() => this.update(this.#row));
    this.element = element("div", { class: "stack plan-card" }, this.#table, this.#more);
    this.update(row);
  }

  update(row) {
    this.#row = row;
    const { t, job } = this.#context;
    const { choice, begun } = this.#model;
    if (!choice) return fill(this.#table, element("p", { text: t("plan.coming") }));
    if (begun.among) return fill(this.#table, this.#whichHolds(begun.among));
    if (choice.missing.length > 0)
      return fill(this.#table, choice.missing.map((code) =>
        remark({ name: "open", text: missingWords(t, choice, code), key: `missing-${code}` })));
    if (choice.error) return fill(this.#table,
      remark({ name: "refused", text: t("ui.choose.failed", { message: errorText(t, choice.error) }),
        key: "choose-failed" }));
    const { shown, chosen } = this.#model;
    fill(this.#table,
      chosen && !this.#model.isCurrent && remark({ name: "warning", text: t("ui.choose.changed"), key: "plan-stale" }),
      choice.estimated && remark({ name: "warning", text: t("fitting.estimated"), key: "estimated" }),
      begun.bare?.map((side) => remark({ name: "warning", text: t("fitting.bare", { side: t(`ui.side.${side}`) }),
        key: `bare-${side}` })),
      choice.sets.length === 0 && remark({ name: "warning", text: t("ui.choose.no-tables"), key: "no-tables" }),
      planTable({ context: this.#context, model: this.#model, plan: shown }),
      this.#button(shown),
      !chosen && toOrderCard({ context: this.#context, choice }));
    this.#showMore(job, choice);
    return undefined;
  }

  reveal() {
    this.#table.querySelector("button")?.focus({ preventScroll: true });
  }

  #whichHolds(among) {
    const { t, job, save } = this.#context;
    return disputedRoundCard({ t, fold: job.fold, round: this.#model.round, among,
      onHolds: ({ body }) => save(this.#row, { kind: KIND.PLAN_CHOSEN, body }) });
  }

  #button(plan) {
    const { t, job } = this.#context;
    const model = this.#model;
    if (model.isChosen(plan)) return remark({ name: "done", text: t("ui.choose.chosen"), key: "chosen" });
    if (SIDES.some((side) => model.refusals(plan)[side].length > 0))
      return remark({ name: "refused", text: t("fitting.plan.refused") });
    const open = openAdvice(model, job);
    if (open.length > 0) return remark({ name: "locked", text: t("plan.answer-first", { count: open.length }),
      key: "advice-first" });
    const isDoubtful = mainButton(model.choice.result).action !== "take-plan";
    const key = plan === model.best ? "take-plan" : "take-tried";
    const label = t(model.chosen && !model.isCurrent && plan === model.best ? "plan.take-anew" : "plan.take");
    // a plan with other rings is another button, which a finger that is down does not take
    return this.#take.draw([{ key, label, kind: isDoubtful ? "plain" : "take", about: [plan.left, plan.right],
      onPress: () => model.take(plan) }]);
  }

  /** Ring sets, moved aims and where rings may go: for those who want more. */
  #showMore(job, choice) {
    const { app, t } = this.#context;
    this.#sets ??= new RingSetsCard(this.#context);
    this.#aims ??= new AimsCard({ app, onChange: (aims) => this.#model.aimAt(aims) });
    this.#sets.update({ job, suits: choice.suits });
    this.#aims.update({ aims: this.#model.aims, windows: choice.input.windows, aimed: choice.result.aims });
    const rules = this.#rules(job, choice);
    const shown = JSON.stringify([choice.input.ring_sets, choice.closed, this.#model.ringsFrom, this.#model.places,
      rules.map(({ slot, value }) => [slot, value])]);
    if (shown === this.#shown) return;
    this.#shown = shown;
    fill(this.#more, more({ label: t("plan.more"), summaryKey: "plan-more",
      open: this.#more.querySelector("details")?.open },
      element("div", { class: "stack" }, this.#sets.element, this.#aims.element, this.#ringsFrom(),
        rules.map((rule) => this.#rule(rule)))));
  }

  /** Where the rings of this job come from, where the shop has more than one place. */
  #ringsFrom() {
    const { t, save } = this.#context;
    const { places, ringsFrom } = this.#model;
    if (places.length < 2 || !ringsFrom) return null;
    return new SelectField({
      label: t("at-hand.from"), key: "rings-from", chosen: ringsFrom,
      options: places.map(({ id, name }) => ({ id, label: name })),
      onChange: (place) => save({ slot: RINGS_FROM }, { body: { value: { place } } }),
    }).element;
  }

  #rules(job, choice) {
    const sides = SIDES.filter((side) => !choice.closed.includes(side) && !this.#model.begun.bare?.includes(side));
    return sides.map((side) => ({ side, slot: `rings.${side}`, value: job.field(`rings.${side}`) ?? "auto" }));
  }

  /** May rings go in at this wheel: decided by the technician, else by the choice. */
  #rule({ side, slot, value }) {
    const { t, save } = this.#context;
    return element("div", { class: "stack", role: "group",
      "aria-label": t("ui.choose.rule", { side: t(`ui.side.${side}`) }) },
      element("p", { text: t("ui.choose.rule", { side: t(`ui.side.${side}`) }) }),
      element("div", { class: "options" }, ["auto", "yes", "no"].map((id) =>
        button({ key: `${slot}-${id}`, label: t(`ui.choose.rule.${id}`), kind: "option", pressed: id === value,
          onPress: () => save({ slot }, { body: { value: id } }) }))));
  }
}

/** @returns {string[]} codes of the advice that nobody has answered yet */
export function openAdvice({ choice }, job) {
  const given = job.field(job.slotOf("choose.advice")) ?? {};
  return choice.result.advice.filter((code) => !given[code]);
}

/** @param {{context: Object, model: PlanModel, plan: Object}} shown */
export function planTable({ context, model, plan }) {
  const { t, app: { words } } = context;
  const { input } = model.choice;
  const refused = model.refusals(plan);
  const before = axleOf(input.wheels);
  const cell = (side, part, at) => {
    const limits = input.windows[side][part];
    return element("td", {}, change(words, t, part, input.wheels[side][part], plan.predicted[side][at], limits));
  };
  const together = AXLE_ANGLES.filter(([, name]) => name !== "cross_camber" || input.axle.cross_camber);
  return element("div", { class: "stack" },
    element("table", { class: "plan-table", key: "plan-table" },
      element("thead", {}, element("tr", {}, element("td", {}),
        SIDES.map((side) => element("th", { scope: "col", text: t(`ui.side.${side}`) })))),
      element("tbody", {},
        element("tr", {}, element("th", { scope: "row", text: t("plan.rings") }),
          SIDES.map((side) => element("td", { key: `pair-${side}` }, pairCell(context, model, plan, side)))),
        sameSet(plan) && element("tr", { class: "joined" }, element("td", {}),
          element("td", { colspan: 2, class: "pair-set", text: setWords(context, model, plan.left) })),
        WHEEL_ANGLES.map((part, at) =>
          element("tr", {}, element("th", { scope: "row", text: t(`ui.quantity.${part}`) }),
            SIDES.map((side) => cell(side, part, at)))),
        element("tr", {}, element("th", { scope: "row", text: t("plan.both") }),
            element("td", { colspan: 2 }, together.map(([quantity, name]) =>
          element("p", {}, `${t(`ui.quantity.${quantity}`)} `,
            change(words, t, quantity, before[name], plan.axle[name], input.axle[name]))))))),
    SIDES.flatMap((side) => refused[side]
      .map((code) => remark({ name: "refused", text: t(`refusal.${code}`), key: `refusal-${side}-${code}` }))),
    SIDES.map((side) => exactly(context, model, plan, side)),
    atHandNotes(t, model, plan),
    doubtsOfPlan(plan, (id) => model.choice.set(id)).map(([id, doubts]) =>
      remark({ name: "warning", key: `doubted-${id}`,
        text: doubtedWords(t, model.choice.set(id)?.name ?? id, doubts) })),
    element("p", { class: "plan-chance", key: "chance", text: chanceLine(t, plan.chance) }),
    (plan.toe_outside > 0 || plan.camber_outside > 0)
      && element("p", { key: "outside", text: outsideWords(context.app, plan) }));
}

/** From and to, the way once where it stays the same; what stays outside has a box round it and says by how much. */
function change(words, t, quantity, from, to, limits) {
  const isOutside = limits !== null && beyond(to, limits) !== 0;
  const said = Math.sign(from) === Math.sign(to) ? words.size(quantity, Math.abs(from)) : words.say(quantity, from);
  return element("span", { class: `change${isOutside ? " outside" : ""}` },
    element("span", { class: "change-from", text: `${said} →` }), " ",
    element("strong", { text: words.say(quantity, to) }),
    isOutside && element("span", { class: "change-by",
      text: t("on-sheet.outside", { by: words.size(quantity, Math.abs(beyond(to, limits))) }) }));
}

function pairCell(context, model, plan, side) {
  const { t } = context;
  const { choice } = model;
  const fitted = plan[side];
  if (choice.closed.includes(side)) return t("fitting.closed");
  if (!fitted) return t(choice.old.includes(side) ? "proof.comes-out" : "plan.no-rings");
  return [
    element("strong", { class: "pair-figures",
      text: t("drawing.meets", { inner: fitted.pair[0], outer: fitted.pair[1] }) }),
    !sameSet(plan) && element("span", { class: "pair-set", text: setWords(context, model, fitted) }),
  ];
}

/** One set at both wheels is named once. */
function sameSet({ left, right }) {
  return left && right && left.ring_set === right.ring_set;
}

/** "Demo 54, inner meets outer, at the top". */
function setWords({ t }, { choice }, { ring_set: id }) {
  const set = choice.set(id);
  return t(swapFreely(set.table.ring_set) ? "plan.pair.alike" : "plan.pair.unlike", { set: set.name });
}

/** Far from upright, adding the effect is not exact enough to stand alone: the composed reading is said too. */
function exactly({ t, app: { words } }, { choice }, plan, side) {
  const fitted = plan[side];
  const { camber, toe } = choice.input.wheels[side];
  const ringSet = fitted && choice.set(fitted.ring_set)?.table.ring_set;
  if (!ringSet || addingHolds(ringSet, [camber, toe])) return null;
  const exact = composedPrediction(ringSet, ...fitted.pair, [camber, toe]).map(Math.round);
  return remark({ name: "warning", key: `exact-${side}`,
    text: t("fitting.exact", { camber: words.say("camber", exact[0]), toe: words.say("toe", exact[1]) }) });
}

/** "about 9 in 10"; near the ends said as such, never as certain. */
export function chanceWords(t, chance) {
  if (chance < 0.05) return t("ui.chance.low");
  if (chance > 0.95) return t("ui.chance.high");
  return t("ui.chance", { tenths: Math.round(chance * 10) });
}

function chanceLine(t, chance) {
  return t("plan.chance", { chance: chanceWords(t, chance) });
}

/** @returns {string} what a plan leaves outside its windows, by how much in all */
export function outsideWords({ t, words }, { toe_outside: toe, camber_outside: camber }) {
  if (toe === 0 && camber === 0) return t("ui.choose.all-inside");
  const parts = [toe > 0 && t("ui.choose.toe-outside", { by: words.size("toe", toe) }),
    camber > 0 && t("ui.choose.camber-outside", { by: words.size("camber", camber) })];
  return parts.filter(Boolean).join(" ");
}

/**
 * @param {function} t
 * @param {Object} plan
 * @param {{closed: string[], old: string[]}} [choice] wheels that stay closed in this round, and those whose pair comes
 *   out
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

/** What is missing for a choice: not read yet, or read twice and contradicting itself. */
export function missingWords(t, { disagreeing }, code) {
  const [side, part] = code.split(".");
  const disagrees = disagreeing.some((each) => each.side === side && each.angle === part);
  return disagrees ? t("ui.choose.disagreeing", { side: t(`ui.side.${side}`), part: t(`ui.quantity.${part}`) })
    : t(`ui.choose.missing.${code}`);
}
