/** A question with a few answers. What an answer means (a warning, a refusal) is said before it is kept. */

import { KIND } from "../../domain/job/entry.js";
import { Choices } from "../fields/choices.js";
import { confirmButton } from "../parts/confirm-button.js";
import { element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { optionWords, stepTitle } from "../words/step-words.js";

export class ChoiceStep {
  #context;
  #choices;
  #meaning = element("div", { class: "stack", role: "status", key: "meaning" });

  constructor(context) {
    this.#context = context;
    const { app, step } = context;
    this.#choices = new Choices({
      legend: stepTitle(app.t, step),
      legendHidden: true,
      key: "choice",
      options: step.options.map(({ id }) => ({ id, label: optionWords(app.t, step.optionSet, id) })),
      chosen: step.value ?? null,
      onChange: () => { this.#sayMeaning(); app.frame(); this.#meaning.scrollIntoView({ block: "nearest" }); },
    });
    this.element = element("div", { class: "stack" }, this.#choices.element, this.#meaning);
    this.#sayMeaning();
  }

  get primary() {
    const { app, step, goOn } = this.#context;
    const { chosen } = this.#choices;
    if (step.refusal && chosen === step.value) return null; // no going on from here: another answer, or stop
    if (chosen && chosen === step.value) return { key: "next", label: app.t("ui.step.next"), press: goOn };
    if (chosen ? step.hold : step.state === "overridden") return null;
    return { key: "keep", label: app.t("ui.keep"), press: () => this.#keep() };
  }

  /** While a change is neither kept nor confirmed there is no going on, or it would be dropped without a word. */
  get isUnkept() {
    const { chosen } = this.#choices;
    return chosen !== null && chosen !== this.#context.step.value;
  }

  #sayMeaning() {
    const { app: { t }, step } = this.#context;
    const { chosen } = this.#choices;
    const option = step.options.find(({ id }) => id === chosen);
    const isNew = chosen && chosen !== step.value;
    fill(this.#meaning,
      option?.refuse && remark({ name: "refused", text: t(`refusal.${option.refuse}`), key: "refusal" }),
      option?.warn && remark({ name: "warning", text: t(`warning.${option.warn}`), key: "warning" }),
      step.hold && isNew && confirmButton(this.#context, optionWords(t, step.optionSet, chosen), () => this.#keep()));
  }

  async #keep() {
    const { app, job, step, goOn } = this.#context;
    const { chosen } = this.#choices;
    if (!chosen) {
      app.say(app.t("ui.choice.none"));
      return this.#choices.focus();
    }
    const option = step.options.find(({ id }) => id === chosen);
    const saved = await app.save({ job: job.id, kind: KIND.FIELD_SET, slot: step.slot, body: { value: chosen } });
    if (!saved) return undefined;
    return option.refuse ? app.render() : goOn();
  }
}
