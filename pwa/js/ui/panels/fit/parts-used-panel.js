/** Which of the parts at hand really went in: the report says what was replaced, never what merely lay ready. */

import { KIND } from "../../../domain/job/entry.js";
import { Choices } from "../../fields/choices.js";
import { element } from "../../parts/element.js";

export class PartsUsedPanel {
  #context;
  #choices;

  constructor(context) {
    this.#context = context;
    const { app: { t }, job, step, typed } = context;
    const { items } = job.steps.find(({ panel }) => panel === "single-use-list");
    this.#choices = new Choices({
      legend: t("report.replaced-ask"), key: "replaced", several: true, legendHidden: true, chosen: typed ?? Object.keys(step.value ?? {}),
      options: items.filter((item) => item !== "rings").map((id) => ({ id, label: t(`report.part.${id}`) })),
      onChange: (chosen) => this.#change(chosen),
    });
    this.element = element("div", { class: "stack wide", key: "parts-used" }, this.#choices.element);
  }

  update(context) {
    this.#context = { ...this.#context, ...context };
  }

  get primary() {
    const { app: { t }, step, goOn } = this.#context;
    const kept = Object.keys(step.value ?? {});
    if ([...this.#choices.chosen].sort().join() !== kept.sort().join()) return { key: "keep", label: t("ui.keep"), press: () => this.#keep() };
    return kept.length > 0 ? { key: "next", label: t("ui.step.next"), press: goOn } : { key: "skip", label: t("ui.step.skip"), press: goOn };
  }

  #change(chosen) {
    const { app, draft } = this.#context;
    draft.write(chosen);
    app.frame();
  }

  async #keep() {
    const { app, job, step, draft, goOn } = this.#context;
    const value = Object.fromEntries(this.#choices.chosen.map((item) => [item, "replaced"]));
    if (!(await app.save({ job: job.id, kind: KIND.FIELD_SET, slot: step.slot, body: { value } }))) return undefined;
    await draft.drop();
    return goOn();
  }
}
