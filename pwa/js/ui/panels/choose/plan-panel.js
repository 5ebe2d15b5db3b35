/**
 * The choice: which ring sets suit, what each wheel needs, advice before any rings, the recommended plan with what it will do,
 * what the other ways would cost and gain, a pair that somebody tries, and aims that can be moved. The phone chooses by
 * itself from its tables; this only asks, shows and saves.
 */

import { KIND } from "../../../domain/job/entry.js";
import { beginningOf, currentRound } from "../../../domain/job/checklist-slots.js";
import { fieldOf } from "../../../domain/job/settled.js";
import { SHOP_SPREAD } from "../../../domain/job/shop-spread.js";
import { SIDES } from "../../../domain/numbers/sides.js";
import { pairSuits } from "../../../domain/job/suitability.js";
import { more } from "../../parts/more.js";
import { AimsCard } from "./aims-card.js";
import { Choices } from "../../fields/choices.js";
import { Draft } from "../../parts/draft.js";
import { element, fill } from "../../parts/element.js";
import { errorText } from "../../parts/error-text.js";
import { PlanChoice } from "./plan-choice.js";
import { disputedRoundCard } from "./disputed-round-card.js";
import { codesOf } from "../fit/fit-words.js";
import { needsInWords } from "./need-words.js";
import { planCard, planInShort } from "./plan-card.js";
import { PlanMaps } from "./plan-maps.js";
import { outOfReachCard } from "./out-of-reach-card.js";
import { RingSetsCard } from "./ring-sets-card.js";
import { remark } from "../../parts/signal.js";

const RINGS = ["auto", "yes", "no"];

export class PlanPanel {
  #context;
  #choice;
  #shown = null;
  #tried = null;
  #aims = null;
  #aimsDraft;
  #parts = {};
  /** How this round was begun (domain/job/rounds.js). */
  #begun = {};
  /** The pairs of the recommended plan that has been in view: what nobody has seen is not taken. */
  #seen = null;
  #watch = null;
  #hasLooked = false;

  constructor(context) {
    this.#context = context;
    this.element = element("div", { class: "stack wide", key: "choose" });
  }

  async prepare() {
    const { app, job } = this.#context;
    this.#choice = new PlanChoice(await app.phone.ringSets(), await app.phone.setting(SHOP_SPREAD));
    this.#aimsDraft = new Draft(app.phone, `aims.${job.id}`);
    this.#aims = await this.#aimsDraft.read();
    this.#parts = {
      head: element("div", { class: "stack wide" }),
      sets: new RingSetsCard(app),
      plans: element("div", { class: "stack wide" }),
      tried: element("div", { class: "stack", role: "status" }),
      maps: new PlanMaps({ app, onTry: (side, point) => this.#try(side, point) }),
      others: element("div", { class: "stack wide" }),
      aims: new AimsCard({ app, onChange: (aims) => this.#aimAt(aims) }),
      rules: element("div", {}),
    };
    window.addEventListener("scroll", () => this.#look(), { capture: true, once: true }); // of the page or of the part of it that scrolls
  }

  update(context) {
    this.#context = { ...this.#context, ...context };
    const { app: { t }, job, step } = this.#context;
    this.#begun = beginningOf(job.fold, currentRound(job.fold));
    if (this.#begun.among) return this.#askWhichHolds();
    const { missing } = this.#choice.update(job, currentRound(job.fold));
    if (missing.length > 0) return fill(this.element, missing.map((code) => remark({ name: "open", text: t(`ui.choose.missing.${code}`), key: `missing-${code}` })));
    const { head, sets, plans, tried, maps, others, aims, rules } = this.#parts;
    if (!this.element.contains(plans)) fill(this.element, sets.element, head, plans, tried, maps.element, aims.element, others, rules);
    sets.update({ job, suits: this.#choice.suits });
    const shown = JSON.stringify([this.#choice.input, job.live(step.slot).map(({ id }) => id)]);
    if (shown !== this.#shown) this.#show(); // else what the person opened stays open
    this.#shown = shown;
    return undefined;
  }

  /** Nothing is chosen for a round of which nobody knows what it opens. */
  #askWhichHolds() {
    const { app, job, step } = this.#context;
    this.#shown = null;
    return fill(this.element, disputedRoundCard({
      t: app.t, fold: job.fold, round: currentRound(job.fold), among: this.#begun.among,
      onHolds: ({ body }) => app.save({ job: job.id, kind: KIND.PLAN_CHOSEN, slot: step.slot, body }),
    }));
  }

  get primary() {
    const { app: { t }, app, job, goOn } = this.#context;
    if (this.#begun.among) return null;
    if (this.#choice.missing.length > 0) return { key: "to-base", label: t("ui.choose.to-base"), press: () => app.go({ screen: "step", job: job.id, slot: this.#missingSlot() }) };
    if (this.#choice.error) return null;
    if (this.#chosen() && this.#isCurrent()) return { key: "next", label: t("ui.step.next"), press: goOn };
    const [best] = this.#choice.result.plans;
    if (SIDES.some((side) => this.#gate(best)[side].length > 0)) return null;
    if (this.#seen !== pairsOf(best)) return { key: "see-recommended", label: t("ui.choose.see-recommended"), press: () => this.#see() };
    return { key: "choose-recommended", label: t("ui.choose.take-recommended", { plan: planInShort(t, best, this.#choice) }), press: () => this.#take(best) };
  }

  /** Once somebody has looked further, the plan counts as seen when its chance comes into view. */
  #watchBest(best) {
    this.#watch?.disconnect();
    this.#watch = new IntersectionObserver((changes) => {
      if (!changes.some(({ isIntersecting }) => isIntersecting)) return;
      this.#watch.disconnect();
      this.#seen = pairsOf(best);
      this.#context.app.frame();
    }, { threshold: 0.5 });
    if (this.#hasLooked) this.#look();
  }

  #look() {
    this.#hasLooked = true;
    if (this.#bestChance) this.#watch?.observe(this.#bestChance);
  }

  #see() {
    this.#look();
    this.#bestChance.closest(".plan").scrollIntoView({ block: "start" });
  }

  get #bestChance() {
    return this.#parts.plans.querySelector(".chance");
  }

  /** Everything anew, after readings, windows, wishes or the chosen plan have changed. */
  #show() {
    const { app } = this.#context;
    if (this.#aims) this.#choice.aim(this.#aims);
    this.#tried = this.#ownPlan();
    fill(this.#parts.tried, this.#tried && this.#card(this.#tried, true));
    this.#parts.aims.update({ aims: this.#aimsNow(), windows: this.#choice.input.windows });
    fill(this.#parts.rules, this.#ringRules());
    fill(this.#parts.head,
      this.#choice.estimated && remark({ name: "warning", text: app.t("fitting.estimated"), key: "estimated" }),
      this.#begun.bare?.map((side) => remark({ name: "warning", text: app.t("fitting.bare", { side: app.t(`ui.side.${side}`) }), key: `bare-${side}` })),
      this.#choice.sets.length === 0 && remark({ name: "warning", text: app.t("ui.choose.no-tables"), key: "no-tables" }),
      needsInWords({ app, input: this.#choice.input }));
    this.#showPlans();
  }

  /** A chosen plan that is none of those the choice found: somebody tried it. */
  #ownPlan() {
    const chosen = this.#chosen();
    const isOwn = chosen && this.#choice.result && this.#isCurrent() && !this.#choice.result.plans.some((plan) => same(plan, chosen.plan));
    return isOwn ? chosen.plan : null;
  }

  #showPlans() {
    const { app, app: { t } } = this.#context;
    const { plans, maps, others } = this.#parts;
    const { result, error } = this.#choice;
    maps.element.hidden = Boolean(error);
    if (error) {
      fill(others);
      return fill(plans, remark({ name: "refused", text: t("ui.choose.failed", { message: errorText(t, error) }), key: "choose-failed" }));
    }
    const [best, ...more] = result.plans;
    fill(plans,
      this.#chosen() && !this.#isCurrent() && remark({ name: "warning", text: t("ui.choose.changed"), key: "plan-stale" }),
      result.advice.map((code) => element("section", { class: "sheet stack advice", key: `advice-${code}` },
        remark({ name: "warning", text: t(`advice.${code}`) }), element("p", { text: t(`advice.${code}.look`) }))),
      result.advice.includes("out-of-reach") && outOfReachCard({ app, choice: this.#choice }),
      element("h2", { text: t("ui.choose.recommended") }),
      this.#card(best));
    if (this.#seen !== pairsOf(best)) this.#watchBest(best);
    fill(others, more.length > 0 && element("h2", { text: t("ui.choose.others") }), more.map((plan) => this.#card(plan)));
    return maps.update({ plan: this.#tried ?? best, choice: this.#choice });
  }

  #card(plan, isTried = false) {
    const [best] = this.#choice.result.plans;
    const chosen = this.#chosen();
    return planCard({
      app: this.#context.app, plan, best, choice: this.#choice, gate: (one) => this.#gate(one), isTried,
      isChosen: Boolean(chosen) && same(chosen.plan, plan) && this.#isCurrent(), onTake: () => this.#take(plan),
    });
  }

  /** What refuses each wheel's pair on this axle. */
  #gate(plan) {
    const { fold } = this.#context.job;
    return Object.fromEntries(SIDES.map((side) => {
      const ringSet = plan[side] && this.#choice.set(plan[side].ring_set).table.ring_set;
      return [side, ringSet ? codesOf(pairSuits(fold, side, ringSet, plan[side].pair).refusals) : []];
    }));
  }

  /** A tap on the map: the plan with that pair, beside the recommended one; the other wheel stays as it is shown. */
  #try(side, { ring_set, pair }) {
    if (this.#choice.closed.includes(side) || this.#begun.bare?.includes(side)) return;
    const shown = this.#tried ?? this.#choice.result.plans[0];
    this.#tried = this.#choice.with({ ...shown, [side]: { ring_set, pair } });
    fill(this.#parts.tried, this.#card(this.#tried, true));
    this.#parts.maps.update({ plan: this.#tried, choice: this.#choice });
  }

  /** Moved aims show at once; they are kept as a draft, and on the sheet with the plan that is taken. */
  #aimAt(aims) {
    this.#aims = aims;
    setTimeout(() => this.#aimsDraft.write(aims)); // the plan is seen first
    this.#choice.aim(aims);
    this.#tried = null;
    fill(this.#parts.tried);
    this.#showPlans();
    this.#context.app.frame();
  }

  #aimsNow() {
    return this.#aims ?? Object.fromEntries(SIDES.map((side) => [side, this.#choice.input.windows[side].aim]));
  }

  /** May rings go in at this wheel: decided by the technician, else by the choice; of wheels that the round leaves closed or bare nobody is asked. */
  #ringRules() {
    const { app: { t }, app, job } = this.#context;
    const sides = SIDES.filter((side) => !this.#choice.closed.includes(side) && !this.#begun.bare?.includes(side));
    if (sides.length === 0) return null;
    return more({ label: t("ui.choose.rules"), open: this.#parts.rules.querySelector("details")?.open, summaryKey: "ring-rules" },
      element("div", { class: "stack wide" }, sides.map((side) => new Choices({
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

  /** A plan stands only for the readings and windows that it was chosen from, and while it keeps to where rings may go. */
  #isCurrent() {
    const { plan, input } = this.#chosen();
    if (this.#context.step.round === 1) return same(input, this.#choice.input);
    return same(withoutRings(input), withoutRings(this.#choice.input)) && keepsTo(this.#choice.input, plan);
  }

  #missingSlot() {
    const [code] = this.#choice.missing;
    return this.#context.job.steps.find(({ panel }) => panel === (code === "windows" ? "windows" : "readings")).slot;
  }

  async #take(plan) {
    const { app, job, step, goOn } = this.#context;
    const { input, result, hashes } = this.#choice;
    const { open, less, bare } = this.#begun;
    const body = { plan, input, tables: hashes, advice: result.advice, recommended: plan === result.plans[0], ...(open && { open, less }), ...(bare && { bare }) };
    if (!(await this.#keepAims())) return undefined;
    return (await app.save({ job: job.id, kind: KIND.PLAN_CHOSEN, slot: step.slot, body })) && goOn();
  }

  async #keepAims() {
    const { app, job } = this.#context;
    const moved = SIDES.filter((side) => this.#aims && !same(this.#aims[side], fieldOf(job.fold, `aim.${side}`) ?? null));
    for (const side of moved) {
      if (!(await app.save({ job: job.id, kind: KIND.FIELD_SET, slot: `aim.${side}`, body: { value: this.#aims[side] } }))) return false;
    }
    this.#aims = null;
    await this.#aimsDraft.drop();
    return true;
  }
}

/** What makes a plan another one for the person who takes it: rings where, and which marks meet. */
function pairsOf(plan) {
  return JSON.stringify(SIDES.map((side) => plan[side] && [plan[side].ring_set, plan[side].pair]));
}

/** Programs have written differently where rings may go in a later round, so a plan is asked itself whether it keeps to that. */
function withoutRings({ wheels, ...input }) {
  return { ...input, wheels: SIDES.map((side) => [wheels[side].camber, wheels[side].toe]) };
}

function keepsTo({ wheels }, plan) {
  return SIDES.every((side) => wheels[side].rings === "auto" || (wheels[side].rings === "yes") === (plan[side] !== null));
}

/** Alike whatever the order of keys, as the server may hand an entry back with its keys sorted. */
function same(a, b) {
  return canonical(a) === canonical(b);
}

function canonical(data) {
  return JSON.stringify(data, (key, inner) => (inner && typeof inner === "object" && !Array.isArray(inner) ? Object.fromEntries(Object.entries(inner).sort()) : inner));
}
