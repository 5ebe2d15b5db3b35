/**
 * One signed angle, typed with gloves on: the number without a sign, the way it leans or points as two large
 * keys, the unit, and an echo in degrees and words before anything is kept. Nothing here stores an angle:
 * `read()` hands it over, `onTyping` lets the owner keep the draft at every key.
 */

import { makeAngle } from "../domain/angle.js";
import { plainWriting } from "../domain/units.js";
import { Keypad } from "./keypad.js";
import { button, element, fill, freshId } from "./element.js";
import { errorText } from "./error-text.js";
import { unitsOf, waysOf } from "./quantity.js";

const SIGNS = { "-": 1, "+": 0 };

export class AngleEntry {
  #options;
  #state;
  #parts = {};
  #keypad;

  /**
   * @param {Object} options
   * @param {function} options.t translator
   * @param {"camber"|"toe"|"thrust"|"total-toe"|"cross-camber"} options.quantity
   * @param {string} options.label visible name of the number, such as "Left wheel, toe"
   * @param {{text?: string, unit: string, way?: string|null, diameter?: string}} options.start the draft or a fresh one;
   *   all of it text as typed
   * @param {string} options.mark decimal mark of the language
   * @param {function({mdeg: number}): string} options.echo what the echo line says of a valid angle
   * @param {function({text, unit, way, diameter}): void} options.onTyping called at every change
   * @param {function(): void} [options.onEnter] the Enter key of a hardware keyboard
   * @param {string} [options.key] prefix of the data-keys, for screens with more than one entry
   */
  constructor(options) {
    this.#options = options;
    this.#state = { text: "", way: null, diameter: "", ...options.start };
    this.element = element("div", { class: "angle-entry", role: "group", "aria-label": options.label });
    this.#build();
    this.update();
  }

  /** The raw text, unit, way and diameter, for a draft. */
  get typed() {
    return { ...this.#state };
  }

  get isEmpty() {
    return this.#state.text.trim() === "";
  }

  /**
   * @returns {Object} the angle of the contract of entries {mdeg, text, unit, way, diameter_mm}
   * @throws {InputError} what was wrong; the same words are shown in the echo line
   */
  read() {
    const { text, unit, way, diameter } = this.#state;
    const isLength = unit === "mm" || unit === "inch";
    return makeAngle({
      quantity: this.#options.quantity,
      text,
      unit,
      way,
      diameterMm: isLength ? Number(diameter.replace(",", ".")) || null : null,
    });
  }

  /** Says in the echo line why the number was not kept, and puts the focus where it can be mended. */
  refuse(error) {
    this.#echo(this.#words(error), true);
    (error.field === "diameter_mm" ? this.#parts.diameter : this.#parts.shown).focus();
  }

  /** Shows the state again: keys of the unit, pressed way, echo. */
  update() {
    const { unit, way, text } = this.#state;
    const isLength = unit === "mm" || unit === "inch";
    if (this.#parts.shown.value !== text) this.#parts.shown.value = text;
    this.#parts.unit.value = unit;
    this.#parts.diameterField.hidden = !isLength;
    this.#parts.ways.querySelectorAll("button").forEach((key) => key.setAttribute("aria-pressed", String(key.value === way)));
    this.#keypad.update({ unit });
    this.#sayEcho();
  }

  #build() {
    const { t, label, quantity } = this.#options;
    const shownId = freshId("angle");
    const echoId = freshId("echo");
    this.#parts.shown = element("input", {
      id: shownId, type: "text", inputmode: "none", autocomplete: "off", key: this.#key("shown"),
      "aria-label": label, "aria-describedby": echoId, spellcheck: "false",
      on: { input: () => this.#typed(this.#parts.shown.value), keydown: (event) => this.#hardwareKey(event) },
    });
    this.#parts.unit = this.#unitSelect(unitsOf(quantity));
    this.#parts.diameterField = this.#diameterField();
    this.#parts.ways = element("div", { class: "ways", role: "group", "aria-label": t(`ui.ways.${quantity}`) },
      waysOf(quantity).map((way) => this.#wayKey(way)));
    this.#parts.echo = element("p", { class: "echo", id: echoId, role: "status", key: this.#key("echo") });
    this.#keypad = new Keypad({ t, mark: this.#options.mark, onPress: (press) => this.#pressed(press) });
    fill(
      this.element,
      element("div", { class: "angle-shown" }, this.#parts.shown, this.#parts.unit),
      this.#parts.diameterField,
      this.#parts.ways,
      this.#parts.echo,
      this.#keypad.element,
    );
  }

  #unitSelect(units) {
    const { t } = this.#options;
    return element(
      "select",
      { "aria-label": t("ui.unit"), key: this.#key("unit"), on: { change: (event) => this.#change({ unit: event.target.value }) } },
      units.map((unit) => element("option", { value: unit, text: t(`ui.unit.${unit}`) })),
    );
  }

  #diameterField() {
    const { t } = this.#options;
    const id = freshId("diameter");
    this.#parts.diameter = element("input", {
      id, type: "text", inputmode: "decimal", autocomplete: "off", key: this.#key("diameter"), value: this.#state.diameter,
      on: { input: (event) => this.#change({ diameter: event.target.value.trim() }) },
    });
    return element("div", { class: "field" }, element("label", { for: id, text: t("ui.diameter") }), this.#parts.diameter);
  }

  #wayKey(way) {
    const { t } = this.#options;
    const key = button({
      key: this.#key(`way-${way}`),
      label: t(`ui.way.${way}`),
      detail: element("span", { class: "detail", text: t(`ui.way.${way}.means`) }),
      pressed: false,
      onPress: () => this.#change({ way }),
    });
    key.value = way;
    return key;
  }

  #pressed({ insert, erase }) {
    const { text } = this.#state;
    if (insert) this.#typed(text + insert);
    else this.#typed(erase === "all" ? "" : text.slice(0, -1));
  }

  /** A sign from a hardware keyboard becomes a way, said in words; it never stays in the number. */
  #typed(text) {
    const first = plainWriting(text).trimStart()[0];
    const sign = SIGNS[first];
    if (sign === undefined) return this.#change({ text });
    return this.#change({ text: text.trimStart().slice(1), way: waysOf(this.#options.quantity)[sign] });
  }

  #hardwareKey(event) {
    if (event.key !== "Enter") return;
    event.preventDefault();
    this.#options.onEnter?.();
  }

  #change(change) {
    Object.assign(this.#state, change);
    this.update();
    this.#options.onTyping(this.typed);
  }

  #sayEcho() {
    if (this.isEmpty) return this.#echo(this.#options.t("ui.echo.empty"), false);
    try {
      return this.#echo(this.#options.echo(this.read()), false);
    } catch (error) {
      return this.#echo(this.#words(error), false);
    }
  }

  #words(error) {
    const { t, quantity } = this.#options;
    if (error.code !== "angle-way") return errorText(t, error);
    const [first, second] = waysOf(quantity).map((way) => t(`ui.way.${way}`));
    return t("ui.echo.way", { text: this.#state.text, first, second });
  }

  #echo(text, wrong) {
    this.#parts.echo.textContent = text;
    this.#parts.shown.setAttribute("aria-invalid", String(wrong));
  }

  #key(name) {
    return `${this.#options.key ? `${this.#options.key}-` : ""}${name}`;
  }
}
