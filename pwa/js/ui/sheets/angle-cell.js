/**
 * One angle of a table: the number without a sign, the way it leans or points, and how it stands to its window the
 * moment it is typed. It is kept as the angle of the contract of entries; what keeping means is the owner's.
 */

import { makeAngle } from "../../domain/numbers/angle.js";
import { isLength, unitsOf, signWordsOf } from "../../domain/numbers/quantities.js";
import { decimalMark, diameterFromText, plainWriting } from "../../domain/numbers/units.js";
import { beyond } from "../../domain/numbers/window.js";
import { errorText } from "../parts/error-text.js";
import { Cell } from "./cell.js";

const TWO_DIGITS_ARE_HUNDREDTHS = ["toe", "total-toe"];
const SIGNS = { "-": 1, "+": 0 };

export class AngleCell extends Cell {
  #context;
  #purpose;
  #limits;
  #keep;
  #check;

  /**
   * @param {Object} context of the widget
   * @param {Object} options
   * @param {string} options.key stable over restarts, unique on the sheet
   * @param {string} options.label such as "Left toe"
   * @param {"camber"|"toe"|"thrust"|"total-toe"|"cross-camber"} options.quantity
   * @param {Object|null} options.kept the angle kept before
   * @param {[number, number]|null} [options.limits] the window to judge by, in mdeg
   * @param {string} [options.purpose] "window" for what the maker gives: it has units of its own
   * @param {function(Object): Error|null} [options.check] refuses an angle for what stands beside it
   * @param {function(Object|null): Promise<*>} options.keep saves the angle, or takes it out with null; falsy: not
   *   saved
   */
  constructor(context, { key, label, quantity, kept, limits = null, purpose = "", check = null, keep }) {
    super(context, { key, label, kind: "angle", quantity, units: unitsOf(quantity),
      start: startOf(context, { kept, quantity, purpose }) });
    this.#context = context;
    this.#purpose = purpose;
    this.#limits = limits;
    this.#keep = keep;
    this.#check = check;
    this.draw();
  }

  /** @param {Object|null} kept; @param {[number, number]|null} limits */
  update(kept, limits = this.#limits) {
    this.#limits = limits;
    super.update(startOf(this.#context, { kept, quantity: this.quantity, purpose: this.#purpose }));
  }

  /** A sign from a hardware keyboard becomes a way, in sight at once. */
  onTyping(state) {
    const at = SIGNS[plainWriting(state.text).trimStart()[0]];
    const typed = at === undefined ? state : { ...state, text: state.text.trimStart().slice(1),
      way: signWordsOf(this.quantity)[at] };
    const isWayKey = typed.text === this.state.text && typed.unit === this.state.unit;
    super.onTyping({ ...typed, text: isWayKey ? this.#withNought(typed) : this.#withMark(typed) });
  }

  /**
   * A third digit sets the mark behind the first: "164" is 1.64. No wheel leans or points by more than two digits, as
   * the limit of a reading says, so nothing else can be meant; it is in sight at once, and a mark that was typed stays
   * where it is.
   */
  #withMark({ unit, text }) {
    const before = this.state.text;
    if (unit !== "deg" || !/^\d\d$/.test(before) || !/^\d{3}$/.test(text) || !text.startsWith(before)) return text;
    return text[0] + decimalMark(this.#context.app.locale) + text.slice(1);
  }

  /**
   * Two digits of a toe are hundredths: "42" is 0.42, said so while it is typed and written so by the way key. No wheel
   * points ten degrees in or out, and a toe above one degree is asked about anyway. A camber of "15" may be 1.5 with
   * its mark forgotten: that stays as typed.
   */
  #withNought({ unit, text }) {
    if (!TWO_DIGITS_ARE_HUNDREDTHS.includes(this.quantity) || unit !== "deg" || !/^\d\d$/.test(text.trim()))
      return text;
    return `0${decimalMark(this.#context.app.locale)}${text.trim()}`;
  }

  /** @returns {string} why what stands there cannot be kept; "" where it can */
  problem() {
    try {
      const angle = this.value();
      const refusal = this.#check?.(angle);
      return refusal ? errorText(this.#context.t, refusal) : "";
    } catch (error) {
      return this.#wrong(error);
    }
  }

  /** @throws {InputError} */
  value() {
    const { unit, way, diameter } = this.state;
    const text = this.#withNought(this.state);
    return makeAngle({ quantity: this.quantity, text, unit, way, diameterMm: isLength(unit)
      ? diameterFromText(diameter) : null });
  }

  async store(angle) {
    const { settings } = this.#context.app;
    const { unit, diameter } = this.state;
    if (angle && settings.unit(this.quantity, this.#purpose) !== unit)
      settings.setUnit(this.quantity, this.#purpose, unit);
    if (angle?.diameter_mm) settings.set(this.#purpose ? "window_diameter_mm" : "diameter_mm", diameter);
    return this.#keep(angle);
  }

  unitWords() {
    const { t } = this.#context;
    const { unit, way } = this.state;
    const short = unit === "deg" ? "" : t(`ui.unit.short.${unit}`);
    return [short, way && t(`ui.said.${way}`)].filter(Boolean).join(" ");
  }

  said() {
    if (this.state.text.trim() === "") return { words: "" };
    const { t, app: { words } } = this.#context;
    try {
      const angle = this.value();
      const problem = this.problem();
      if (problem) return { words: problem, isWrong: true };
      if (!this.#limits) return { words: "" };
      const by = beyond(angle.mdeg, this.#limits);
      return by === 0 ? { words: t("ui.inside") }
        : { words: t("on-sheet.outside", { by: words.size(this.quantity, by) }), isOutside: true };
    } catch (error) {
      const isOpen = error.code === "angle-way"; // the line of the keypad names both ways
      return { words: !this.isTyped ? "" : isOpen ? t("on-sheet.which") : this.#wrong(error), isWrong: !isOpen };
    }
  }

  /** The whole sentence for the keypad's line: degrees in words, judged. */
  echo() {
    if (this.state.text.trim() === "") return "";
    try {
      return this.#context.app.words.echo(this.quantity, this.value(), this.#limits);
    } catch (error) {
      return this.#wrong(error);
    }
  }

  #wrong(error) {
    const { t } = this.#context;
    if (error.code !== "angle-way") return errorText(t, error);
    const [first, second] = signWordsOf(this.quantity).map((way) => t(`ui.way.${way}`));
    return t("on-sheet.which-way", { first, second });
  }
}

function startOf({ app: { settings } }, { kept, quantity, purpose }) {
  if (kept) return { text: kept.text, unit: kept.unit, way: kept.way,
    ...(kept.diameter_mm && { diameter: String(kept.diameter_mm) }) };
  return { text: "", unit: settings.unit(quantity, purpose), way: null,
    diameter: settings.get(purpose ? "window_diameter_mm" : "diameter_mm") };
}
