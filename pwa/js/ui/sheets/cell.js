/**
 * What the cells of a table are alike in: they are fields of the docked keypad, take a hardware keyboard too, keep what
 * is complete on going on, and hold what is not as half typed. A kind of cell gives `problem()`, `value()`,
 * `store(value)`, `unitWords()`, `said()`, `echo()` and draws itself at the end of its constructor.
 */

import { element, freshId, say } from "../parts/element.js";
import { inOrder } from "../words/text.js";

const FITS_ITSELF = CSS.supports("field-sizing", "content");

export class Cell {
  #context;
  #options;
  #input;
  #unit = element("span", { class: "cell-unit" });
  #said = element("span", { class: "cell-said" });
  #isTyped;
  #isBeingKept = false;
  #keeping = Promise.resolve();

  /**
   * @param {Object} context of the widget
   * @param {{key: string, label: string, kind: string, units: string[], quantity?: string, start: {text, unit, way?,
   *   diameter?}}} options `start` is what is kept, or an empty text in the usual unit
   */
  constructor(context, options) {
    this.#context = context;
    this.#options = options;
    const { key, label, kind, units, quantity = null } = options;
    Object.assign(this, { key, label, kind, units, quantity });
    const left = context.typing.at(key);
    this.state = { text: "", way: null, diameter: "", ...options.start, ...left };
    this.#isTyped = left !== null;
    const saidId = freshId("cell");
    this.#said.id = saidId;
    this.#input = element("input", {
      type: "text", inputmode: "none", autocomplete: "off", spellcheck: "false", key: `cell-${key}`,
      "aria-label": label, "aria-describedby": saidId,
      on: { focus: () => context.keypad.aim(this), input: () => context.keypad.typed(this, inOrder(this.#input.value)),
        keydown: (event) => this.#hardware(event) },
    });
    this.element = element("label", { class: `cell ${kind}` },
      element("span", { class: "cell-number" }, this.#input, this.#unit), this.#said);
    context.keypad.has(this);
  }

  get isTyped() {
    return this.#isTyped;
  }

  /** Whether the first key adds to what stands there: it is half typed, and not on its way to be kept. */
  get isGoingOn() {
    return this.#isTyped && !this.#isBeingKept;
  }

  /** Whether what stands there could be kept as it is. */
  get isComplete() {
    return this.state.text.trim() !== "" && !this.problem();
  }

  get input() {
    return this.#input;
  }

  /** What is kept has changed; a half-typed number stays. */
  update(start) {
    this.#options.start = start;
    const { unit } = this.state;
    if (!this.#isTyped) this.state = { text: "", way: null, diameter: this.state.diameter, ...start };
    this.draw();
    if (this.state.unit !== unit) this.#context.keypad.renew(this);
  }

  onTyping(state) {
    this.state = state;
    this.#isTyped = true;
    this.#context.typing.write(this.key, state);
    this.draw();
  }

  frame(isFramed) {
    this.element.classList.toggle("framed", isFramed);
    if (isFramed && document.activeElement !== this.#input && this.element.isConnected)
      this.#input.focus({ preventScroll: true });
  }

  /** @returns {Promise<boolean>} whether nothing half typed is left; one keeping waits for the other */
  keep() {
    this.#isBeingKept = true;
    const keeping = this.#keeping.then(() => this.#keepNow())
      .finally(() => { if (this.#keeping === keeping) this.#isBeingKept = false; });
    this.#keeping = keeping;
    return keeping;
  }

  draw() {
    const shown = inOrder(this.state.text ?? "");
    if (this.#input.value !== shown) this.#input.value = shown;
    if (!FITS_ITSELF) this.#input.style.width = `${Math.max(this.state.text.length, 2) + 0.4}ch`;
    say(this.#unit, this.unitWords());
    const { words, isOutside = false, isWrong = false } = this.said();
    say(this.#said, words);
    this.element.classList.toggle("outside", isOutside);
    this.element.classList.toggle("wrong", isWrong);
    this.#input.setAttribute("aria-invalid", String(isWrong));
  }

  /** Gives back what was kept, and drops what was half typed. */
  settle() {
    this.#isTyped = false;
    return this.#context.typing.drop(this.key);
  }

  async #keepNow() {
    const { start } = this.#options;
    if (!this.#isTyped) return true;
    const text = this.state.text.trim();
    const isSame = text === (start.text ?? "") && this.state.unit === start.unit && (this.state.way ?? null)
      === (start.way ?? null);
    if (isSame || (text === "" && !start.text)) {
      await this.settle();
      this.draw();
      return true;
    }
    if (text !== "" && this.problem()) return false; // it stays half typed, and says why
    const { state } = this;
    if (!(await this.store(text === "" ? null : this.value()))) return false;
    if (this.state === state) await this.settle();
    this.draw();
    return true;
  }

  #hardware(event) {
    if (event.key === "Enter") { event.preventDefault(); this.#context.keypad.next(); }
    if (event.key === "Escape") this.#context.keypad.release();
  }
}
