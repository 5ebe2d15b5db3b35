/**
 * Parts and rings: at hand, not needed here, or to order, each with one tap; "all at hand" answers those that nobody
 * has answered. What the plan needs and is not here is a hold before the hub comes off; this only asks. Beside the hub
 * bolts stands how long they have to be, as far as that is known by now.
 */

import { longerBolts } from "../../domain/job/bolt-length.js";
import { partsAsked } from "../../domain/job/plan-still-holds.js";
import { button, element, fill } from "../parts/element.js";
import { boltsToOrder, unknownLength } from "./fit-words.js";
import { PlanModel } from "./plan-model.js";

const STATES = ["at-hand", "not-needed", "to-order"];

export class PartsCard {
  #context;
  #row;
  #lines = new Map();
  #nodes = new Map();
  #all;
  #bolts = element("div", { class: "stack", key: "bolts-wanted" });
  #boltsOf = null;
  #model = null;
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const { t } = context;
    this.#all = button({ key: "all-at-hand", label: t("plan.parts.all"), kind: "option",
      onPress: () => this.#answer(Object.fromEntries(this.#open().map((item) => [item, "at-hand"]))) });
    this.element = element("div", { class: "stack parts-card" }, this.#all, row.items.map((item) => this.#line(item)));
    this.update(row);
  }

  update(row) {
    this.#row = row;
    for (const [item, options] of this.#lines) {
      for (const [state, option] of options) option.setAttribute("aria-pressed", String(row.value?.[item] === state));
    }
    const asked = this.#asked();
    for (const [item, node] of this.#nodes) node.hidden = !asked.includes(item);
    this.#all.hidden = this.#open().length === 0;
    this.#sayBolts();
  }

  reveal() {
    this.#all.focus({ preventScroll: true });
  }

  #line(item) {
    const { t } = this.#context;
    const options = new Map(STATES.map((state) => [state, button({
      key: `part-${item}-${state}`, label: t(`plan.parts.${state}`),
      name: `${t(`single-use.${item}`)}: ${t(`single-use-state.${state}`)}`, kind: "option", pressed: false,
      onPress: () => this.#answer({ [item]: state }),
    })]));
    this.#lines.set(item, options);
    const node = element("div", { class: "part-line", role: "group", "aria-label": t(`single-use.${item}`),
      key: `part-${item}` },
      element("p", { text: t(`single-use.${item}`) }), item === "hub-bolts" && this.#bolts,
      element("div", { class: "options" }, ...options.values()));
    this.#nodes.set(item, node);
    return node;
  }

  /** Anew only for another plan or other bolts: the rest of the sheet is answered beside it. */
  #sayBolts() {
    const { app, job, t } = this.#context;
    const { round } = this.#row;
    const plan = job.planned(round)?.plan;
    if (!plan) return fill(this.#bolts);
    if (!this.#model) {
      this.#model = PlanModel.of(this.#context, this.#row);
      this.#model.onChange(() => this.#sayBolts());
    }
    const { choice } = this.#model;
    const slots = [this.#model.slot, "vehicle.bolts"];
    const known = choice && slots.flatMap((slot) => job.live(slot)).map(({ id }) => id).join();
    if (!choice || known === this.#boltsOf) return undefined;
    this.#boltsOf = known;
    try {
      const wanted = longerBolts(job.fold, round, plan, (id) => choice.set(id)?.table.ring_set);
      const bolts = job.field("vehicle.bolts")?.bolts;
      return fill(this.#bolts, wanted.every(({ longer }) => !longer)
        ? element("p", { text: unknownLength({ t, bolts }) })
        : wanted.map((each) => boltsToOrder({ app, bolts, ...each })));
    } catch (error) {
      if (error.name !== "InputError") throw error;
      return fill(this.#bolts); // a typed number that cannot be meant is said where it is typed
    }
  }

  /** What this vehicle does not have is neither listed nor recorded. */
  #asked() {
    return partsAsked(this.#context.job.fold, this.#row.items);
  }

  #open() {
    return this.#asked().filter((item) => !this.#row.value?.[item]);
  }

  /** One after the other: all of them stand in one entry. */
  #answer(change) {
    this.#saving = this.#saving.then(() =>
      this.#context.save(this.#row, { body: { value: { ...this.#row.value, ...change } } }));
    return this.#saving;
  }
}
