/** One labelled list to choose from, where there are too many answers for a line each. */

import { element, freshId } from "../parts/element.js";

export class SelectField {
  #select;

  /**
   * @param {{label: string, key: string, options: {id: string, label: string}[], chosen?: string, onChange?:
   *   function(string): void}} options
   */
  constructor({ label, key, options, chosen = "", onChange }) {
    const id = freshId(key);
    this.#select = element("select", { id, key, on: { change: () => onChange?.(this.chosen) } },
      options.map((option) => element("option", { value: option.id, text: option.label })));
    this.#select.value = options.some((option) => option.id === chosen) ? chosen : options[0].id;
    this.element = element("div", { class: "field" }, element("label", { for: id, text: label }), this.#select);
  }

  get chosen() {
    return this.#select.value;
  }

  set chosen(id) {
    this.#select.value = id;
  }

  focus() {
    this.#select.focus();
  }
}
