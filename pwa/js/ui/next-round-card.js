/**
 * From a result that is not right to the next round: which wheels are opened, what is taken to be true, refit as planned or a
 * second pass, what that would give, and whether the cut rings serve again. A new round begins only with a deliberate tap.
 */

import { KIND } from "../domain/entry.js";
import { cutRingsServe } from "../domain/cut-rings.js";
import { nextRound } from "../domain/next-round.js";
import { fittedAt } from "../domain/checklist-slots.js";
import { SIDES } from "../domain/sides.js";
import { button, element, fill } from "./element.js";
import { causeName } from "./cause-words.js";
import { Choices } from "./choices.js";
import { errorText } from "./error-text.js";
import { cutRingsPart } from "./fit-words.js";
import { axlePart, chanceWords, wheelPart } from "./plan-card.js";
import { remark } from "./signal.js";

const KINDS = ["refit", "second"];

export class NextRoundCard {
  #model;
  #wish;
  #outcome = element("div", { class: "stack", role: "status", key: "next-round-outcome" });

  /**
   * @param {{app: App, job: JobModel, round: number, wheels: Object, sets: Object[], tables: Object[]}} model `wheels`: side -> {proof, input of prove}
   *   of those fitted in this round; `sets` of the shop ({id, name, sha256, table}); `tables` that this round's plan names;
   *   `shopSpread` the shop's own spreads
   */
  constructor(model) {
    this.#model = model;
    const { app: { t }, wheels, isWanted } = model;
    const off = SIDES.filter((side) => wheels[side] && !wheels[side].proof.groups[0].includes("as-planned"));
    this.#wish = { open: off.length > 0 ? off : SIDES.filter((side) => wheels[side]), kind: off.length > 0 ? "refit" : "second", causes: {} };
    for (const side of SIDES) if (wheels[side]) this.#wish.causes[side] = onlyCause(wheels[side].proof);
    this.element = element("details", { class: "sheet more", open: isWanted, key: "next-round" },
      element("summary", { class: "button quiet" }, element("span", { class: "button-label", text: t("proof.next-round", { round: model.round + 1 }) })),
      element("div", { class: "stack wide" }, this.#questions(), this.#outcome));
    this.#show();
  }

  #questions() {
    const { app: { t }, job, wheels } = this.#model;
    const nameOf = (id) => job.names[id] ?? id;
    return [
      new Choices({ legend: t("proof.open"), key: "open", several: true, chosen: this.#wish.open, options: SIDES.map((id) => ({ id, label: t("proof.open.wheel", { side: t(`ui.side.${id}`) }) })), onChange: (open) => this.#change({ open }) }).element,
      SIDES.filter((side) => wheels[side]).map((side) => new Choices({
        legend: t("proof.true", { side: t(`ui.side.${side}`) }), key: `true-${side}`, chosen: this.#wish.causes[side],
        options: wheels[side].proof.groups.flat().slice(0, 6).map((code) => ({ id: code, label: causeName(t, wheels[side].proof.causes.find((row) => row.code === code), nameOf) })),
        onChange: (code) => this.#change({ causes: { ...this.#wish.causes, [side]: code } }),
      }).element),
      Object.keys(wheels).length > 0 && new Choices({ legend: t("proof.kind"), key: "kind", chosen: this.#wish.kind, options: KINDS.map((id) => ({ id, label: t(`proof.kind.${id}`), detail: t(`proof.kind.${id}.means`) })), onChange: (kind) => this.#change({ kind }) }).element,
    ];
  }

  #change(change) {
    Object.assign(this.#wish, change);
    this.#show();
  }

  #show() {
    const { app, app: { t }, round, wheels } = this.#model;
    if (this.#wish.open.length === 0) return fill(this.#outcome, remark({ name: "open", text: t("proof.open.none") }));
    if (this.#wish.open.some((side) => wheels[side] && !this.#wish.causes[side])) return fill(this.#outcome, remark({ name: "open", text: t("proof.true.first") }));
    const behind = SIDES.find((side) => this.#wish.open.includes(side) && this.#wish.kind === "second" && this.#causeOf(side)?.second_pass_base === null);
    if (behind) return fill(this.#outcome, remark({ name: "refused", text: t("proof.second.not-from-faces") }));
    try {
      return this.#showNext(this.#next());
    } catch (error) {
      return fill(this.#outcome, remark({ name: "refused", text: t("proof.no-plan", { message: errorText(app.t, error), round }) }));
    }
  }

  #showNext(next) {
    const { app, app: { t }, job, round } = this.#model;
    const choice = { input: next.input, old: next.open.filter((side) => fittedAt(job.fold, side, round)), closed: SIDES.filter((side) => !next.open.includes(side)), set: (id) => this.#sets().find((set) => set.id === id) };
    fill(this.#outcome,
      element("h3", { text: t("proof.then") }),
      element("p", { text: t("proof.estimate") }),
      element("p", { class: "chance", text: t("ui.choose.chance", { chance: chanceWords(t, next.plan.chance) }) }),
      SIDES.map((side) => element("div", { class: "stack plan" }, wheelPart(app, next.plan, choice, side), this.#cut(next, side))),
      axlePart(app, next.plan, choice),
      button({ key: "start-round", label: t("proof.start", { round: round + 1 }), kind: "confirm", onPress: () => this.#start(next) }));
  }

  #cut(next, side) {
    const { wheels, app } = this.#model;
    const wanted = next.plan[side];
    if (!wanted || !wheels[side]) return null;
    return cutRingsPart({ app, fromNow: true, cut: cutRingsServe(wheels[side].input, this.#wish.causes[side], wanted.ring_set, wanted.pair) });
  }

  #causeOf(side) {
    return this.#model.wheels[side]?.proof.causes.find((row) => row.code === this.#wish.causes[side]) ?? null;
  }

  /** A refit is made from the tables of its plan, a second pass from those that the shop has now. */
  #sets() {
    return this.#wish.kind === "refit" ? this.#model.tables : this.#model.sets;
  }

  #next() {
    const { job, round } = this.#model;
    const causes = Object.fromEntries(SIDES.map((side) => [side, this.#causeOf(side)]));
    return nextRound(job.fold, round, { ...this.#wish, causes, tables: this.#sets().map(({ table }) => table), shop: this.#model.shopSpread });
  }

  async #start({ plan, input, advice, open, less }) {
    const { app, job, round } = this.#model;
    const tables = Object.fromEntries(this.#sets().filter(({ id }) => input.ring_sets.includes(id)).map(({ id, sha256 }) => [id, sha256]));
    const body = { plan, input, tables, advice, recommended: true, open, less };
    if (!(await app.save({ job: job.id, kind: KIND.PLAN_CHOSEN, slot: `round.${round + 1}.plan`, body }))) return;
    const next = (await app.job(job.id)).next();
    app.goSaying(app.t("proof.started", { round: round + 1 }), { screen: "step", job: job.id, slot: next.slot });
  }
}

/** What nobody else can say is taken for true only where the numbers leave no choice. */
function onlyCause({ groups: [first] }) {
  return first.length === 1 ? first[0] : null;
}
