/**
 * The plan of "Find a pair": what a technician would look at first, the table, and what moves it. Nothing is taken
 * here, and nothing about the axle has been asked: it says so.
 */

import { SIDES } from "../../domain/numbers/sides.js";
import { button, element, fill } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";
import { more } from "../parts/more-fold.js";
import { remark } from "../parts/signal.js";
import { stateShape } from "../parts/state-shape.js";
import { toOrderCard } from "./at-hand-note.js";
import { AimsCard } from "./aims-card.js";
import { PlanModel } from "./plan-model.js";
import { missingWords, planTable } from "./plan-table.js";
import { RingSetsCard } from "./ring-sets-card.js";

export class FindPairPlan {
  #context;
  #model;
  #table = element("div", { class: "stack", key: "plan" });
  #more = element("div", { class: "stack" });
  #sets = null;
  #aims;
  #rules = new Map();

  constructor(context, row) {
    this.#context = context;
    const { app } = context;
    this.#model = PlanModel.of(context, row);
    this.#model.onChange(() => this.update());
    this.#aims = new AimsCard({ app, onChange: (aims) => this.#model.aimAt(aims) });
    this.element = element("div", { class: "stack plan-card" }, this.#table, this.#more);
    this.update();
  }

  update() {
    const { t } = this.#context;
    const { choice, hasPlans } = this.#model;
    this.#more.hidden = !hasPlans;
    if (!choice) return fill(this.#table, element("p", { text: t("plan.coming") }));
    if (choice.error) return fill(this.#table,
      remark({ name: "refused", text: t("ui.choose.failed", { message: errorText(t, choice.error) }),
        key: "choose-failed" }));
    if (!hasPlans) return fill(this.#table,
      choice.missing.map((code) => remark({ name: "open", text: missingWords(t, choice, code),
        key: `missing-${code}` })));
    fill(this.#table,
      choice.result.advice.map((code) => element("div", { class: "advice", key: `advice-${code}` },
        element("p", { class: "advice-text with-shape" }, stateShape("warning"),
          element("span", { text: t(`advice.${code}`) })), element("p", { text: t(`advice.${code}.look`) }))),
      choice.sets.length === 0 && remark({ name: "warning", text: t("ui.choose.no-tables"), key: "no-tables" }),
      planTable({ context: this.#context, model: this.#model, plan: this.#model.shown }),
      toOrderCard({ context: this.#context, choice }),
      element("p", { class: "soft", key: "not-asked", text: t("find-pair.not-asked") }));
    this.#showMore(choice);
    return undefined;
  }

  #showMore(choice) {
    const { t, job } = this.#context;
    if (!this.#sets) {
      this.#sets = new RingSetsCard(this.#context);
      fill(this.#more, more({ label: t("plan.more"), summaryKey: "plan-more" },
        element("div", { class: "stack" }, this.#sets.element, this.#aims.element,
          SIDES.map((side) => this.#rule(side)))));
    }
    this.#sets.update({ job, suits: choice.suits });
    this.#aims.update({ aims: this.#model.aims, windows: choice.input.windows, aimed: choice.result.aims });
    for (const side of SIDES) {
      for (const [id, node] of this.#rules.get(side))
        node.setAttribute("aria-pressed", String(id === (job.field(`rings.${side}`) ?? "auto")));
    }
  }

  /** May rings go in at this wheel: decided by the technician, else by the choice. */
  #rule(side) {
    const { t, save } = this.#context;
    const slot = `rings.${side}`;
    const label = t("ui.choose.rule", { side: t(`ui.side.${side}`) });
    const options = ["auto", "yes", "no"].map((id) =>
      [id, button({ key: `${slot}-${id}`, label: t(`ui.choose.rule.${id}`), kind: "option", pressed: false,
        onPress: () => save({ slot }, { body: { value: id } }) })]);
    this.#rules.set(side, options);
    return element("div", { class: "stack", role: "group", "aria-label": label }, element("p", { text: label }),
      element("div", { class: "options" }, options.map(([, node]) => node)));
  }
}
