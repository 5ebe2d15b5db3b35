/**
 * A line to be ticked, the whole width of it. A second tap, later, takes the tick back; at once it is a bounce, which
 * touch-guard.js does not take.
 */

import { KIND } from "../../../domain/job/entry.js";
import { element, fill } from "../../parts/element.js";
import { stateShape } from "../../parts/state-shape.js";
import { rowName, rowPart } from "../../words/row-words.js";
import { rowTitle } from "../../words/titles.js";

export class TickRow {
  static saysTitle = true;
  #context;
  #row;
  #box = element("span", { class: "tick-box" });

  constructor(context, row) {
    this.#context = context;
    const { t, sheet } = context;
    const method = rowPart(t, row, "method");
    this.element = element("button", { type: "button", class: "tick", key: `tick-${row.slot}`, "data-guard": "again",
      on: { click: () => this.#tap() } },
      this.#box,
      element("span", { class: "tick-words" },
        element("span", { class: "row-title", text: sheet.wheel ? rowTitle(t, row) : rowName(t, row) }),
        method && element("span", { class: "row-method", text: method })));
    this.update(row);
  }

  update(row) {
    this.#row = row;
    this.#show(row.state === "done" || row.state === "overridden", false);
  }

  reveal() {
    this.element.focus({ preventScroll: true });
  }

  #show(isDone, isPending) {
    this.element.setAttribute("aria-pressed", String(isDone));
    this.element.classList.toggle("pending", isPending);
    fill(this.#box, stateShape(isDone ? "done" : "open"));
  }

  async #tap() {
    const isDone = this.#row.state === "done" || this.#row.state === "overridden";
    this.#show(!isDone, true);
    const saved = await this.#context.save(this.#row, isDone ? { kind: KIND.STEP_UNDONE, body: {} } : {});
    if (!saved) this.update(this.#row);
  }
}
