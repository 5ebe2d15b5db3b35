/**
 * A question with a few answers. Two or three stand as a row of buttons and one tap answers. Four stand open under the
 * row until one answers; of more only the usual one stands there and the others open. Answered, a longer choice is one
 * line. What an answer means is said by the frame.
 */

import { afterPaint } from "../../parts/after-paint.js";
import { button, element, freshId, say } from "../../parts/element.js";
import { optionWords, rowName, rowPart } from "../../words/row-words.js";
import { rowTitle } from "../../words/titles.js";

const MOST_IN_A_ROW = 3;
/** As many lines as stand open before anybody asks for them. */
const MOST_OPEN = 4;

export class ChoiceRow {
  /** A longer choice is a line of its own to press, title and answer in it. */
  static saysTitle = (row) => isLong(row);
  #context;
  #row;
  #buttons = new Map();
  #opener = null;
  #list;
  /** Whether the person has opened or closed the list; null: as it stands by itself. */
  #isOpen = null;
  /** Closes the list behind an answer: due once the answer is painted, for the whole sheet is laid out anew by it. */
  #fold = () => {};
  /** The answer that is being saved. */
  #pending = null;

  constructor(context, row) {
    this.#context = context;
    const { t } = context;
    const opens = isLong(row);
    this.#list = element("div", { class: opens ? "options-list" : `options ${widthOf(t, row)}`, role: "group",
      "aria-label": rowName(t, row), id: freshId("options") },
      row.options.map(({ id }) => {
        const label = optionWords(t, row.optionSet, id);
        const option = button({ key: `option-${row.slot}-${id}`, label, kind: "option", pressed: false,
          onPress: () => this.#answer(id) });
        this.#buttons.set(id, option);
        return option;
      }));
    if (opens) this.#opener = this.#makeOpener(row);
    this.element = element("div", { class: "choice-row" }, this.#opener, this.#list);
    this.update(row);
  }

  update(row) {
    this.#row = row;
    this.#fold();
    this.#pending = null;
    this.#show(row.conflict ? null : row.value ?? null, false);
  }

  reveal() {
    if (this.#opener && !this.#row.value) this.#open(true);
    (this.#opener ?? this.#buttons.values().next().value).focus({ preventScroll: true });
  }

  #makeOpener(row) {
    const { t, sheet } = this.#context;
    const method = rowPart(t, row, "method");
    return element("button", { "type": "button", "class": "opener", "key": `open-${row.slot}`,
      "aria-controls": this.#list.id,
      "on": { click: () => this.#open(this.#opener.getAttribute("aria-expanded") === "false") } },
      element("span", { class: "opener-words" },
        element("span", { class: "row-title", text: sheet.wheel ? rowTitle(t, row) : rowName(t, row) }),
        method && element("span", { class: "row-method", text: method }),
        element("span", { class: "opener-answer" })));
  }

  #open(isOpen) {
    this.#isOpen = isOpen;
    this.#unfold(this.#row.conflict ? null : this.#row.value ?? null);
  }

  /** Until it is answered there is nothing to open or to close. */
  #standsOpen(chosen) {
    return chosen === null && this.#row.options.length <= MOST_OPEN;
  }

  /** What the line says while nothing is answered. */
  #asks() {
    const { t } = this.#context;
    if (this.#standsOpen(null)) return "";
    return t(this.#row.usual ? "on-sheet.choose.other" : "on-sheet.choose");
  }

  /** What of a longer choice can be tapped now. */
  #unfold(chosen) {
    const { options, usual } = this.#row;
    const isWhole = this.#standsOpen(chosen) || (this.#isOpen ?? false);
    for (const [id, option] of this.#buttons) option.hidden = !isWhole && !(chosen === null && id === usual);
    this.#list.hidden = [...this.#buttons.values()].every(({ hidden }) => hidden);
    this.#opener.setAttribute("aria-expanded", String(isWhole));
  }

  #mark(chosen, isPending) {
    for (const [id, option] of this.#buttons) {
      option.setAttribute("aria-pressed", String(id === chosen));
      option.classList.toggle("pending", isPending && id === chosen);
    }
  }

  #show(chosen, isPending) {
    this.#mark(chosen, isPending);
    if (!this.#opener) return;
    const { t } = this.#context;
    say(this.#opener.querySelector(".opener-answer"), chosen ? optionWords(t, this.#row.optionSet, chosen)
      : this.#asks());
    this.#opener.classList.toggle("stands", this.#standsOpen(chosen));
    this.#opener.classList.toggle("answered", chosen !== null);
    this.#opener.classList.toggle("pending", isPending);
    this.#unfold(chosen);
  }

  async #answer(id) {
    if (id === this.#pending) return undefined; // a glove that bounces
    this.#isOpen = null;
    const stands = id === this.#row.value && !this.#row.conflict;
    if (stands && this.#context.withdraw(this.#row)) return this.update(this.#row);
    this.#pending = id;
    this.#mark(id, true);
    if (this.#opener) this.#fold = afterPaint(() => this.#foldBehind(id));
    if (!(await this.#context.saveLast(this.#row, { body: { value: id } }))) this.update(this.#row);
    return undefined;
  }

  /** The focus stays in the row, unless something else has it by now. */
  #foldBehind(id) {
    if (id !== this.#pending) return;
    const { activeElement } = document;
    if (activeElement === document.body || this.element.contains(activeElement))
      this.#opener.focus({ preventScroll: true });
    this.#show(id, true);
  }
}

/** How many of the answers find room beside each other on a small phone. */
function widthOf(t, { options, optionSet }) {
  const longest = Math.max(...options.map(({ id }) => optionWords(t, optionSet, id).length));
  return longest <= 14 ? "short" : longest <= 26 ? "middling" : "long";
}

function isLong({ options }) {
  return options.length > MOST_IN_A_ROW;
}
