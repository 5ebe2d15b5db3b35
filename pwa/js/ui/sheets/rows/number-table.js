/**
 * Numbers that belong together in one table: what is asked, and its number; where a number belongs to a wheel, LEFT and
 * RIGHT are columns.
 */

import { element, fill } from "../../parts/element.js";
import { radiusFromSize } from "../../../domain/job/tyre-radius.js";
import { remark } from "../../parts/signal.js";
import { SteadyButtons } from "../../parts/steady-buttons.js";
import { NumberCell } from "../number-cell.js";
import { rowName } from "../../words/row-words.js";
import { rowTitle } from "../../words/titles.js";

export class NumberTable {
  static saysTitle = true;
  #context;
  #cells = new Map();
  #notes = element("div", { class: "stack" });
  #offers = new SteadyButtons();

  /** @param {Object} context; @param {Object|Object[]} rows one row, or the consecutive rows of one table */
  constructor(context, rows) {
    this.#context = context;
    const all = [rows].flat();
    const sided = all.some((row) => this.#sideOf(row));
    this.element = element("div", { class: "number-table" },
      element("div", { class: sided ? "cells sided" : "cells", role: "group" }, sided ? this.#columns(all)
        : all.map((row) => this.#line([row]))),
      this.#notes);
    this.update(rows);
  }

  update(rows) {
    const { t } = this.#context;
    const all = [rows].flat();
    for (const row of all) {
      const cell = this.#cells.get(row.slot);
      cell.update(row.value);
      cell.input.disabled = row.state === "locked";
      cell.row = row;
    }
    const offers = all.map((row) => row.offered && row.state === "open" && this.#offer(row)).filter(Boolean);
    fill(this.#notes, this.#offers.draw(offers), all.filter(({ warning }) => warning)
      .map(({ warning }) => remark({ name: "warning", text: t(`warning.${warning}`) })));
  }

  reveal(row) {
    this.#cells.get(row.slot)?.input.focus({ preventScroll: true });
  }

  /** LEFT and RIGHT of one question stand on one line. */
  #columns(rows) {
    const { t } = this.#context;
    const lines = new Map();
    for (const row of rows) {
      const name = this.#sideOf(row) ? row.id.replace(/[.-](left|right)$/, "") : row.slot;
      lines.set(name, [...(lines.get(name) ?? []), row]);
    }
    const head = element("p", { class: "cells-head", "aria-hidden": "true" }, element("span", {}),
      ["left", "right"].map((side) => element("span", { text: t(`ui.side.${side}`) })));
    return [head, ...[...lines.values()].map((line) => this.#line(line))];
  }

  #line(rows) {
    const { t, sheet } = this.#context;
    const [first] = rows;
    const title = this.#sideOf(first) || sheet.wheel ? plainTitle(t, first) : rowName(t, first);
    return element("div", { class: "cells-line" },
      element("span", { class: "cells-title", text: title, "aria-hidden": "true" }),
      rows.map((row) => this.#cell(row)));
  }

  /** On the sheet of one wheel there is nothing to tell apart. */
  #sideOf({ side, wheel }) {
    return side ?? (this.#context.sheet.wheel ? null : wheel) ?? null;
  }

  /** A number that follows from an earlier answer is offered with what it follows from, and never filled in. */
  #offer(row) {
    const { t } = this.#context;
    const { number, from, words } = OFFERS[row.offered](this.#context);
    if (number === null) return null;
    const body = { value: { text: String(number), number, unit: row.units[0] } };
    return { key: `offered-${row.slot}`, kind: "chip",
      label: `${rowName(t, row)}: ${t(words, { mm: number, size: from })}`,
      onPress: () => this.#context.save(row, { body }) };
  }

  #cell(row) {
    const { t, app: { settings } } = this.#context;
    const cell = new NumberCell(this.#context, {
      key: row.slot, label: rowName(t, row), units: row.units, kept: row.value, unit: settings.get("units")[row.id]
        ?? row.units[0],
      keep: (number) => this.#keep(cell, number),
    });
    this.#cells.set(row.slot, cell);
    return cell.element;
  }

  async #keep(cell, number) {
    const { app: { settings } } = this.#context;
    const { row } = cell;
    if (number && row.units.length > 1) settings.set("units", { ...settings.get("units"), [row.id]: number.unit });
    return this.#context.save(row, { body: { value: number } });
  }
}

/** What a row may offer, by the name in its data. */
const OFFERS = {
  "from-tyre-size": ({ job }) => {
    const size = job.field("vehicle.tyre-size") ?? "";
    return { number: radiusFromSize(size), from: size, words: "tyre-radius.from-size" };
  },
};

/** "Ride height, left" under a column LEFT is "Ride height". */
function plainTitle(t, row) {
  const title = rowTitle(t, row);
  const [head, tail] = title.split(/, (?=[^,]*$)/);
  return tail && row.side ? head : title;
}
