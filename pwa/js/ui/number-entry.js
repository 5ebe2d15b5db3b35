/** One plain number without a sign, typed on the in-page keypad, with its unit. */

import { element, fill, freshId } from "./element.js";
import { Keypad } from "./keypad.js";
import { stateShape } from "./state-shape.js";

const PLAIN = /^\d{0,7}(?:[.,]\d{0,4})?$/;

export class NumberEntry {
  #options;
  #shown;
  #unit;
  #error;

  /**
   * @param {{t: function, label: string, mark: string, units: Array<{id: string, label: string}>, key: string,
   *   start: {text?: string, unit?: string}, onTyping: function({text, unit}): void, onEnter?: function(): void}} options
   */
  constructor(options) {
    this.#options = options;
    const { t, label, mark, units, key, start } = options;
    const errorId = freshId("number-error");
    this.#shown = element("input", {
      type: "text", class: "target", inputmode: "none", autocomplete: "off", spellcheck: "false", key, "aria-label": label, "aria-describedby": errorId,
      on: { input: () => this.#changed(), keydown: (event) => event.key === "Enter" && options.onEnter?.() },
    });
    this.#shown.value = start.text ?? "";
    this.#unit = unitPicker(t, units, start.unit, `${key}-unit`, () => this.#changed());
    this.#error = element("p", { class: "error", id: errorId, role: "alert", key: `${key}-error` });
    const keypad = new Keypad({ t, mark, onPress: (press) => this.#pressed(press) });
    keypad.update({ unit: "deg", types: label });
    this.element = element("div", { class: "angle-entry", role: "group", "aria-label": label },
      element("div", { class: "angle-shown" }, this.#shown, this.#unit), this.#error, keypad.element);
  }

  get typed() {
    return { text: this.#shown.value.trim(), unit: this.#unit.value ?? this.#unit.dataset.value };
  }

  get isEmpty() {
    return this.typed.text === "";
  }

  /** @returns {{text: string, number: number, unit: string}|null} null, with the refusal shown, if it is no number */
  read() {
    const { text, unit } = this.typed;
    if (PLAIN.test(text) && /\d/.test(text)) return { text, number: Number(text.replace(",", ".")), unit };
    this.refuse(text ? this.#options.t("ui.number.wrong", { got: text }) : this.#options.t("ui.number.missing"));
    return null;
  }

  refuse(message) {
    fill(this.#error, stateShape("refused"), element("span", { text: message }));
    this.#shown.setAttribute("aria-invalid", "true");
    this.#shown.focus();
  }

  #pressed({ insert, erase }) {
    const { value } = this.#shown;
    this.#shown.value = insert ? value + insert : erase === "all" ? "" : value.slice(0, -1);
    this.#changed();
  }

  #changed() {
    this.#error.replaceChildren();
    this.#shown.removeAttribute("aria-invalid");
    this.#options.onTyping(this.typed);
  }
}

/** A single unit is only said; more than one can be chosen. */
function unitPicker(t, units, chosen, key, onChange) {
  if (units.length === 1) return element("span", { "class": "unit", "data-value": units[0].id, "text": units[0].label });
  const select = element("select", { "aria-label": t("ui.unit"), key, on: { change: onChange } },
    units.map(({ id, label }) => element("option", { value: id, text: label })));
  select.value = chosen ?? units[0].id;
  return select;
}
