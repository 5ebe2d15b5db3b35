/**
 * What to do where no plan reaches every window, and the other plans under a fold: what each costs and gains against
 * the recommended one. Each opens to its table and can be taken, where there is a job to take it for.
 */

import { isAlike } from "../../domain/job/plan-current.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { button, element, fill } from "../parts/element.js";
import { more } from "../parts/more-fold.js";
import { remark } from "../parts/signal.js";
import { PlanModel } from "./plan-model.js";
import { chanceWords, openAdvice, outsideWords, planTable } from "./plan-table.js";

/** What to do beside another set. */
const NEXT = ["read", "part", "tolerance", "customer"];

export class OtherPlansCard {
  static saysTitle = true;
  #context;
  #row;
  #model;
  #drawn = null;
  #isOpen = false;

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    this.#model = PlanModel.of(context, row);
    this.#model.onChange(() => this.update(this.#row));
    this.element = element("div", { class: "stack" });
    this.update(row);
  }

  update(row) {
    this.#row = row;
    const model = this.#model;
    const plans = model.hasPlans ? othersOf(model) : [];
    const isShort = model.hasPlans && model.choice.result.advice.includes("out-of-reach");
    this.element.hidden = plans.length === 0 && !isShort;
    const drawn = model.hasPlans && JSON.stringify([model.choice.input, model.chosen?.plan, plans.length,
      openAdvice(model, this.#context.job)]);
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    fill(this.element, isShort && outOfReachCard({ app: this.#context.app, choice: model.choice }),
      plans.length > 0 && more({ label: this.#context.t("plan.others", { count: plans.length }),
        summaryKey: "other-plans", open: this.#isOpen },
        element("div", {}, plans.map((plan) => this.#plan(plan)))));
    this.element.querySelector(".more")
      ?.addEventListener("toggle", ({ target }) => { if (target.matches(".more")) this.#isOpen = target.open; });
  }

  #plan(plan) {
    const { t, app } = this.#context;
    const pattern = this.#patternOf(plan);
    const details = element("details", { class: "other-plan", key: `plan-${pattern}` },
      element("summary", { key: `more-${pattern}` },
        element("strong", { text: this.#isBest(plan)
          ? t("plan.recommended", { what: t(`ui.choose.pattern.${pattern}`) }) : t(`ui.choose.pattern.${pattern}`) }),
          " ",
        element("span",
          { text: `${outsideWords(app, plan)} ${t("ui.choose.chance", { chance: chanceWords(t, plan.chance) })}` })));
    details.addEventListener("toggle", () => details.append(this.#body(plan)), { once: true });
    return details;
  }

  #body(plan) {
    const { t, job } = this.#context;
    const model = this.#model;
    const isShut = !this.#context.goTo || openAdvice(model, job).length > 0
      || SIDES.some((side) => model.refusals(plan)[side].length > 0);
    return element("div", { class: "stack" },
      planTable({ context: this.#context, model, plan }),
      !this.#isBest(plan) && element("p", { text: comparison(t, plan, model.best) }),
      this.#isOtherWay(plan) && element("p", { key: "gives-up", text: this.#givesUp(plan) }),
      model.isChosen(plan) ? remark({ name: "done", text: t("ui.choose.chosen") })
        : !isShut && button({ key: `take-${this.#patternOf(plan)}`, label: t(`ui.choose.take.${this.#patternOf(plan)}`),
          onPress: () => model.take(plan) }));
  }

  #isOtherWay(plan) {
    return plan === this.#model.choice.result.other_way;
  }

  #isBest(plan) {
    return plan === this.#model.best;
  }

  #patternOf(plan) {
    return this.#isOtherWay(plan) ? "other-way" : patternOf(plan);
  }

  /** What the way that spares camber gains, and what it costs in toe. */
  #givesUp(plan) {
    const { t, app: { words } } = this.#context;
    const { best } = this.#model;
    return t("ui.choose.gives-up",
      { toe: words.size("toe", plan.toe_outside - best.toe_outside),
        camber: words.size("camber", best.camber_outside - plan.camber_outside) });
  }
}

/**
 * All but the best, and before them the way that gives up camber for toe or the other way round; the best too where
 * another one is tried or taken, for somebody may want it back.
 */
function othersOf({ best, shown, choice: { result } }) {
  return [!isAlike(shown, best) && best, result.other_way, ...result.plans.slice(1)].filter(Boolean);
}

function patternOf({ left, right }) {
  if (left && right) return "both";
  return left ? "left" : right ? "right" : "none";
}

function comparison(t, plan, best) {
  const pairs = plan.pairs - best.pairs;
  const cost = pairs === 0 ? t("ui.choose.same-pairs") : t(pairs < 0 ? "ui.choose.fewer-pairs" : "ui.choose.more-pairs",
    { count: Math.abs(pairs) });
  return t("ui.choose.against", { cost, here: chanceWords(t, plan.chance), there: chanceWords(t, best.chance) });
}

/**
 * Which other set would reach every window, and what else to look at.
 * @param {{app: App, choice: PlanChoice}} options
 */
function outOfReachCard({ app: { t }, choice }) {
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
