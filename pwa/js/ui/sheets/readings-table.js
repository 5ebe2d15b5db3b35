/**
 * Camber and toe of both rear wheels in one table, LEFT and RIGHT side by side, with how each stands to its window the
 * moment it is typed; total toe and thrust beneath; repeats, each its own block. Where the equipment shows only total
 * toe and thrust, these are typed and the wheels' toes follow. A reading is struck by name and stays readable.
 */

import { makeAngle } from "../../domain/numbers/angle.js";
import { axleOf, wheelToes } from "../../domain/choose/axle.js";
import { KIND } from "../../domain/job/entry.js";
import { WHEEL_ANGLES, signWordOf } from "../../domain/numbers/quantities.js";
import { disagreeingReadings, meanReadings, struckReadings, struckSlot } from "../../domain/job/readings.js";
import { isWhole } from "../../domain/job/rounds.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { textFromMdeg } from "../../domain/numbers/units.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { AngleCell } from "./angle-cell.js";

const NOTHING = { camber: null, toe: null };
const AXLE = ["total-toe", "thrust"];

export class ReadingsTable {
  #context;
  #row;
  #prefix;
  #blocks = new Map();
  #list = element("div", { class: "stack" });
  #both = element("div", { class: "readings-both", key: "readings-both" });
  #again;
  #total;
  #isByTotal = false;
  #wanted = 1;
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    const { t, job } = context;
    this.#prefix = row.id === "check.readings" ? `round.${row.round}.check` : "base";
    this.#isByTotal = AXLE.some((part) => job.field(this.#axleSlot(part, 1)));
    this.#wanted = context.typing.at(`${row.slot}.wanted`) ?? 1;
    this.#again = button({ key: "read-again", label: t("readings.again"), kind: "quiet narrow",
      onPress: () => this.#readAgain() });
    this.#total = button({ key: "by-total", label: t("readings.by-total"), kind: "quiet narrow",
      pressed: this.#isByTotal, onPress: () => this.#turnTotal() });
    this.element = element("div", { class: "readings-table stack" }, this.#list, this.#both,
      element("div", { class: "row" }, this.#again, this.#total));
    this.update(row);
  }

  update(row) {
    this.#row = row;
    const { job } = this.#context;
    const last = this.#last();
    for (let n = 1; n <= last; n += 1) this.#block(n, last > 1);
    this.#sayBoth(job);
    this.#again.hidden = !isWhole(meanReadings(job.fold, this.#prefix));
  }

  reveal() {
    const cells = [...this.#blocks.values()].flatMap((block) => [...block.cells.values()]);
    (cells.find((cell) => cell.state.text === "") ?? cells[0])?.input.focus({ preventScroll: true });
  }

  // One reading of both wheels

  #block(n, isOneOfMany) {
    if (!this.#blocks.has(n)) {
      const made = { cells: new Map(), title: element("span", { class: "cells-title" }),
        struck: element("div", { class: "stack" }) };
      this.#blocks.set(n, made);
      this.#list.append(element("section", { class: "cells sided", key: `reading-${n}` }, this.#head(made),
        this.#lines(n, made), made.struck));
    }
    const block = this.#blocks.get(n);
    block.title.textContent = isOneOfMany ? this.#context.t("readings.number", { n }) : "";
    for (const [name, cell] of block.cells) cell.update(this.#kept(n, name), this.#limits(name));
    fill(block.struck, SIDES.map((side) => this.#strikeOf(n, side, isOneOfMany)));
  }

  #head({ title }) {
    const { t } = this.#context;
    return element("div", { class: "cells-head" }, title,
      SIDES.map((side) => element("span", { text: t(`ui.side.${side}`) })));
  }

  #lines(n, block) {
    const { t } = this.#context;
    const line = (part, cells) => element("div", { class: "cells-line" },
      element("span", { class: "cells-title", text: t(`readings.${part}`) }), cells);
    const wheels = (part) => SIDES.map((side) => this.#cell(block, n, { side, part }));
    if (!this.#isByTotal) return WHEEL_ANGLES.map((part) => line(part, wheels(part)));
    return [line("camber", wheels("camber")),
      line("both", AXLE.map((part) => this.#cell(block, n, { side: null, part })))];
  }

  #cell(block, n, { side, part }) {
    const { t } = this.#context;
    const name = side ? `${side}.${part}` : part;
    const names = { side: side && t(`ui.side.${side}`), part: t(`ui.quantity.${part}`), n };
    const cell = new AngleCell(this.#context, {
      key: `${this.#prefix}.${name}.${n}`,
      label: t(side ? "readings.cell" : "readings.cell.axle", names), quantity: part,
      kept: this.#kept(n, name), limits: this.#limits(name),
      keep: (angle) => this.#queued(() =>
        (side ? this.#keepWheel(n, side, part, angle) : this.#keepAxle(n, part, angle))),
    });
    block.cells.set(name, cell);
    return cell.element;
  }

  #kept(n, name) {
    const { job } = this.#context;
    const [side, part] = name.split(".");
    return part ? job.body(this.#slot(side, n), KIND.READING_TAKEN)?.[part] ?? null
      : job.field(this.#axleSlot(name, n)) ?? null;
  }

  #limits(name) {
    const windows = this.#context.job.windows();
    const [side, part] = name.split(".");
    return part ? windows[side][part] : windows[name.replace("-", "_")];
  }

  /**
   * A whole reading can be struck where there are several; what was struck stays to be read, with who struck it, and
   * can be taken back.
   */
  #strikeOf(n, side, isOneOfMany) {
    const { t, job } = this.#context;
    const slot = this.#slot(side, n);
    const names = { side: t(`ui.side.${side}`), n };
    const struck = struckReadings(job.fold, this.#prefix, side).find((each) => each.slot === slot);
    if (struck) {
      return element("div", { class: "stack" },
        this.#struckLine(slot, { ...names, by: struck.by }, job.body(slot, KIND.READING_TAKEN)),
        button({ key: `unstrike-${slot}`, kind: "quiet narrow", label: t("on-sheet.take-back"),
          onPress: () => this.#queued(() => this.#strike(slot, null)) }));
    }
    const body = job.body(slot, KIND.READING_TAKEN);
    if (body?.camber || body?.toe) {
      return isOneOfMany && button({ key: `strike-${slot}`, kind: "quiet narrow", label: t("readings.strike", names),
        onPress: () => this.#queued(() => this.#strike(slot, { reason: "" })) });
    }
    // a program older than the sheets emptied the reading itself
    const [last, before] = [job.live(slot)[0],
      job.entries.findLast((entry) => entry.slot === slot && entry.kind === KIND.READING_TAKEN
        && (entry.body.camber || entry.body.toe))];
    return last && before && this.#struckLine(slot, { ...names, by: last.by }, before.body);
  }

  #struckLine(slot, names, body) {
    const { t, app: { words } } = this.#context;
    const said = WHEEL_ANGLES.filter((part) => body[part]).map((part) => words.typed(part, body[part])).join(", ");
    return element("p", { class: "struck", key: `struck-${slot}` }, t("readings.struck", names), " ",
      element("s", { text: said }));
  }

  #strike(slot, value) {
    return this.#context.save({ slot: struckSlot(slot) }, { body: { value } });
  }

  // Saving: one after the other, for both angles of a wheel stand in one entry

  #queued(save) {
    this.#saving = this.#saving.then(save, save);
    return this.#saving;
  }

  /** A toe typed by itself is not made of total toe and thrust any more. */
  async #keepWheel(n, side, part, angle) {
    const { job, save } = this.#context;
    const slot = this.#slot(side, n);
    if (!(await this.#save(slot, { ...(job.body(slot, KIND.READING_TAKEN) ?? NOTHING), [part]: angle }))) return null;
    const left = part === "toe" ? AXLE.map((name) => this.#axleSlot(name, n)).filter((at) => job.field(at)) : [];
    for (const at of left) if (!(await save({ slot: at }, { body: { value: null } }, { joined: true }))) return null;
    return true;
  }

  async #keepAxle(n, part, angle) {
    const context = this.#context;
    if (!(await context.save({ slot: this.#axleSlot(part, n) }, { body: { value: angle } }))) return null;
    const [total, thrust] = AXLE.map((name) => context.job.field(this.#axleSlot(name, n)));
    if (!total || !thrust) return true;
    const toes = wheelToes(total.mdeg, thrust.mdeg);
    for (const side of SIDES) {
      const toe = makeAngle({ quantity: "toe", text: textFromMdeg(Math.abs(toes[side]), "deg"), unit: "deg",
        way: signWordOf("toe", toes[side]) });
      const slot = this.#slot(side, n);
      const body = { ...(context.job.body(slot, KIND.READING_TAKEN) ?? NOTHING), toe };
      if (!(await context.save({ slot }, { kind: KIND.READING_TAKEN, body }, { joined: true }))) return null;
    }
    return true;
  }

  #save(slot, body) {
    return this.#context.save({ slot }, { kind: KIND.READING_TAKEN, body });
  }

  // What both wheels make together

  #sayBoth(job) {
    const { t, app: { words } } = this.#context;
    const wheels = job.readings(this.#prefix);
    const apart = disagreeingReadings(job.fold, this.#prefix).map((each) => this.#disagreeWords(each));
    if (!isWhole(wheels)) return fill(this.#both, apart);
    const axle = axleOf(wheels);
    const windows = job.windows();
    const part = (quantity, name) => {
      const judged = words.judge(quantity, axle[name], windows[name]);
      const isOutside = windows[name] && judged !== t("ui.inside");
      return element("span", { class: `judged${isOutside ? " outside" : ""}` }, `${t(`ui.quantity.${quantity}`)} `,
        element("strong", { text: words.say(quantity, axle[name]) }), judged && ` ${judged}`);
    };
    return fill(this.#both, apart,
      element("p", { class: "both-line" }, part("total-toe", "total_toe"), " ", part("thrust", "thrust")),
      SIDES.some((side) => wheels[side].count > 1)
        && element("p", { class: "readings-mean", text: this.#meanWords(wheels) }));
  }

  /** Two readings that contradict each other, and what they look like. */
  #disagreeWords({ side, angle, between: [a, b], apart, looks }) {
    const { t, app: { words } } = this.#context;
    const said = t("ui.reading.disagree", { a, b, part: t(`ui.quantity.${angle}`), apart: words.size(angle, apart) });
    return remark({ name: "warning", key: `disagree-${side}-${angle}`,
      text: [said, ...looks.map((code) => t(`ui.reading.looks.${code}`))].join(" ") });
  }

  #meanWords(wheels) {
    const { t, app: { words } } = this.#context;
    const said = (side) =>
      `${t(`ui.side.${side}`)} ${WHEEL_ANGLES.map((part) => words.say(part, wheels[side][part])).join(", ")}`;
    return t("readings.mean", { angles: SIDES.map(said).join("; ") });
  }

  #readAgain() {
    this.#wanted = this.#last() + 1;
    this.#context.typing.write(`${this.#row.slot}.wanted`, this.#wanted);
    this.update(this.#row);
    const [first] = this.#blocks.get(this.#wanted).cells.values();
    requestAnimationFrame(() => first.input.focus()); // the tap that asked for it puts the keypad away first
  }

  #turnTotal() {
    this.#isByTotal = !this.#isByTotal;
    this.#total.setAttribute("aria-pressed", String(this.#isByTotal));
    this.#blocks.clear();
    fill(this.#list);
    this.update(this.#row);
  }

  // Where readings are kept

  #slot(side, n) {
    return `${this.#prefix}.${side}.${n}`;
  }

  #axleSlot(part, n) {
    return `${this.#prefix}.${part}.${n}`;
  }

  #last() {
    const start = `${this.#prefix}.`;
    const taken = Object.keys(this.#context.job.fold.slots).filter((slot) => slot.startsWith(start))
      .map((slot) => Number(/\.(\d+)$/.exec(slot)?.[1] ?? 1));
    return Math.max(1, this.#wanted, ...taken);
  }
}
