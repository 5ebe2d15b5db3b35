/** One plain number of a table with its unit, or a mark on a ring's rim, which has none. */

import { numberFrom } from "../../domain/numbers/plain-number.js";
import { unitWords } from "../words/row-words.js";
import { Cell } from "./cell.js";

export class NumberCell extends Cell {
  #context;
  #keep;

  /**
   * @param {Object} context
   * @param {{key, label, units, kept: {text, unit, number}|null, kind?: "number"|"marks", unit?: string, digits?:
   *   number, keep: function(Object|null): Promise<*>}} options `digits`: with so many nothing more can come, and the
   *   keypad goes on by itself keep gets {text, number, unit}, or null where the number was taken out
   */
  constructor(context, { key, label, units, kept, kind = "number", unit = units[0], digits = Infinity, keep }) {
    super(context, { key, label, kind, units, start: startOf(kept, unit) });
    this.#context = context;
    this.#keep = keep;
    this.digits = digits;
    this.draw();
  }

  update(kept) {
    super.update(startOf(kept, this.state.unit));
  }

  get isFull() {
    return this.state.text.length >= this.digits;
  }

  problem() {
    const { text } = this.state;
    if (this.kind === "marks") return /^\d{1,3}$/.test(text.trim()) ? ""
      : this.#words("ui.number.wrong", { got: text });
    return numberFrom(text) === null ? this.#words("ui.number.wrong", { got: text }) : "";
  }

  value() {
    const text = this.state.text.trim();
    return { text, number: numberFrom(text), unit: this.state.unit };
  }

  store(value) {
    return this.#keep(value);
  }

  unitWords() {
    return this.kind === "marks" ? "" : unitWords(this.#context.t, this.state.unit);
  }

  said() {
    const problem = this.isTyped && this.state.text.trim() !== "" ? this.problem() : "";
    return { words: problem, isWrong: problem !== "" };
  }

  echo() {
    return this.said().words;
  }

  #words(key, params) {
    return this.#context.t(key, params);
  }
}

function startOf(kept, unit) {
  return { text: kept?.text ?? "", unit: kept?.unit ?? unit };
}
