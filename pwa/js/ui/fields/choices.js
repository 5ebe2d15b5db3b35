/** One of several, or several of many, each a whole line to press. Nothing is chosen beforehand unless it was kept. */

import { element, freshId } from "../parts/element.js";

export class Choices {
  #inputs;

  /**
   * @param {{legend: string, key: string, options: Array<{id: string, label: string, detail?: string}>, chosen?:
   *   string|string[]|null, several?: boolean, legendHidden?: boolean, onChange?: function(string|string[]): void}}
   *   options
   */
  constructor({ legend, key, options, chosen = null, several = false, legendHidden = false, onChange }) {
    const name = freshId(key);
    const kept = several ? chosen ?? [] : [chosen];
    this.several = several;
    this.#inputs = options.map(({ id }) => element("input", {
      type: several ? "checkbox" : "radio", name, value: id, checked: kept.includes(id), key: `${key}-${id}`,
      on: { change: () => onChange?.(this.chosen) },
    }));
    this.element = element("fieldset", { class: "choices", key },
      element("legend", { class: legendHidden ? "hidden-text" : "legend", text: legend }),
      options.map(({ label, detail }, at) => element("label", { class: "choice" },
        this.#inputs[at],
        element("span", { class: "choice-words" }, label,
          detail && element("span", { class: "detail", text: detail })))));
  }

  /** @returns {string|null|string[]} the id chosen, or the ids where several may be */
  get chosen() {
    const ids = this.#inputs.filter((input) => input.checked).map((input) => input.value);
    return this.several ? ids : ids[0] ?? null;
  }

  focus() {
    this.#inputs[0]?.focus();
  }
}
