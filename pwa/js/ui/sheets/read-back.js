/**
 * Numbers and marks read back off the rings: the letter that stands on the rims is tapped and both marks are keyed as
 * they are read. What does not match the plan is refused and named; what matches confirms the hold. Until then nothing
 * in view names the planned marks, for what can be copied proves nothing; they stand in the row before, and reading
 * waits until that one is ticked.
 */

import { readBack } from "../../domain/job/holds.js";
import { button, element, fill } from "../parts/element.js";
import { more } from "../parts/more-fold.js";
import { remark } from "../parts/signal.js";
import { RingStrip } from "../drawings/ring-strip.js";
import { plannedRingSet, whichWay } from "./bench-rings.js";
import { NumberCell } from "./number-cell.js";
import { confirmedNote } from "./confirmed-note.js";

const LETTERS = ["L", "R"];

export class ReadBack {
  #context;
  #row;
  #key;
  #ringSet = null;
  #letters = new Map();
  #cells = {};
  #looks = element("div", { class: "stack" });
  #said = element("div", { class: "stack", role: "status", key: "read-back-said" });
  #fields;
  #strip;
  #drawing;

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    this.#key = `${row.slot}.read`;
    const { t } = context;
    for (const letter of LETTERS)
      this.#letters.set(letter, button({ key: `letter-${letter}`, label: letter, kind: "option letter", pressed: false,
        onPress: () => this.#read({ letter }) }));
    for (const ring of ["inner", "outer"]) {
      this.#cells[ring] = new NumberCell(context, {
        key: `${row.slot}.${ring}`, label: t(`readback.${ring}`), kind: "marks", units: [""],
        kept: asMark(this.#typed[ring]),
        keep: (number) => this.#read({ [ring]: number?.number ?? null }),
      });
    }
    this.#strip = new RingStrip({ t });
    this.#fields = element("div", { class: "read-back-fields" },
      element("div", { class: "options letters", role: "group", "aria-label": t("readback.letter") },
        ...this.#letters.values()),
      Object.entries(this.#cells).map(([ring, cell]) => element("div", { class: "read-back-cell" },
        element("span", { class: "cells-title", text: t(`readback.${ring}`) }), cell.element)));
    this.#drawing = more({ label: t("readback.drawing"), summaryKey: "read-back-drawing" }, this.#strip.element);
    this.element = element("div", { class: "stack read-back" }, this.#looks, this.#fields, this.#said, this.#drawing);
    this.#prepare();
    this.update(row);
  }

  async #prepare() {
    const pair = this.#context.job.planned(this.#row.round)?.plan[this.#row.wheel]?.pair;
    this.#ringSet = await plannedRingSet(this.#context, this.#row);
    if (!this.#ringSet) return;
    fill(this.#looks, whichWay(this.#context.t, this.#ringSet, this.#row.wheel));
    for (const [ring, cell] of Object.entries(this.#cells)) {
      const { first_mark: first, marks } = this.#ringSet[ring];
      cell.digits = String(first + marks - 1).length;
    }
    this.#strip.update({ side: this.#row.wheel, ringSet: this.#ringSet, pair });
    this.update(this.#row);
  }

  get #typed() {
    return this.#context.typing.at(this.#key) ?? {};
  }

  update(row) {
    this.#row = row;
    const { job } = this.#context;
    const isDone = row.state === "done";
    const isWaiting = row.state === "open" && this.#areRingsOut;
    this.element.classList.toggle("asks", row.state === "open" && !isWaiting);
    this.#fields.inert = isWaiting;
    this.#drawing.hidden = !isDone;
    const [entry] = isDone ? job.live(row.slot) : [];
    const read = isDone ? entry?.body.read ?? {} : this.#typed;
    for (const [letter, node] of this.#letters) node.setAttribute("aria-pressed", String(read.letter === letter));
    for (const [ring, cell] of Object.entries(this.#cells)) {
      cell.update(asMark(read[ring]));
      cell.input.disabled = isDone || isWaiting || row.state === "locked";
    }
    for (const node of this.#letters.values()) node.disabled = isWaiting;
    if (isWaiting) fill(this.#said,
      remark({ name: "open", text: this.#context.t("readback.rings-first"), key: "rings-first" }));
    else fill(this.#said, isDone ? confirmedNote(this.#context, row) : this.#wrong(read));
  }

  get #areRingsOut() {
    const { job } = this.#context;
    return job.rows.some(({ id, wheel, round, state }) => id === "fit.rings-in" && wheel === this.#row.wheel
      && round === this.#row.round && state !== "done");
  }

  reveal() {
    if (!this.#typed.letter) this.#letters.get("L").focus({ preventScroll: true });
    else this.#cells[this.#typed.inner ? "outer" : "inner"].input.focus({ preventScroll: true });
  }

  async #read(change) {
    const { typing, save } = this.#context;
    if (this.#row.state !== "open") return false;
    const read = { ...this.#typed, ...change };
    typing.write(this.#key, read);
    const verdict = this.#verdict(read);
    if (verdict?.matches && (await save(this.#row, { body: { read } }))) await typing.drop(this.#key);
    this.update(this.#context.job.row(this.#row.slot) ?? this.#row);
    const isWrong = this.#row.state === "open" && verdict?.wrong.length > 0;
    if (change.letter && !read.inner && this.#row.state === "open" && !isWrong)
      requestAnimationFrame(() => this.#cells.inner.input.focus({ preventScroll: true }));
    // in the picture after the keypad has taken or left its room
    if (isWrong) requestAnimationFrame(() => requestAnimationFrame(() => this.#context.screen.show(this.#said)));
    return true;
  }

  #verdict(read) {
    const { job } = this.#context;
    return readBack(job.planned(this.#row.round)?.plan[this.#row.wheel] ?? null, this.#row.wheel, this.#ringSet, read);
  }

  /** Which of the three does not match, and what to do. */
  #wrong(read) {
    const { t } = this.#context;
    const verdict = this.#verdict(read);
    return (verdict?.wrong ?? [])
      .map((what) => remark({ name: "refused", text: t(`readback.wrong.${what}`), key: `wrong-${what}` }));
  }
}

function asMark(number) {
  return number === undefined || number === null ? null : { text: String(number), number, unit: "" };
}
