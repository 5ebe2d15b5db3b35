/**
 * The choice: what each wheel needs, advice before any rings, the recommended plan with what it will do, and what the
 * other ways would cost and gain. The phone chooses by itself from its tables; this only asks, shows and saves.
 */

import { KIND } from "../../domain/entry.js";
import { currentRound } from "../../domain/checklist.js";
import { fieldOf } from "../../domain/job.js";
import { Choices } from "../choices.js";
import { element, fill } from "../element.js";
import { PlanChoice } from "../plan-choice.js";
import { needsInWords } from "../need-words.js";
import { planCard } from "../plan-card.js";
import { planMaps } from "../plan-maps.js";
import { remark } from "../signal.js";

const SIDES = ["left", "right"];
const RINGS = ["auto", "yes", "no"];

export class PlanPanel {
  #context;
  #choice;
  #shown = null;

  constructor(context) {
    this.#context = context;
    this.element = element("div", { class: "stack wide", key: "choose" });
  }

  async prepare() {
    this.#choice = new PlanChoice(await this.#context.app.phone.ringSets());
  }

  update(context) {
    this.#context = context;
    const { app: { t } } = context;
    const { result, missing, error } = this.#choice.update(context.job, currentRound(context.job.fold));
    if (missing.length > 0) return fill(this.element, missing.map((code) => remark({ name: "open", text: t(`ui.choose.missing.${code}`), key: `missing-${code}` })));
    if (error) return fill(this.element, remark({ name: "refused", text: t("ui.choose.failed", { message: error.message }), key: "choose-failed" }));
    const shown = JSON.stringify([this.#choice.input, context.job.live(context.step.slot).map(({ id }) => id)]);
    if (shown !== this.#shown) this.#show(result); // else what the person opened stays open
    this.#shown = shown;
    return undefined;
  }

  get primary() {
    const { app: { t }, app, job, goOn } = this.#context;
    if (this.#choice.missing.length > 0) return { key: "to-base", label: t("ui.choose.to-base"), press: () => app.go({ screen: "step", job: job.id, slot: this.#missingSlot() }) };
    if (this.#choice.error) return null;
    if (this.#chosen() && this.#isCurrent()) return { key: "next", label: t("ui.step.next"), press: goOn };
    return { key: "choose-recommended", label: t("ui.choose.take-recommended"), press: () => this.#take(this.#choice.result.plans[0]) };
  }

  #show({ advice, plans }) {
    const { app, job } = this.#context;
    const { t } = app;
    const chosen = this.#chosen();
    const [best, ...others] = plans;
    const card = (plan) => planCard({
      app, plan, best, choice: this.#choice, isChosen: Boolean(chosen) && same(chosen.plan, plan) && this.#isCurrent(), onTake: () => this.#take(plan),
    });
    fill(this.element,
      chosen && !this.#isCurrent() && remark({ name: "warning", text: t("ui.choose.changed"), key: "plan-stale" }),
      this.#choice.sets.length === 0 && remark({ name: "warning", text: t("ui.choose.no-tables"), key: "no-tables" }),
      needsInWords({ app, input: this.#choice.input }),
      advice.map((code) => element("section", { class: "sheet stack advice", key: `advice-${code}` },
        remark({ name: "warning", text: t(`advice.${code}`) }), element("p", { text: t(`advice.${code}.look`) }))),
      element("h2", { text: t("ui.choose.recommended") }),
      card(best),
      planMaps({ app, job, plan: best, choice: this.#choice }),
      others.length > 0 && element("h2", { text: t("ui.choose.others") }),
      others.map(card),
      this.#ringRules());
  }

  /** May rings go in at this wheel: decided by the technician, else by the choice. */
  #ringRules() {
    const { app: { t }, app, job } = this.#context;
    return element("details", { class: "more", open: this.element.querySelector("details.more")?.open },
      element("summary", { class: "button quiet", key: "ring-rules" }, element("span", { class: "button-label", text: t("ui.choose.rules") })),
      element("div", { class: "stack wide" }, SIDES.map((side) => new Choices({
        legend: t("ui.choose.rule", { side: t(`ui.side.${side}`) }),
        key: `rings-${side}`,
        options: RINGS.map((id) => ({ id, label: t(`ui.choose.rule.${id}`) })),
        chosen: fieldOf(job.fold, `rings.${side}`) ?? "auto",
        onChange: (value) => app.save({ job: job.id, kind: KIND.FIELD_SET, slot: `rings.${side}`, body: { value } }),
      }).element)));
  }

  #chosen() {
    const { job, step } = this.#context;
    return job.body(step.slot, KIND.PLAN_CHOSEN);
  }

  /** A plan stands only for the readings and windows that it was chosen from. */
  #isCurrent() {
    return same(this.#chosen().input, this.#choice.input);
  }

  #missingSlot() {
    const [code] = this.#choice.missing;
    return this.#context.job.steps.find(({ panel }) => panel === (code === "windows" ? "windows" : "readings")).slot;
  }

  async #take(plan) {
    const { app, job, step, goOn } = this.#context;
    const { input, result, hashes } = this.#choice;
    const body = { plan, input, tables: hashes, advice: result.advice, recommended: plan === result.plans[0] };
    if (await app.save({ job: job.id, kind: KIND.PLAN_CHOSEN, slot: step.slot, body })) goOn();
  }
}

/** Alike whatever the order of keys, as the server may hand an entry back with its keys sorted. */
function same(a, b) {
  return canonical(a) === canonical(b);
}

function canonical(data) {
  return JSON.stringify(data, (key, inner) => (inner && typeof inner === "object" && !Array.isArray(inner) ? Object.fromEntries(Object.entries(inner).sort()) : inner));
}
