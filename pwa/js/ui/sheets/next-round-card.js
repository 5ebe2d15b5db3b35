/**
 * From a result that is not right to the next round: which wheels are opened, what is taken to be true, refit as
 * planned, a second pass or the pair out, what that would give, and whether the cut rings serve again. A new round
 * begins only with a deliberate tap under what it would give: what nobody has seen is not begun.
 */

import { cutRingsServe } from "../../domain/prove/cut-rings.js";
import { mayBeChosen } from "../../domain/choose/choose-input.js";
import { nextRound } from "../../domain/job/next-round.js";
import { plannedPairAt } from "../../domain/job/checklist-slots.js";
import { fieldOf } from "../../domain/job/slot-values.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { button, element, fill } from "../parts/element.js";
import { causeName } from "./cause-words.js";
import { Choices } from "../fields/choices.js";
import { errorText } from "../parts/error-text.js";
import { cutRingsPart } from "./fit-words.js";
import { planTable } from "./plan-table.js";
import { remark } from "../parts/signal.js";

const KINDS = ["refit", "second", "out"];

export class NextRoundCard {
  #model;
  #wish;
  #next = null;
  #kinds = null;
  #trues = {};
  #outcome = element("div", { class: "stack", role: "status", key: "next-round-outcome" });

  /**
   * @param {{app: App, job: Job, round: number, wheels: Object, bare: string[], sets: Object[], tables: Object[],
   *   isWanted: boolean}} model `wheels`: side -> {proof, input of prove} of those fitted in this round; `bare`: those
   *   whose pair came out in it; `sets` of the shop ({id, name, sha256, table}); `tables` that this round's plan names;
   *   `shopSpread` the shop's own spreads; `isWanted`: something is outside, so it stands open; `given`: what a card of
   *   the same result was answered with, as its `given` says
   */
  constructor(model) {
    this.#model = model;
    const { app: { t }, wheels, bare, given = null } = model;
    const off = SIDES.filter((side) => wheels[side] && !wheels[side].proof.groups[0].includes("as-planned"));
    const [open] = [off, bare, Object.keys(wheels)].filter((sides) => sides.length > 0);
    this.#wish = { open, kind: off.length > 0 ? "refit" : "second", causes: {} };
    for (const side of SIDES) if (wheels[side]) this.#wish.causes[side] = onlyCause(wheels[side].proof);
    Object.assign(this.#wish, given?.wish);
    this.element = element("details", { class: "more", key: "next-round", open: given?.isOpen ?? model.isWanted },
      element("summary", { class: "button quiet" },
        element("span", { class: "button-label", text: t("proof.next-round", { round: model.round + 1 }) })),
      element("div", { class: "stack wide" }, this.#questions(), this.#outcome));
    this.#show();
  }

  get given() {
    return { wish: this.#wish, isOpen: this.element.open };
  }

  #questions() {
    const { app: { t }, job, wheels } = this.#model;
    const nameOf = (id) => job.names[id] ?? id;
    for (const side of SIDES.filter((each) => wheels[each])) {
      this.#trues[side] = new Choices({
        legend: t("proof.true", { side: t(`ui.side.${side}`) }), key: `true-${side}`, chosen: this.#wish.causes[side],
        options: wheels[side].proof.groups.flat().slice(0, 6)
          .map((code) => ({ id: code, label: causeName(t,
            wheels[side].proof.causes.find((row) => row.code === code), nameOf) })),
        onChange: (code) => this.#change({ causes: { ...this.#wish.causes, [side]: code } }),
      });
    }
    if (Object.keys(wheels).length > 0) {
      this.#kinds = new Choices({ legend: t("proof.kind"), key: "kind", chosen: this.#wish.kind,
        options: KINDS.map((id) => ({ id, label: t(`proof.kind.${id}`), detail: t(`proof.kind.${id}.means`) })),
        onChange: (kind) => this.#change({ kind }) });
    }
    return [
      new Choices({ legend: t("proof.open"), key: "open", several: true, chosen: this.#wish.open,
        options: SIDES.map((id) => ({ id, label: t("proof.open.wheel", { side: t(`ui.side.${id}`) }) })),
        onChange: (open) => this.#change({ open }) }).element,
      Object.values(this.#trues).map((each) => each.element),
      this.#kinds?.element,
    ];
  }

  #change(change) {
    Object.assign(this.#wish, change);
    this.#show();
  }

  #show() {
    // of a closed wheel nothing hangs on it
    for (const [side, { element: question }] of Object.entries(this.#trues))
      question.hidden = !this.#wish.open.includes(side);
    this.#next = null;
    fill(this.#outcome, this.#said());
  }

  /** What is wrong with the answers; else what they would give. */
  #said() {
    const { app, app: { t }, round } = this.#model;
    const { open, kind } = this.#wish;
    if (open.length === 0) return remark({ name: "open", text: t("proof.open.none") });
    if (kind !== "out" && open.some((side) => this.#trues[side] && !this.#wish.causes[side]))
      return remark({ name: "open", text: t("proof.true.first") });
    const isBlind = kind === "second" && open.some((side) => this.#causeOf(side)?.second_pass_base === null);
    if (isBlind) return remark({ name: "refused", text: t("proof.second.not-from-faces"), key: "not-from-faces" });
    if (kind === "out" && !open.some((side) => this.#fitted(side)))
      return remark({ name: "open", text: t("proof.out.nothing") });
    try {
      this.#next = this.#plan();
      return this.#outcomeOf(this.#next);
    } catch (error) {
      return remark({ name: "refused", text: t("proof.no-plan", { message: errorText(app.t, error), round }) });
    }
  }

  #outcomeOf(next) {
    const { app, app: { t }, job, round } = this.#model;
    const choice = { input: next.input, old: next.open.filter((side) => this.#fitted(side)),
      closed: SIDES.filter((side) => !next.open.includes(side)),
      set: (id) => this.#sets().find((set) => set.id === id) };
    const ruledOut = this.#wish.kind === "second"
      ? next.open.filter((side) => fieldOf(job.fold, `rings.${side}`) === "no") : [];
    return [
      element("h3", { text: t("proof.then") }),
      element("p", { text: t("proof.estimate") }),
      next.bare && remark({ name: "warning", text: t("proof.out.then"), key: "out-then" }),
      ruledOut.map((side) => remark({ name: "warning", text: t("proof.ruled-out", { side: t(`ui.side.${side}`) }),
        key: `ruled-out-${side}` })),
      planTable({ context: { t, app }, model: { choice, refusals: () => ({ left: [], right: [] }) }, plan: next.plan }),
      SIDES.map((side) => this.#cut(next, side)),
      button({ key: "start-round", label: t("proof.start", { round: round + 1 }), kind: "take",
        onPress: () => this.#start(next) }),
    ];
  }

  #cut(next, side) {
    const { wheels, app } = this.#model;
    const wanted = next.plan[side];
    if (!wanted || !wheels[side]) return null;
    return cutRingsPart({ app, fromNow: true,
      cut: cutRingsServe(wheels[side].input, this.#wish.causes[side], wanted.ring_set, wanted.pair) });
  }

  #fitted(side) {
    return plannedPairAt(this.#model.job.fold, side, this.#model.round);
  }

  #causeOf(side) {
    return this.#model.wheels[side]?.proof.causes.find((row) => row.code === this.#wish.causes[side]) ?? null;
  }

  /** A second pass is made from the sets that the shop has now, all else from the tables of this round's plan. */
  #sets() {
    return this.#wish.kind === "second" ? this.#model.sets : this.#model.tables;
  }

  #plan() {
    const { job, round } = this.#model;
    const causes = Object.fromEntries(SIDES.map((side) => [side, this.#causeOf(side)]));
    return nextRound(job.fold, round, { ...this.#wish, causes, tables: this.#sets().map(({ table }) => table),
      doubts: this.#doubts(), shop: this.#model.shopSpread });
  }

  /** As the shop says now, also of the tables that this round's plan names. */
  #doubts() {
    return Object.fromEntries(this.#model.sets.map(({ id, doubts }) => [id, doubts]));
  }

  async #start({ input, ...next }) {
    const { onStart } = this.#model;
    const tables = Object.fromEntries(this.#sets()
      .filter(({ id }) => input.ring_sets.includes(id) && mayBeChosen(input, id))
      .map(({ id, sha256 }) => [id, sha256]));
    const body = { ...next, input, tables, recommended: true };
    return onStart(body);
  }
}

/** What nobody else can say is taken for true only where the numbers leave no choice. */
function onlyCause({ groups: [first] }) {
  return first.length === 1 ? first[0] : null;
}
