/**
 * One signed angle, typed with gloves on: the number without a sign, the way it leans or points as two large
 * keys, the unit (for a length the diameter beside it, always in mm), and an echo in degrees and words before
 * anything is kept. The keypad types where the thick frame is. Nothing here stores an angle: `read()` hands it
 * over, `onTyping` lets the owner keep the draft at every key.
 */

import { makeAngle } from "../../domain/numbers/angle.js";
import { isLength, unitsOf, waysOf } from "../../domain/numbers/quantities.js";
import { diameterFromText, plainWriting } from "../../domain/numbers/units.js";
import { Keypad } from "./keypad.js";
import { button, element, fill, freshId } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";

const SIGNS = { "-": 1, "+": 0 };
const SIGN_FACES = ["+", "−"];

export class AngleEntry {
  #options;
  #state;
  #parts = {};
  #keypad;
  /** Which of the two numbers the keypad types: "text" or "diameter". */
  #target = "text";

  /**
   * @param {Object} options
   * @param {function} options.t translator
   * @param {"camber"|"toe"|"thrust"|"total-toe"|"cross-camber"} options.quantity
   * @param {string} options.label visible name of the number, such as "Left wheel, toe"
   * @param {{text?: string, unit: string, way?: string|null, sign?: string|null, diameter?: string}} options.start the draft or
   *   a fresh one; all of it text as typed; `sign` is the way that a typed sign meant
   * @param {string} options.mark decimal mark of the language
   * @param {function({mdeg: number, diameter_mm: number|null}): string} options.echo what the echo line says of a valid angle
   * @param {function({text, unit, way, diameter}): void} options.onTyping called at every change
   * @param {function(): void} [options.onEnter] the Enter key of a hardware keyboard
   * @param {string} [options.key] prefix of the data-keys, for screens with more than one entry
   */
  constructor(options) {
    this.#options = options;
    this.#state = { text: "", way: null, sign: null, diameter: "", ...options.start };
    this.element = element("div", { class: "angle-entry", role: "group", "aria-label": options.label });
    this.#build();
    this.update();
  }

  /** The raw text, unit, way, sign and diameter, for a draft. */
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
    return makeAngle({
      quantity: this.#options.quantity,
      text,
      unit,
      way,
      diameterMm: isLength(unit) ? diameterFromText(diameter) : null,
    });
  }

  /** Says in the echo line why the number was not kept, and puts the focus where it can be mended. */
  refuse(error) {
    this.#echo(this.#words(error), true);
    (error.field?.endsWith("diameter_mm") ? this.#parts.diameter : this.#parts.shown).focus();
  }

  /** Says a question about a number that may be kept all the same. */
  ask(question) {
    this.#echo(question, false);
  }

  /** Shows the state again: keys of the unit, pressed way, where the keypad types, echo. */
  update() {
    const { unit, way, text, diameter } = this.#state;
    if (!isLength(unit)) this.#target = "text";
    show(this.#parts.shown, text);
    show(this.#parts.diameter, diameter);
    this.#parts.unit.value = unit;
    this.#parts.diameterField.hidden = !isLength(unit);
    this.#parts.ways.querySelectorAll("button").forEach((key) => key.setAttribute("aria-pressed", String(key.value === way)));
    this.#aimKeypad();
    this.#sayEcho();
  }

  /** The keypad has the keys of the number that it types, and both say so. */
  #aimKeypad() {
    const { t, label } = this.#options;
    const isDiameter = this.#target === "diameter";
    this.#parts.shown.classList.toggle("target", !isDiameter);
    this.#parts.diameter.classList.toggle("target", isDiameter);
    this.#keypad.update({ unit: isDiameter ? "mm" : this.#state.unit, types: isDiameter ? t("ui.diameter") : label });
  }

  #aimAt(target) {
    if (this.#target === target) return;
    this.#target = target;
    this.#aimKeypad();
  }

  #build() {
    const { t, label, quantity } = this.#options;
    const shownId = freshId("angle");
    const echoId = freshId("echo");
    this.#parts.shown = element("input", {
      id: shownId, type: "text", inputmode: "none", autocomplete: "off", key: this.#key("shown"),
      "aria-label": label, "aria-describedby": echoId, spellcheck: "false",
      on: { input: () => this.#typed(this.#parts.shown.value), focus: () => this.#aimAt("text"), keydown: (event) => this.#hardwareKey(event) },
    });
    this.#parts.unit = this.#unitSelect(unitsOf(quantity));
    this.#parts.diameterField = this.#diameterField();
    this.#parts.ways = element("div", { class: "ways", role: "group", "aria-label": t(`ui.ways.${quantity}`) },
      shownWays(quantity).map((way) => this.#wayKey(way)));
    this.#parts.echo = element("p", { class: "echo", id: echoId, role: "status", key: this.#key("echo") });
    this.#keypad = new Keypad({ t, mark: this.#options.mark, onPress: (press) => this.#pressed(press) });
    fill(
      this.element,
      element("div", { class: "angle-shown" }, this.#parts.shown, this.#parts.unit, this.#parts.diameterField),
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
      units.map((unit) => element("option", { value: unit, text: t(`ui.unit.short.${unit}`) })),
    );
  }

  #diameterField() {
    const { t } = this.#options;
    this.#parts.diameter = element("input", {
      type: "text", inputmode: "none", autocomplete: "off", spellcheck: "false", key: this.#key("diameter"),
      on: { input: (event) => this.#change({ diameter: event.target.value.trim() }), focus: () => this.#aimAt("diameter"), keydown: (event) => this.#hardwareKey(event) },
    });
    return element("label", { class: "diameter" }, element("span", { text: t("ui.diameter") }), this.#parts.diameter);
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
    const before = this.#state[this.#target];
    const now = insert ? before + insert : erase === "all" ? "" : before.slice(0, -1);
    if (this.#target === "diameter") this.#change({ diameter: now });
    else this.#typed(now);
  }

  /** A sign from a hardware keyboard becomes a way; the echo says so as long as the number stands. */
  #typed(text) {
    const first = plainWriting(text).trimStart()[0];
    const at = SIGNS[first];
    if (at === undefined) return this.#change(text === "" ? { text, sign: null } : { text });
    const sign = waysOf(this.#options.quantity)[at];
    return this.#change({ text: text.trimStart().slice(1), way: sign, sign });
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
    this.#echo([this.#signWords(), this.#echoWords()].filter(Boolean).join(" "), false);
  }

  #echoWords() {
    if (this.isEmpty) return this.#options.t("ui.echo.empty");
    try {
      return this.#options.echo(this.read());
    } catch (error) {
      return this.#words(error);
    }
  }

  /** What a typed sign was taken for, and that a way tapped later counts instead: a sign never goes without a word. */
  #signWords() {
    const { t, quantity } = this.#options;
    const { sign, way } = this.#state;
    if (!sign) return "";
    const names = { sign: SIGN_FACES[waysOf(quantity).indexOf(sign)], meant: t(`ui.way.${sign}`), way: t(`ui.way.${way}`) };
    return t(sign === way ? "ui.echo.sign" : "ui.echo.sign-turned", names);
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

/** Writing the same text again would move the cursor. */
function show(input, text) {
  if (input.value !== text) input.value = text;
}

/** The positive way first, but what goes to the left stands on the left. */
function shownWays(quantity) {
  const ways = waysOf(quantity);
  return ways[1] === "left" ? [...ways].reverse() : ways;
}
