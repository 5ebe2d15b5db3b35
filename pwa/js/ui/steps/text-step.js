/** A line of text: registration, description, VIN and the like. */

import { KIND } from "../../domain/job/entry.js";
import { element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { stepTitle } from "../words/step-words.js";
import { TextField } from "../fields/text-field.js";
import { vinRemark } from "../words/vin-words.js";

const ONE_LINE_FORMATS = ["registration", "vin"];

export class TextStep {
  #context;
  #field;
  #remark = element("div", { role: "status", key: "remark" });

  constructor(context) {
    this.#context = context;
    const { app: { t }, step, draft, typed } = context;
    const oneLine = ONE_LINE_FORMATS.includes(step.format);
    this.#field = new TextField({
      label: stepTitle(t, step),
      labelHidden: true, // the heading says it
      key: "text",
      text: typed ?? step.value ?? (step.remembered ? context.app.settings.remembered(step.id) : ""),
      capitals: oneLine,
      lines: !oneLine,
      onTyping: (text) => { draft.write(text); this.#changed(); },
      onEnter: () => this.primary.press(),
    });
    this.element = element("div", { class: "stack" }, this.#field.element, this.#remark);
    this.#sayRemark();
  }

  get primary() {
    const { app: { t }, step, goOn } = this.#context;
    const text = this.#field.text.trim();
    if (text === "" && !step.required) return { key: "skip", label: t("ui.step.skip"), press: goOn };
    if (text === step.value) return { key: "next", label: t("ui.step.next"), press: goOn };
    return { key: "keep", label: t("ui.keep"), press: () => this.#keep() };
  }

  #changed() {
    this.#sayRemark();
    this.#context.app.frame();
  }

  #sayRemark() {
    const { app: { t }, step } = this.#context;
    const words = step.format === "vin" ? vinRemark(t, this.#field.text) : null;
    fill(this.#remark, words && remark({ name: words.shape, text: words.text, key: "vin-remark" }));
  }

  async #keep() {
    const { app, job, step, draft, goOn } = this.#context;
    const trimmed = this.#field.text.trim();
    const text = ONE_LINE_FORMATS.includes(step.format) ? trimmed.toUpperCase() : trimmed;
    if (!text) return this.#field.refuse(app.t("ui.text.missing"));
    if (!(await app.save({ job: job.id, kind: KIND.FIELD_SET, slot: step.slot, body: { value: text } }))) return undefined;
    if (step.remembered) await app.settings.remember(step.id, text);
    await draft.drop();
    return goOn();
  }
}
