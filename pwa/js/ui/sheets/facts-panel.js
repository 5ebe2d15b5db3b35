/**
 * A step that asks for measured facts in a form and keeps them in its slot: {"typed": as typed, <name>: as computed
 * with}. A subclass says which fields and how they are read. It may be left out.
 */

import { KIND } from "../../domain/job/entry.js";
import { stillFrom } from "../../domain/types/type-parts.js";
import { element, fill } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";
import { TypedForm } from "../fields/typed-form.js";

export class FactsPanel {
  context;
  #form;
  #facts;
  #above = element("div", { class: "stack" });
  #below = element("div", { class: "stack" });
  #holder = element("div", {});
  /** What the slot held when the form was last filled. */
  #kept;

  /**
   * @param {Object} context of the step
   * @param {{name: string, prefix: string, fields: Object[], first: Object, read: function(Object): Object, isEmpty:
   *   function(Object): boolean}} facts `name` of the computed part, `first` what an empty form begins with
   */
  constructor(context, facts) {
    this.context = context;
    this.#facts = facts;
    this.element = element("div", { class: "stack wide" }, this.#above, this.#holder, this.#below);
    this.#kept = this.#inSlot();
    this.#show(context.typed ?? this.#kept ?? facts.first);
  }

  update(context) {
    this.context = { ...this.context, ...context };
    this.#follow();
    this.decorate?.(this.#above, this.#below, this.#form.typed);
  }

  get primary() {
    const { app: { t }, goOn } = this.context;
    const { typed } = this.#form;
    const kept = this.#inSlot();
    if (kept && same(kept, typed)) return { key: "next", label: t("ui.step.next"), press: goOn };
    if (!kept && this.#facts.isEmpty(typed)) return { key: "skip", label: t("ui.step.skip"), press: goOn };
    return { key: "keep", label: t("ui.keep"), press: () => this.#keep() };
  }

  /** Puts other facts into the form, as if they had been typed. */
  take(typed) {
    this.#show(typed);
    this.context.draft.write(typed);
    this.decorate?.(this.#above, this.#below, typed);
    this.context.app.frame();
  }

  #inSlot() {
    const { job, step } = this.context;
    return job.field(step.slot)?.typed;
  }

  /**
   * What came into the slot by another way (a vehicle type, another phone) stands in the form; what somebody is typing
   * stays.
   */
  #follow() {
    const [before, now] = [this.#kept, this.#inSlot()];
    if (same(before ?? {}, now ?? {})) return;
    this.#kept = now;
    const isTouched = !same(this.#form.typed, before ?? this.#facts.first);
    this.#show({ ...(now ?? this.#facts.first), ...(isTouched && filledIn(this.#form.typed)) });
  }

  #show(typed) {
    const { app: { t }, draft } = this.context;
    this.#form = new TypedForm({
      t, prefix: this.#facts.prefix, fields: this.#facts.fields, typed,
      onChange: (now) => { draft.write(now); this.decorate?.(this.#above, this.#below, now);
        this.context.app.frame(); },
    });
    fill(this.#holder, this.#form.element);
  }

  async #keep() {
    const { app, job, step, draft, goOn } = this.context;
    const { typed } = this.#form;
    let computed;
    try {
      computed = this.#facts.read(typed);
    } catch (error) {
      const message = errorText(app.t, error);
      return this.#form.refuse(error.field, message) || app.say(message);
    }
    const { slot } = step;
    const value = { typed, [this.#facts.name]: computed };
    const from = stillFrom({ slot, entry: job.live(slot)[0], value: job.field(slot) }, value);
    if (!(await app.save({ job: job.id, kind: KIND.FIELD_SET, slot, body: { value, ...from } }))) return undefined;
    await draft.drop();
    return goOn();
  }
}

function same(a, b) {
  const plain = (typed) => JSON.stringify(Object.entries(filledIn(typed)).sort());
  return plain(a) === plain(b);
}

function filledIn(typed) {
  return Object.fromEntries(Object.entries(typed).filter(([, text]) => text));
}
