/**
 * The spacers under the caliper bracket as a hold at the caliper: what each lug wants, from the shop's stock, and what
 * was put in. Too thin or too thick keeps the hold open; where nobody typed the lugs, the stack is measured at each.
 */

import { isSpaced, spacersWanted } from "../../domain/job/holds.js";
import { element, fill } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";
import { remark } from "../parts/signal.js";
import { lengths } from "./fit-words.js";
import { plannedRingSet } from "./bench-rings.js";
import { HoldPress } from "./hold-press.js";
import { NumberCell } from "./number-cell.js";
import { rowName } from "../words/row-words.js";
import { confirmedNote } from "./confirmed-note.js";

const LUGS = 2; // a bracket has two; where they were typed, as many as were typed

export class SpacersCard {
  #context;
  #row;
  #ringSet = null;
  #cells = [];
  #list = element("div", { class: "cells" });
  #said = element("div", { class: "stack", role: "status" });
  #press;
  #done = element("div", { class: "hold-done" });

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const { t, screen } = context;
    this.element = element("div", { class: "hold-card spacers stack" }, this.#list, this.#said);
    this.#press = new HoldPress({
      t, key: row.slot, what: rowName(t, row), card: this.element,
      takes: (event) => screen.takesPress(this.#press.element.firstChild, event), onConfirmed: () => this.#confirm(),
    });
    this.element.append(this.#press.element, this.#done);
    this.#prepare();
    this.update(row);
  }

  async #prepare() {
    this.#ringSet = await plannedRingSet(this.#context, this.#row);
    this.update(this.#context.job.row(this.#row.slot) ?? this.#row);
  }

  get foot() {
    return this.#press.element;
  }

  get #wanted() {
    const { job } = this.#context;
    const pair = job.planned(this.#row.round)?.plan[this.#row.wheel]?.pair;
    if (!this.#ringSet || !pair) return null;
    try {
      return spacersWanted(job.fold, this.#row.wheel, { ringSet: this.#ringSet, pair });
    } catch (error) {
      return { error };
    }
  }

  get #record() {
    const typed = this.#context.typing.at(this.#row.slot) ?? {};
    const wanted = this.#wanted;
    const lugs = Array.isArray(wanted) ? wanted
      : Array.from({ length: LUGS }, (_, k) => ({ lug: k + 1, wanted_mm: null, mm: null }));
    return { spacers: lugs.map(({ lug, wanted_mm, mm }) =>
      ({ lug, wanted_mm, mm: typed[lug] ?? (wanted_mm === null ? null : mm) })) };
  }

  update(row) {
    this.#row = row;
    const { t } = this.#context;
    const mm = lengths(this.#context);
    const isDone = row.state === "done";
    const wanted = this.#wanted;
    const { spacers } = this.#record;
    this.#makeCells(spacers);
    spacers.forEach(({ mm: thick }, k) => {
      this.#cells[k].update(thick === null ? null : { text: t.number(thick, 0, 2), number: thick, unit: "mm" });
      this.#cells[k].input.disabled = isDone;
    });
    fill(this.#said,
      wanted?.error && remark({ name: "warning", text: errorText(t, wanted.error) }),
      !Array.isArray(wanted) && !wanted?.error && element("p", { text: t("spacers.measure") }),
      Array.isArray(wanted) && spacers.map(({ lug, wanted_mm, mm: thick }) =>
        element("p", { key: `lug-${lug}`,
          text: t("spacers.lug", { lug, wanted: mm(wanted_mm), got: mm(thick ?? 0) }) })),
      !isDone && !isSpaced({ spacers }) && spacers.every(({ mm: thick }) => thick !== null)
        && remark({ name: "refused", text: t("spacers.off"), key: "spacers-off" }));
    this.element.classList.toggle("confirmed", isDone);
    this.#press.element.hidden = isDone;
    this.#press.disabled = row.state === "locked" || !isSpaced({ spacers });
    fill(this.#done, isDone && confirmedNote(this.#context, row));
  }

  reveal() {
    this.#cells[0]?.input.focus({ preventScroll: true });
  }

  #makeCells(spacers) {
    if (this.#cells.length === spacers.length) return;
    const { t, typing } = this.#context;
    this.#cells = spacers.map(({ lug }) => new NumberCell(this.#context, {
      key: `${this.#row.slot}.${lug}`, label: t("spacers.in", { lug }), units: ["mm"], kept: null,
      keep: async (number) => {
        typing.write(this.#row.slot, { ...typing.at(this.#row.slot), [lug]: number?.number ?? null });
        this.update(this.#row);
        return true;
      },
    }));
    fill(this.#list, spacers.map(({ lug }, k) => element("div", { class: "cells-line" },
      element("span", { class: "cells-title", text: t("spacers.in", { lug }) }), this.#cells[k].element)));
  }

  async #confirm() {
    if (await this.#context.save(this.#row, { body: this.#record })) return this.#context.typing.drop(this.#row.slot);
    return this.update(this.#row);
  }
}
