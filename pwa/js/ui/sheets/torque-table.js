/**
 * The torques of this job in one table, looked up here and not at the lift: hub bolts, caliper, bracket, wheel
 * fasteners, axle nut, each with any angle and its source. The program offers none of its own; without its source a
 * torque is not kept. What lies outside the usual for thread and class is questioned. A figure does not tell its unit
 * (a lbf ft is only 1.36 N m), so the unit that the source prints is said by its name, once for all of them.
 */

import { boltsOf, TORQUE_UNITS } from "../../domain/job/fit-request.js";
import { TORQUE_UNIT_NAMES } from "../../domain/constants.js";
import { NM_PER, unitQuestion } from "../../domain/fit/torque.js";
import { stillFrom } from "../../domain/types/type-parts.js";
import { TextField } from "../fields/text-field.js";
import { button, element, fill, say } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { torqueJudged } from "./torque-words.js";
import { NumberCell } from "./number-cell.js";
import { rowHeading } from "../words/row-words.js";
import { rowTitle } from "../words/titles.js";

const UNITS = Object.keys(TORQUE_UNITS);
const LIMITS_NM = [0.1, 1000];
const ANGLE_DEG = [1, 360];

export class TorqueTable {
  static saysTitle = true;
  #context;
  #lines = new Map();
  #source;
  #notes = element("div", { class: "stack", role: "status" });
  #again;
  #unit = element("div", { class: "stack unit-question", role: "group", key: "torque-unit" });
  #units = new Map();
  #saving = Promise.resolve();

  constructor(context, rows) {
    this.#context = context;
    const { t, typing } = context;
    const all = [rows].flat();
    for (const row of all) this.#lines.set(row.slot, this.#line(row));
    this.#source = new TextField({
      label: t("plan.torque.source"), hint: t("ui.torque.source.hint"), key: "torque-source",
      text: typing.at("torque.source") ?? all.map(({ value }) => value?.source).find(Boolean) ?? "",
      onTyping: (text) => { typing.write("torque.source", text); this.#offerSource(); },
    });
    this.#source.element.addEventListener("focusout", () => this.#keepSource());
    this.#again = button({ key: "source-of-windows", label: "", kind: "chip",
      onPress: () => { this.#source.text = this.#windowsSource(); return this.#keepSource(); } });
    this.element = element("div", { class: "stack torque-table" },
      element(rowHeading(context.sheet), { class: "row-title", text: t("plan.torques") }),
      element("div", { class: "cells sided" },
        element("div", { class: "cells-head" }, element("span", {}), element("span", { text: t("plan.torque") }),
          element("span", { text: t("plan.torque.then") })),
        [...this.#lines.values()].map(({ node }) => node)),
      this.#source.element, this.#again, this.#unit, this.#notes);
    this.#makeUnitQuestion();
    this.update(rows);
  }

  update(rows) {
    for (const row of [rows].flat()) {
      const line = this.#lines.get(row.slot);
      line.row = row;
      line.torque.update(this.#half(row.slot).torque ?? asNumber(row.value));
      line.angle.update(this.#half(row.slot).angle
        ?? (row.value?.angle_deg ? { text: String(row.value.angle_deg), unit: "deg" } : null));
    }
    this.#offerSource();
    this.#showUnit();
    fill(this.#notes, [...this.#lines.values()].map(({ row }) => [this.#otherUnit(row), this.#judged(row)]));
  }

  reveal(row) {
    const { torque } = this.#lines.get(row.slot);
    if (this.#half(row.slot).torque && !this.#source.text.trim()) this.#source.element.querySelector("input")
      .focus({ preventScroll: true });
    else torque.input.focus({ preventScroll: true });
  }

  leave() {
    return this.#keepSource();
  }

  #line(row) {
    const { t, app: { settings } } = this.#context;
    const title = rowTitle(t, row);
    const unit = settings.get("units")?.torque ?? UNITS[0];
    const torque = new NumberCell(this.#context, {
      key: `${row.slot}.torque`, label: t("plan.torque.cell", { what: title }), units: UNITS, unit,
      kept: asNumber(row.value),
      keep: (number) => this.#queued(() => this.#keep(row.slot, { torque: number })),
    });
    const angle = new NumberCell(this.#context, {
      key: `${row.slot}.angle`, label: t("plan.torque.angle-cell", { what: title }), units: ["deg"], kept: null,
      keep: (number) => this.#queued(() => this.#keep(row.slot, { angle: number })),
    });
    const node = element("div", { class: "cells-line" }, element("span", { class: "cells-title", text: title }),
      torque.element, angle.element);
    return { row, torque, angle, node };
  }

  /** What is typed of a torque and waits for its source. */
  #half(slot) {
    return this.#context.typing.at(`half.${slot}`) ?? {};
  }

  #queued(save) {
    this.#saving = this.#saving.then(save, save);
    return this.#saving;
  }

  /** Without a source it waits, half told. */
  async #keep(slot, change) {
    const { typing, app: { settings } } = this.#context;
    const half = { ...this.#half(slot), ...change };
    typing.write(`half.${slot}`, half);
    if (change.torque) settings.set("units", { ...settings.get("units"), torque: change.torque.unit });
    await this.#saveLine(slot, half);
    return true;
  }

  async #saveLine(slot, half) {
    const { row } = this.#lines.get(slot);
    const torque = half.torque ?? asNumber(row.value);
    const angle = half.angle === undefined ? row.value?.angle_deg ?? null : half.angle?.number ?? null;
    const source = this.#source.text.trim();
    const problem = this.#problem(torque, angle, source);
    if (problem) return fill(this.#notes, remark({ name: "open", text: problem, key: "torque-problem" }));
    const named = row.value && row.value.source !== source ? null : this.#named; // of another source nobody has said it
    const value = { value_nm: Math.round(torque.number * NM_PER[TORQUE_UNITS[torque.unit]] * 10) / 10,
      text: torque.text, unit: torque.unit, source, angle_deg: angle, ...(named && { unit_named: named }) };
    if (JSON.stringify(value) === JSON.stringify(row.value)) return undefined;
    if (await this.#context.save(row, { body: { value, ...stillFrom(row, value) } }))
      await this.#context.typing.drop(`half.${slot}`);
    return undefined;
  }

  #problem(torque, angle, source) {
    const { t } = this.#context;
    if (!torque) return t("plan.torque.missing");
    if (torque.number <= 0) return t("ui.torque.zero");
    if (torque.number < LIMITS_NM[0] || torque.number > LIMITS_NM[1]) return t("ui.torque.range", { got: torque.text });
    if (angle !== null && !(angle >= ANGLE_DEG[0] && angle <= ANGLE_DEG[1]))
      return t("ui.torque.angle.wrong", { got: String(angle) });
    return source ? "" : t("ui.torque.source.missing");
  }

  /** The source is of all that stand here; each is kept with it. */
  async #keepSource() {
    const source = this.#source.text.trim();
    if (!source) return;
    for (const [slot, { row }] of this.#lines) {
      const half = this.#half(slot);
      if (half.torque || (row.value && row.value.source !== source))
        await this.#queued(() => this.#saveLine(slot, half));
    }
    const { job, typing } = this.#context;
    const isKept = [...this.#lines.keys()].some((slot) => job.field(slot)?.source === source);
    if (isKept) await typing.drop("torque.source"); // typed before any torque, it waits for the first
  }

  #windowsSource() {
    return this.#context.job.field("window.source") ?? "";
  }

  #offerSource() {
    const source = this.#windowsSource();
    this.#again.hidden = !source || this.#source.text.trim() !== "";
    say(this.#again.querySelector(".button-label"), this.#context.t("plan.torque.same-source", { source }));
  }

  // The unit that the source prints

  #makeUnitQuestion() {
    const { t } = this.#context;
    for (const name of Object.values(TORQUE_UNIT_NAMES)) {
      this.#units.set(name, button({ key: `unit-${name}`, label: t(`plan.torque.unit.${name}`), kind: "option",
        pressed: false, onPress: () => this.#queued(() => this.#name(name)) }));
    }
    this.#unit.setAttribute("aria-label", t("plan.torque.unit"));
    fill(this.#unit, element("p", { class: "row-title", text: t("plan.torque.unit") }),
      element("div", { class: "options" }, [...this.#units.values()]));
  }

  /** What somebody read in the source: of a torque that is kept, else of one that waits for it. */
  get #named() {
    const kept = [...this.#lines.values()].map(({ row }) => row.value?.unit_named).find(Boolean);
    return kept ?? this.#context.typing.at("torque.unit-named");
  }

  #showUnit() {
    const named = this.#named;
    this.#unit.hidden = [...this.#lines].every(([slot, { row }]) => !row.value && !this.#half(slot).torque);
    for (const [name, node] of this.#units) node.setAttribute("aria-pressed", String(name === named));
  }

  async #name(name) {
    const { typing, save } = this.#context;
    const kept = [...this.#lines.values()].filter(({ row }) => row.value);
    for (const [at, { row }] of kept.entries()) {
      const value = { ...row.value, unit_named: name };
      if (!(await save(row, { body: { value, ...stillFrom(row, value) } }, { joined: at > 0 }))) return;
    }
    // those still to come have the same source
    if (kept.length < this.#lines.size) typing.write("torque.unit-named", name);
    this.#showUnit();
  }

  /** A figure in one unit, and a source that prints the other. */
  #otherUnit(row) {
    if (!row.value?.unit_named) return null;
    const { t } = this.#context;
    const { text, unit, unit_named: named } = row.value;
    const torque = { value: Number(String(text).replace(",", ".")), unit: TORQUE_UNITS[unit], angle_deg: null,
      unit_named: named };
    if (unitQuestion(torque, null, null).named !== "differs") return null;
    return remark({ name: "warning", key: `unit-differs-${row.slot}`,
      text: t("plan.torque.unit.differs",
        { what: rowTitle(t, row), typed: t(`plan.torque.unit.${TORQUE_UNIT_NAMES[TORQUE_UNITS[unit]]}`),
          named: t(`plan.torque.unit.${named}`) }) });
  }

  /** Low or high for thread and class is questioned here, and again at the wrench. */
  #judged(row) {
    if (row.id !== "fit.torque" || !row.value) return null;
    const { t, job } = this.#context;
    const { text, unit, source, angle_deg } = row.value;
    const torque = { value: Number(text.replace(",", ".")), unit: TORQUE_UNITS[unit], source, angle_deg };
    const { shape, text: words } = torqueJudged(t, torque, boltsOf(job.fold));
    return remark({ name: shape, text: t("plan.torque.judged", { what: rowTitle(t, row), judged: words }),
      key: "torque-judged" });
  }
}

function asNumber(kept) {
  return kept ? { text: kept.text, unit: kept.unit, number: Number(String(kept.text).replace(",", ".")) } : null;
}
