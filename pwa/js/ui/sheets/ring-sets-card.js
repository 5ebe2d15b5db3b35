/**
 * Each ring set of the shop: whether it suits this axle, why not, what is not known yet; and which ones to choose from.
 */

import { Choices } from "../fields/choices.js";
import { button, element, fill } from "../parts/element.js";
import { more } from "../parts/more-fold.js";
import { PUT_IN, putIn } from "../../domain/job/untrusted-sets.js";
import { doubtWords } from "../words/doubt-words.js";
import { codesOf, gateWords, wrongWords } from "./fit-words.js";
import { LEFT_OUT } from "./plan-choice.js";
import { remark } from "../parts/signal.js";

export class RingSetsCard {
  #context;
  #app;
  #shown = null;

  /**
   * @param {Object} context of a widget; without `goTo` nothing of the axle has been asked, and nothing is said of it
   */
  constructor(context) {
    this.#context = context;
    this.#app = context.app;
    this.element = element("section", { class: "sheet stack", key: "ring-sets" });
  }

  /** @param {{job: Job, suits: Object[]}} model of PlanChoice */
  update({ job, suits }) {
    const shown = JSON.stringify(suits.map(({ set, error, ...rest }) => [set.id, error?.message, rest]));
    if (shown === this.#shown) return;
    this.#shown = shown;
    const { t } = this.#app;
    this.element.hidden = suits.length === 0;
    const trusted = suits.filter(({ set }) => set.doubts.length === 0);
    fill(this.element,
      element("h2", { text: t("fitting.sets") }),
      this.#context.goTo && [this.#together(trusted.filter(isPlain)), trusted.filter((each) => !isPlain(each))
        .map((each) => this.#set(each))],
      suits.filter((each) => !trusted.includes(each)).map((each) => this.#untrusted(job, each)),
      this.#context.goTo && this.#forAll(job, suits),
      suits.length > 1 && this.#choice(suits));
  }

  /** Sets of which the same is to be said share a line: the plan below is what the person came for. */
  #together(plain) {
    const said = [true, null].map((verdict) => plain.filter(({ suits }) => suits === verdict))
      .filter((same) => same.length > 0);
    return said.map((same) => this.#verdict(same[0].suits, same.map(({ set }) => set.name).join("; ")));
  }

  #verdict(suits, names) {
    const [name, key] = suits === false ? ["refused", "no"] : suits === null ? ["unknown", "unknown"]
      : ["suits", "yes"];
    return remark({ name, text: this.#app.t(`fitting.set.${key}`, { set: names }) });
  }

  #set({ set, suits, refusals, error }) {
    const { t } = this.#app;
    return element("div", { class: "stack", key: `set-${set.id}` },
      this.#verdict(suits, set.name),
      codesOf(refusals).map((code) => element("p", { key: `refusal-${set.id}-${code}`, text: t(`refusal.${code}`) })),
      error && element("p", { text: wrongWords(t, error) }));
  }

  /** An untrusted set stands apart with its doubts; one tap puts it in for this job, and one takes it out again. */
  #untrusted(job, each) {
    const { t } = this.#app;
    const { set: { id, name, doubts }, suits, isPutIn: isIn } = each;
    return element("section", { class: "stack untrusted", key: `untrusted-${id}` },
      remark({ name: "warning", text: t(isIn ? "fitting.untrusted.in" : "fitting.untrusted", { set: name }) }),
      element("ul", {}, doubts.map((code) => element("li", { text: doubtWords(t, code) }))),
      suits === false
        ? this.#set(each)
        : button({ key: `${isIn ? "take-out" : "put-in"}-${id}`,
          label: t(isIn ? "fitting.untrusted.take-out" : "fitting.untrusted.put-in", { set: name }), kind: "plain",
          onPress: () => this.#putIn(job, each) }));
  }

  #putIn(job, { set: { id, doubts }, isPutIn: isIn }) {
    const { [id]: before, ...others } = putIn(job.fold);
    return this.#context.save({ slot: PUT_IN }, { body: { value: isIn ? others : { ...others, [id]: doubts } } });
  }

  /** What the sets have in common is said once. */
  #forAll(job, suits) {
    const warnings = codesOf(suits.flatMap((each) => each.warnings)).map((code) => ({ code }));
    const missing = suits.flatMap((each) => each.missing);
    return gateWords({ app: this.#app, gate: { refusals: [], warnings, missing, error: null }, job,
      onOpen: this.#context.goTo });
  }

  /** A set that does not suit is never chosen from; the others may be left out. */
  #choice(all) {
    const { t } = this.#app;
    const offered = all.filter(({ suits }) => suits !== false);
    return more({ label: t("fitting.sets.from"), summaryKey: "choose-sets" },
      new Choices({
        legend: t("fitting.sets.from"), legendHidden: true, key: "from-set", several: true,
        options: offered.map(({ set }) => ({ id: set.id, label: set.name })),
        chosen: offered.filter(({ isLeftOut }) => !isLeftOut).map(({ set }) => set.id),
        onChange: (chosen) => this.#context.save({ slot: LEFT_OUT },
          { body: { value: { ids: offered.map(({ set }) => set.id).filter((id) => !chosen.includes(id)) } } }),
      }).element);
  }
}

function isPlain({ suits, refusals, error }) {
  return suits !== false && !error && codesOf(refusals).length === 0;
}
