/**
 * A hold that is confirmed by pressing its whole card until the edge has filled. Confirmed it stays in its place and
 * can be taken back.
 */

import { element, fill } from "../../parts/element.js";
import { HoldPress } from "../hold-press.js";
import { rowHeading, rowName, rowPart } from "../../words/row-words.js";
import { rowTitle } from "../../words/titles.js";
import { confirmedNote } from "../confirmed-note.js";
import { torquesInHand } from "../torques-in-hand.js";

export class HoldCard {
  static saysTitle = true;
  #context;
  #row;
  #press;
  #torques = element("div", { class: "torques-in-hand" });
  #done = element("div", { class: "hold-done" });

  constructor(context, row) {
    this.#context = context;
    const { t, sheet, screen } = context;
    const method = rowPart(t, row, "method");
    this.element = element("div", { class: "hold-card" },
      element(rowHeading(sheet), { class: "row-title", text: sheet.wheel ? rowTitle(t, row) : rowName(t, row) }),
      method && element("p", { class: "row-method", text: method }),
      this.#torques);
    this.#press = new HoldPress({
      t, key: row.slot, what: rowName(t, row), card: this.element,
      takes: (event) => screen.takesPress(this.#press.element.firstChild, event),
      onConfirmed: () => this.#confirm(),
    });
    this.foot = this.#press.element;
    this.element.append(this.#press.element, this.#done);
    this.update(row);
  }

  update(row) {
    this.#row = row;
    const isDone = row.state === "done";
    this.element.classList.remove("pending");
    this.element.classList.toggle("confirmed", isDone);
    this.#press.disabled = row.state !== "open";
    this.#press.element.hidden = row.state !== "open" && row.state !== "locked";
    fill(this.#torques, torquesInHand(this.#context, row));
    this.#torques.hidden = !this.#torques.hasChildNodes();
    fill(this.#done, isDone && confirmedNote(this.#context, row, [], "on-sheet.take-back"));
  }

  reveal() {
    this.#press.focus();
  }

  async #confirm() {
    this.element.classList.add("pending", "confirmed");
    if (!(await this.#context.save(this.#row, {}))) this.update(this.#row);
  }
}
