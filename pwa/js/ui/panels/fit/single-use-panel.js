/** Parts that are used once: at hand, not needed here, or to be ordered, before anything is taken apart. */

import { KIND } from "../../../domain/job/entry.js";
import { Choices } from "../../fields/choices.js";
import { element, fill } from "../../parts/element.js";
import { remark } from "../../parts/signal.js";

const STATES = ["at-hand", "not-needed", "to-order"];

export class SingleUsePanel {
  #context;
  #listed;
  #remark = element("div", { role: "status" });

  constructor(context) {
    this.#context = context;
    const { app: { t }, step, typed } = context;
    this.#listed = { ...(typed ?? step.value ?? {}) };
    this.element = element("div", { class: "stack wide" },
      step.items.map((item) => new Choices({
        legend: t(`single-use.${item}`),
        key: `item-${item}`,
        options: STATES.map((id) => ({ id, label: t(`single-use-state.${id}`) })),
        chosen: this.#listed[item] ?? null,
        onChange: (chosen) => this.#change(item, chosen),
      }).element),
      this.#remark);
    this.#sayOrder();
  }

  update(context) {
    this.#context = { ...this.#context, ...context };
  }

  get primary() {
    const { app: { t }, step, goOn } = this.#context;
    if (step.state === "done" && JSON.stringify(sorted(step.value)) === JSON.stringify(sorted(this.#listed))) return { key: "next", label: t("ui.step.next"), press: goOn };
    return { key: "keep", label: t("ui.keep"), press: () => this.#keep() };
  }

  #change(item, chosen) {
    const { app, draft } = this.#context;
    this.#listed[item] = chosen;
    draft.write(this.#listed);
    this.#sayOrder();
    app.frame();
  }

  #sayOrder() {
    const { t } = this.#context.app;
    fill(this.#remark, Object.values(this.#listed).includes("to-order") && remark({ name: "warning", text: t("warning.part-to-order") }));
  }

  async #keep() {
    const { app, job, step, draft, goOn } = this.#context;
    const open = step.items.find((item) => !this.#listed[item]);
    if (open) {
      app.say(app.t("ui.list.open", { item: app.t(`single-use.${open}`) }));
      return this.element.querySelector(`[data-key="item-${open}"] input`).focus();
    }
    if (!(await app.save({ job: job.id, kind: KIND.FIELD_SET, slot: step.slot, body: { value: this.#listed } }))) return undefined;
    await draft.drop();
    return goOn();
  }
}

function sorted(list) {
  return Object.entries(list ?? {}).sort();
}
