/**
 * One plain number without a sign, typed on the in-page keypad, with its unit; where asked for, a second number beside it, which
 * may stay empty. The keypad types where the thick frame is.
 */

import { element, fill, freshId } from "../parts/element.js";
import { Keypad } from "./keypad.js";
import { stateShape } from "../parts/state-shape.js";

const PLAIN = /^\d{0,7}(?:[.,]\d{0,4})?$/;

export class NumberEntry {
  #options;
  #shown;
  #unit;
  #error;
  #keypad;
  #beside = null;
  /** The field that the keypad types into. */
  #target;

  /**
   * @param {{t: function, label: string, mark: string, units: Array<{id: string, label: string}>, key: string,
   *   start: {text?: string, unit?: string, beside?: string}, onTyping: function({text, unit, beside}): void, onEnter?: function(): void,
   *   beside?: {key: string, label: string, short: string}}} options `beside` asks for a second number; `short` stands in its field
   */
  constructor(options) {
    this.#options = options;
    const { t, label, mark, units, key, start, beside } = options;
    const errorId = freshId("number-error");
    this.#shown = this.#field({ key, label, text: start.text, errorId });
    this.#unit = unitPicker(t, units, start.unit, `${key}-unit`, () => this.#changed());
    this.#error = element("p", { class: "error", id: errorId, role: "alert", key: `${key}-error` });
    this.#keypad = new Keypad({ t, mark, onPress: (press) => this.#pressed(press) });
    if (beside) this.#beside = this.#field({ ...beside, text: start.beside, errorId });
    this.#aimAt(this.#shown);
    this.element = element("div", { class: "angle-entry", role: "group", "aria-label": label },
      element("div", { class: "angle-shown" }, this.#shown, this.#unit,
        beside && element("label", { class: "diameter" }, element("span", { text: beside.short }), this.#beside)),
      this.#error, this.#keypad.element);
  }

  #field({ key, label, text, errorId }) {
    const field = element("input", {
      type: "text", inputmode: "none", autocomplete: "off", spellcheck: "false", key, "aria-label": label, "aria-describedby": errorId,
      // Not by focus alone: whoever goes by Tab from a number to the keypad passes the other one.
      on: { input: () => { this.#aimAt(field); this.#changed(); }, click: () => this.#aimAt(field), keydown: (event) => event.key === "Enter" && this.#options.onEnter?.() },
    });
    field.value = text ?? "";
    return field;
  }

  #aimAt(field) {
    this.#target = field;
    for (const each of [this.#shown, this.#beside]) each?.classList.toggle("target", each === field);
    this.#keypad.update({ unit: "deg", types: field.ariaLabel });
  }

  get typed() {
    const typed = { text: this.#shown.value.trim(), unit: this.#unit.value ?? this.#unit.dataset.value };
    return this.#beside ? { ...typed, beside: this.#beside.value.trim() } : typed;
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

  /** Says why a number was not taken; the second one where `isBeside`. */
  refuse(message, { isBeside = false } = {}) {
    const field = isBeside ? this.#beside : this.#shown;
    fill(this.#error, stateShape("refused"), element("span", { text: message }));
    field.setAttribute("aria-invalid", "true");
    this.#aimAt(field);
    field.focus();
  }

  #pressed({ insert, erase }) {
    const { value } = this.#target;
    this.#target.value = insert ? value + insert : erase === "all" ? "" : value.slice(0, -1);
    this.#changed();
  }

  #changed() {
    this.#error.replaceChildren();
    for (const field of [this.#shown, this.#beside]) field?.removeAttribute("aria-invalid");
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
