/**
 * One tap for the rows of a group (`together` in pwa/checklist.json) that are still open: one look, or one thing done
 * at one place. The button names each of them, and what it answers there; it stands beneath them, so that they are read
 * first, and an exception is tapped in its own row. It never answers a hold, a question that decides whether rings can
 * go in, or a row that is answered already.
 */

import { button, element, fill } from "../parts/element.js";
import { optionWords } from "../words/row-words.js";
import { rowTitle } from "../words/titles.js";

/** A single row left is tapped itself. */
const LEAST = 2;

export class TogetherButton {
  #context;
  #rows = [];
  #drawn = null;

  /** @param {Object} context of the widgets; @param {string} name of the group */
  constructor(context, name) {
    this.#context = context;
    this.name = name;
    this.element = element("div", { class: "together" });
  }

  /** @param {Object[]} rows of the group */
  update(rows) {
    this.#rows = rows.filter(isLeft);
    const isHidden = this.#rows.length < LEAST;
    if (this.element.hidden !== isHidden) this.element.hidden = isHidden;
    const { t } = this.#context;
    const drawn = this.#rows.map((row) => `${row.slot} ${rowTitle(t, row)}`).join("|");
    if (isHidden || drawn === this.#drawn) return;
    // fewer names need fewer lines: the rows below must not move under a finger
    if (this.#drawn !== null) this.element.style.minHeight = `${this.element.offsetHeight}px`;
    this.#drawn = drawn;
    const answers = this.#rows.map((row) => usualWords(t, row));
    const isAlike = answers.every((answer) => answer === answers[0]);
    const names = this.#rows.map((row, at) => (isAlike ? rowTitle(t, row) : `${rowTitle(t, row)}: ${answers[at]}`))
      .join(" · ");
    const label = isAlike ? t("on-sheet.together", { count: this.#rows.length, answer: answers[0] })
      : t("on-sheet.together.usual", { count: this.#rows.length });
    fill(this.element, button({ key: `together-${this.name}`, label, kind: "quiet",
      detail: element("span", { class: "detail", text: names }), onPress: () => this.#answer() }));
  }

  /** In one saving and one drawing, and all of them one answer to be taken back. */
  #answer() {
    const rows = this.#rows;
    this.#rows = []; // a second tap finds none
    return this.#context.saveAll(
      rows.map((row) => (row.type === "choice" ? { row, body: { value: row.usual } } : { row })));
  }
}

function isLeft({ state, conflict }) {
  return state === "open" && !conflict;
}

function usualWords(t, { type, optionSet, usual }) {
  return type === "choice" ? optionWords(t, optionSet, usual) : t("on-sheet.done");
}
