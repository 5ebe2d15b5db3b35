/** A number with its unit: odometer, clearances, turns. */

import { KIND } from "../../domain/job/entry.js";
import { decimalMark } from "../../domain/numbers/units.js";
import { NumberEntry } from "../fields/number-entry.js";
import { stepTitle } from "../words/step-words.js";

export class NumberStep {
  #context;
  #entry;

  constructor(context) {
    this.#context = context;
    const { app, step, draft, typed } = context;
    this.#entry = new NumberEntry({
      t: app.t,
      label: stepTitle(app.t, step),
      mark: decimalMark(app.locale),
      key: "number",
      units: step.units.map((id) => ({ id, label: app.t(`unit.${id}`) })),
      start: typed ?? step.value ?? { unit: app.settings.get("units")[step.id] ?? step.units[0] },
      onTyping: (now) => { draft.write(now); app.frame(); },
      onEnter: () => this.primary.press(),
    });
    this.element = this.#entry.element;
  }

  get primary() {
    const { app: { t }, step, goOn } = this.#context;
    const { text, unit } = this.#entry.typed;
    if (text === "" && !step.required) return { key: "skip", label: t("ui.step.skip"), press: goOn };
    if (step.value && text === step.value.text && unit === step.value.unit) return { key: "next", label: t("ui.step.next"), press: goOn };
    return { key: "keep", label: t("ui.keep"), press: () => this.#keep() };
  }

  async #keep() {
    const { app, job, step, draft, goOn } = this.#context;
    const number = this.#entry.read();
    if (!number) return undefined;
    if (!(await app.save({ job: job.id, kind: KIND.FIELD_SET, slot: step.slot, body: { value: number } }))) return undefined;
    await draft.drop();
    if (step.units.length > 1) await app.settings.set("units", { ...app.settings.get("units"), [step.id]: number.unit });
    return goOn();
  }
}
