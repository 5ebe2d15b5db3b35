/**
 * The rings that somebody fitted earlier: which marks stand at the top of each wheel, and of which ring set they are,
 * where that can be told. With both, the reading as found tells what the axle would read without them.
 */

import { oldRingsAt } from "../../domain/job/round-work.js";
import { RINGS, SIDES } from "../../domain/numbers/sides.js";
import { SelectField } from "../fields/select-field.js";
import { button, element, fill } from "../parts/element.js";
import { NumberCell } from "./number-cell.js";

export class OldRingsCard {
  #context;
  #row;
  #cells = new Map();
  #table = element("div", {});
  #sets = element("div", {});
  #unreadable;
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const { t } = context;
    this.#unreadable = button({ key: "old-rings-unreadable", label: t("old-rings.unreadable"), kind: "option",
      pressed: false, onPress: () => this.#keep({ unreadable: !this.#value.unreadable }) });
    this.element = element("div", { class: "stack" }, this.#table, this.#sets,
      element("div", { class: "options-list" }, this.#unreadable));
    this.#prepare();
    this.update(row);
  }

  async #prepare() {
    const { app: { phone }, t } = this.#context;
    const sets = await phone.ringSets();
    const field = new SelectField({
      label: t("old-rings.set"), key: "old-rings-set", chosen: this.#value.ring_set ?? "",
      options: [{ id: "", label: t("old-rings.set.unknown") }, ...sets.map(({ id, name }) => ({ id, label: name }))],
      onChange: (id) => this.#keep({ ring_set: id || null }),
    });
    fill(this.#sets, field.element);
  }

  update(row) {
    this.#row = row;
    const { t, job } = this.#context;
    const sides = oldRingsAt(job.fold);
    this.#unreadable.setAttribute("aria-pressed", String(Boolean(this.#value.unreadable)));
    if (this.#table.dataset.sides === sides.join(" ")) {
      for (const [name, cell] of this.#cells) cell.update(asMark(this.#markAt(...name.split(" "))));
      return;
    }
    this.#table.dataset.sides = sides.join(" ");
    this.#cells.clear();
    fill(this.#table, element("div", { class: "cells sided" },
      element("div", { class: "cells-head" }, element("span", {}),
        SIDES.map((side) => element("span", { text: t(`ui.side.${side}`) }))),
      RINGS.map((ring) => element("div", { class: "cells-line" },
        element("span", { class: "cells-title", text: t(`readback.${ring}`) }),
        SIDES.map((side) => (sides.includes(side) ? this.#cell(side, ring) : element("span", { text: "–" })))))));
  }

  reveal() {
    this.#cells.values().next().value?.input.focus({ preventScroll: true });
  }

  /** What stands in the row; an older program kept plain words here, which stay in the record. */
  get #value() {
    return typeof this.#row.value === "object" && this.#row.value ? this.#row.value : {};
  }

  #markAt(side, ring) {
    return this.#value[side]?.[ring] ?? null;
  }

  #cell(side, ring) {
    const { t } = this.#context;
    const cell = new NumberCell(this.#context, {
      key: `old.${side}.${ring}`, label: `${t(`ui.side.${side}`)}, ${t(`readback.${ring}`)}`, kind: "marks",
      units: [""], kept: asMark(this.#markAt(side, ring)),
      keep: (number) => this.#keep((value) => ({ [side]: { ...value[side], [ring]: number?.number ?? null } })),
    });
    this.#cells.set(`${side} ${ring}`, cell);
    return cell.element;
  }

  /** One after the other: all marks stand in one entry. */
  #keep(change) {
    const save = () => this.#context.save(this.#row,
      { body: { value: { ...this.#value, ...(typeof change === "function" ? change(this.#value) : change) } } });
    this.#saving = this.#saving.then(save, save);
    return this.#saving;
  }
}

function asMark(mark) {
  return mark === null ? null : { text: String(mark), number: mark, unit: "" };
}
