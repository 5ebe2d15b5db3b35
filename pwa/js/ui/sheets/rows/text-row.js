/**
 * A line of text on the phone's own keyboard, saved on leaving the field, on a rest in typing, and when the program
 * goes to the background. Chips give the usual answers with one tap, and what this phone typed there last. What a VIN's
 * characters and its check digit say is said under it; a VIN is optional, so nothing here refuses it.
 */

import { readVin } from "../../../domain/job/vin.js";
import { LONGEST_PLATE } from "../../../store/limits.js";
import { TextField } from "../../fields/text-field.js";
import { element, fill } from "../../parts/element.js";
import { errorText } from "../../parts/error-text.js";
import { remark } from "../../parts/signal.js";
import { SteadyButtons } from "../../parts/steady-buttons.js";
import { rowName } from "../../words/row-words.js";

const REST_MS = 3000;
const ONE_LINE_FORMATS = ["registration", "vin"];

export class TextRow {
  #context;
  #row;
  #field;
  #chips = element("div", { class: "chips" });
  #buttons = new SteadyButtons();
  #remark = element("div", { role: "status" });
  #rest = null;
  #isTyping = false;
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const { t, typing } = context;
    const oneLine = ONE_LINE_FORMATS.includes(row.format);
    this.#field = new TextField({
      label: rowName(t, row), labelHidden: true, key: `text-${row.slot}`, capitals: oneLine, lines: !oneLine,
      text: typing.at(row.slot) ?? row.value ?? "",
      onTyping: (text) => this.#typed(text),
      goesOn: true, onEnter: () => this.#goOn(),
    });
    this.#field.element.addEventListener("focusout", () => this.leave());
    this.element = element("div", { class: "text-row" }, this.#field.element, this.#chips, this.#remark);
    if (typing.at(row.slot) !== null) this.#isTyping = true;
    this.update(row);
  }

  update(row) {
    this.#row = row;
    if (!this.#isTyping) this.#field.text = row.value ?? "";
    this.#showChips();
    this.#sayRemark();
  }

  reveal() {
    this.#field.element.querySelector("input, textarea").focus({ preventScroll: true });
  }

  /**
   * Saves what stands there; also called when the sheet is left. One saving waits for the other. @returns {Promise}
   * once it is saved
   */
  leave() {
    clearTimeout(this.#rest);
    this.#saving = this.#saving.then(() => this.#saveNow());
    return this.#saving;
  }

  /** Enter keeps what stands there and leads to the next open row. */
  async #goOn() {
    await this.leave();
    if (!this.#context.screen.leadOn(this.#row.slot)) document.activeElement.blur();
  }

  async #saveNow() {
    if (!this.#isTyping) return;
    const text = this.#plain(this.#field.text);
    if (this.#isTooLong(text)) return;
    if (text === (this.#row.value ?? "")) this.#settle();
    else if (await this.#context.save(this.#row, { body: { value: text || null } })) this.#settle(text);
  }

  /** It is refused in place, stays half typed, and is not lost. */
  #isTooLong(text) {
    const isTooLong = ONE_LINE_FORMATS.includes(this.#row.format) && text.length > LONGEST_PLATE;
    if (isTooLong) this.#field.refuse(this.#context.t("ui.text.too-long", { count: text.length, most: LONGEST_PLATE }));
    return isTooLong;
  }

  #settle(text) {
    if (text !== undefined && this.#plain(this.#field.text) !== text) return; // typing went on meanwhile
    this.#isTyping = false;
    this.#context.typing.drop(this.#row.slot);
    this.#field.text = text ?? this.#row.value ?? "";
    if (text && this.#row.remembered) this.#context.app.settings.remember(this.#row.id, text);
  }

  #plain(text) {
    const trimmed = text.trim();
    return ONE_LINE_FORMATS.includes(this.#row.format) ? trimmed.toUpperCase() : trimmed;
  }

  #typed(text) {
    this.#isTyping = true;
    this.#context.typing.write(this.#row.slot, text);
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => this.leave(), REST_MS);
    this.#sayRemark();
  }

  #showChips() {
    const { t, app } = this.#context;
    const row = this.#row;
    const last = row.remembered && !row.value ? app.settings.remembered(row.id) : "";
    const parts = this.#parts();
    const usual = (row.chips ?? []).map((id) => {
      const label = t(`chip.${row.id}.${id}`);
      return { key: `chip-${row.slot}-${id}`, label, kind: "chip", pressed: parts.includes(label),
        onPress: () => this.#take(this.#withChip(label)) };
    });
    if (last) usual.unshift({ key: `last-${row.slot}`, label: t("on-sheet.as-last", { text: last }), kind: "chip",
      onPress: () => this.#take(last) });
    fill(this.#chips, this.#buttons.draw(usual));
    this.#chips.hidden = !this.#chips.hasChildNodes();
  }

  /** One chip answers; where several may be true the others stay, and a second tap takes one out again. */
  #withChip(label) {
    if (!this.#row.several) return label;
    const parts = this.#parts();
    return (parts.includes(label) ? parts.filter((part) => part !== label) : [...parts, label]).join("; ");
  }

  #parts() {
    return this.#field.text.split(";").map((part) => part.trim()).filter(Boolean);
  }

  #take(text) {
    this.#field.text = text;
    this.#isTyping = true;
    this.#showChips();
    return this.leave();
  }

  #sayRemark() {
    const words = this.#row.format === "vin" ? vinRemark(this.#context.t, this.#field.text) : null;
    fill(this.#remark, words && remark({ name: words.shape, text: words.text, key: "vin-remark" }));
  }
}

/** @returns {{shape: string, text: string}|null} null for an empty field */
function vinRemark(t, typed) {
  if (typed.trim() === "") return null;
  try {
    const { checkDigit } = readVin(typed);
    return { shape: { right: "done", wrong: "warning", none: "open" }[checkDigit], text: t(`ui.vin.${checkDigit}`) };
  } catch (error) {
    return { shape: "warning", text: errorText(t, error) };
  }
}
