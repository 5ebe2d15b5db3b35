/**
 * The hub bolts of this axle in one table: how many, on which circle, thread and class, one of them backed out with its
 * turns and its length, and what they are screwed into. Bolts that sit otherwise are listed one by one. It is kept as
 * soon as it says enough.
 */

import { axleNotes } from "../../domain/job/axle-notes.js";
import { boltLengthFrom, BOLTS_STAY, boltsFrom, CLASSES, THREADS } from "../../domain/job/hub-bolts.js";
import { stillFrom } from "../../domain/types/type-parts.js";
import { numberFrom } from "../../domain/numbers/plain-number.js";
import { afterPaint } from "../parts/after-paint.js";
import { button, element, fill } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";
import { more } from "../parts/more-fold.js";
import { remark } from "../parts/signal.js";
import { SelectField } from "../fields/select-field.js";
import { TextField } from "../fields/text-field.js";
import { jobsOfAxle } from "../kept-jobs.js";
import { threadName } from "../words/thread-name.js";
import { NumberCell } from "./number-cell.js";

const FIRST = { layout: "circle", fastener: "bolt", by: "turns" };
/** What is typed in cells; those after the first four only where an answer asks for them. */
const CELLS = [["count", ""], ["circle", "mm"], ["turns", "turns"], ["length", "mm"], ["depth", "mm"], ["nut", "mm"],
  ["engaged", "mm"]];
/**
 * Usual counts and threads of hub bolts, with one tap (common practice, no source); every other is typed or chosen
 * under "Other".
 */
const USUAL = { count: ["4", "5", "6"], thread: ["10x1.5", "12x1.25", "12x1.5", "12x1.75", "14x1.5"] };
/** The number that follows what was tapped, in the order in which a bolt is looked at, backed out and measured. */
const NEXT_CELL = { count: "circle", thread: "turns", class: "length" };
const CHOICES = { class: CLASSES, fastener: ["bolt", "stud"], metal: ["steel", "iron", "aluminium"],
  hole: ["through", "blind"] };

export class BoltsCard {
  #context;
  #row;
  #cells = {};
  #selects = {};
  #choices = {};
  #lists = {};
  /** Names of those that are looked up among all. */
  #others = new Set();
  #noted = element("div", { class: "stack" });
  #said = element("div", { role: "status", key: "bolts-said" });
  /** Leads to the row that says why none can be backed out. */
  #stay;
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const { t, goTo } = context;
    this.#stay = button({ key: "bolts-stay", label: t(`row.${BOLTS_STAY}.title`), kind: "quiet narrow",
      onPress: () => goTo(BOLTS_STAY) });
    const label = (name) => t(`bolts-card.${name}`);
    for (const [name, unit] of CELLS) {
      this.#cells[name] = new NumberCell(context, {
        key: `${row.slot}.${name}`, label: label(name), kind: unit ? "number" : "marks", units: [unit],
        kept: this.#number(name, unit),
        keep: (number) => this.#change({ [name]: number?.text ?? "" }),
      });
    }
    const none = { id: "", label: "–" };
    this.#selects.thread = this.#select("thread",
      [none, ...THREADS.map((thread) => ({ id: thread.id, label: threadName(t, thread) }))]);
    for (const [name, options] of Object.entries({ ...USUAL, ...CHOICES }))
      this.#choices[name] = this.#choice(name, options);
    this.#lists.first = this.#text("first", false);
    this.#lists.list = this.#text("list", true);
    const line = (name) => element("div", { class: "cells-line", key: `bolts-${name}` },
      element("span", { class: "cells-title", text: label(name) }), this.#cells[name].element);
    this.lines = Object.fromEntries(CELLS.map(([name]) => [name, line(name)]));
    const cells = (...names) => element("div", { class: "cells" }, names.map((name) => this.lines[name]));
    this.element = element("div", { class: "stack bolts-card" }, this.#noted,
      this.#choices.count.node, cells("count", "circle"),
      this.#choices.thread.node, this.#selects.thread.element, cells("turns"),
      this.#choices.class.node, cells("length"),
      this.#choices.metal.node, this.#choices.hole.node,
      cells("depth", "nut"),
      more({ label: t("bolts-card.more"), summaryKey: "bolts-more" }, element("div", { class: "stack" },
        this.#choices.fastener.node, cells("engaged"), this.#lists.first.element, this.#lists.list.element)),
      this.#said, this.#stay);
    this.update(row);
    this.#offerNotes();
  }

  /**
   * What was noted on an earlier vehicle described in the same words is offered, never filled in; how far bolts are in
   * is measured here.
   */
  async #offerNotes() {
    const { app: { phone }, t, job } = this.#context;
    if (this.#row.value || !job.description) return;
    const notes = axleNotes(await jobsOfAxle(phone, job.description), job.description, job.id);
    const typed = notes?.values["vehicle.bolts"]?.typed;
    if (!typed || this.#row.value) return;
    fill(this.#noted, button({ key: "take-notes", kind: "chip",
      label: t("bolts-card.as-noted", { registration: notes.registration || t("ui.job.no-registration") }),
      onPress: () => { fill(this.#noted); return this.#change({ ...typed, turns: "", engaged: "", length: "" }); } }));
  }

  update(row) {
    this.#row = row;
    if (row.value) fill(this.#noted);
    const typed = this.#typed;
    for (const [name, unit] of CELLS) this.#cells[name].update(this.#number(name, unit));
    for (const [name, select] of Object.entries(this.#selects)) select.chosen = typed[name] ?? "";
    for (const name of Object.keys(this.#choices)) this.#press(name, typed[name]);
    for (const name of Object.keys(USUAL)) this.#showOther(name, typed[name] ?? "");
    const isStud = typed.fastener === "stud";
    this.#choices.metal.node.hidden = isStud;
    this.#choices.hole.node.hidden = isStud;
    this.lines.depth.hidden = isStud || typed.hole !== "blind";
    this.lines.nut.hidden = !isStud;
    this.#stay.hidden = !this.#isAwaited;
    this.#say(typed);
  }

  reveal() {
    this.#choices.count.buttons.values().next().value.focus({ preventScroll: true });
  }

  /** What is not among the usual ones has its own field, there as long as it is wanted. */
  #showOther(name, value) {
    const isOther = this.#others.has(name) || (value !== "" && !USUAL[name].includes(value));
    (this.lines[name] ?? this.#selects[name].element).hidden = !isOther;
    this.#choices[name].other.setAttribute("aria-pressed", String(isOther));
  }

  #toOther(name) {
    this.#others.add(name);
    this.update(this.#row);
    requestAnimationFrame(() => (this.#cells[name]?.input ?? this.#selects[name].element.querySelector("select"))
      .focus({ preventScroll: true }));
  }

  /** A usual one needs no other field; the number behind it is framed for whoever tapped, where none stands there. */
  #tapped(name, id, { detail: taps }) {
    this.#others.delete(name);
    this.#context.typing.write(this.#row.slot, { ...this.#typed, [name]: id }); // kept before it is shown
    this.#press(name, id);
    const next = this.#cells[NEXT_CELL[name]];
    afterPaint(() => {
      // the tap has put the keypad away
      if (taps > 0 && next?.state.text === "") next.input.focus({ preventScroll: true });
      this.#change({ [name]: id });
    });
  }

  #press(name, chosen) {
    for (const [id, node] of this.#choices[name].buttons) node.setAttribute("aria-pressed", String(id === chosen));
  }

  /** Whether the sheet waits for it. */
  get #isAwaited() {
    return this.#row.required && this.#row.state === "open";
  }

  get #typed() {
    return this.#context.typing.at(this.#row.slot)
      ?? { ...FIRST, ...this.#row.value?.typed, length: lengthText(this.#row.value) };
  }

  #number(name, unit) {
    const text = this.#typed[name];
    return text ? { text, unit, number: numberFrom(text) } : null;
  }

  #select(name, options) {
    return new SelectField({ label: this.#context.t(`bolts-card.${name}`), key: `bolts-${name}`, options,
      chosen: this.#typed[name] ?? "", onChange: (id) => this.#change({ [name]: id }) });
  }

  #choice(name, options) {
    const { t } = this.#context;
    const buttons = new Map(options.map((id) =>
      [id, button({ key: `bolts-${name}-${id}`, label: this.#optionWords(name, id), kind: "option", pressed: false,
        onPress: (event) => this.#tapped(name, id, event) })]));
    const other = USUAL[name] ? button({ key: `bolts-${name}-other`, label: t("bolts-card.other"), kind: "option other",
      pressed: false, onPress: () => this.#toOther(name) }) : null;
    const label = t(`bolts-card.${name}`);
    const isTight = name === "class" || name === "count";
    return { buttons, other, node: element("div", { class: "stack", role: "group", "aria-label": label },
      element("p", { class: "cells-title", text: label }),
      element("div", { class: isTight ? "options tight" : "options" }, ...buttons.values(), other)) };
  }

  #optionWords(name, id) {
    const { t } = this.#context;
    if (name === "thread") return threadName(t, THREADS.find((thread) => thread.id === id));
    return name === "class" || name === "count" ? id : t(`fitting.bolts.${name}.${id}`);
  }

  #text(name, lines) {
    const { t } = this.#context;
    const field = new TextField({ label: t(`fitting.bolts.${name}`), hint: t(`fitting.bolts.${name}.hint`),
      key: `bolts-${name}`, lines, text: this.#typed[name] ?? "" });
    field.element.addEventListener("focusout", () => (field.text !== (this.#typed[name] ?? ""))
      && this.#change({ [name]: field.text,
        ...(name === "list" && { layout: field.text.trim() ? "list" : "circle" }) }));
    return field;
  }

  /** One after the other; what cannot be computed with yet waits, half told. */
  #change(change) {
    this.#saving = this.#saving.then(() => this.#keep({ ...this.#typed, ...change }));
    return this.#saving;
  }

  async #keep(typed) {
    const { typing, save } = this.#context;
    typing.write(this.#row.slot, typed);
    const by = typed.turns?.trim() ? "turns" : "measured";
    const { length: text, ...rest } = { ...typed, by };
    try {
      const length = boltLengthFrom(text);
      const value = { typed: rest, bolts: boltsFrom(rest), ...(length && { length_mm: length }) };
      if (JSON.stringify(value) !== JSON.stringify(this.#row.value)
        && (await save(this.#row, { body: { value, ...stillFrom(this.#row, value) } })))
        await typing.drop(this.#row.slot);
    } catch (error) {
      if (error.name !== "InputError") throw error;
    }
    this.update(this.#context.job.row(this.#row.slot) ?? this.#row);
    return true;
  }

  /** What is still missing, or what cannot be meant. */
  #say(typed) {
    const { t } = this.#context;
    const isBegun = ["count", "circle", "list", "turns", "length"].some((name) => typed[name]?.trim());
    const missing = ["count", "circle"].filter((name) => typed.layout !== "list" && !typed[name]?.trim());
    if (!isBegun) return fill(this.#said);
    if (missing.length > 0) return fill(this.#said,
      remark({ name: "open", text: t("bolts-card.missing",
        { what: missing.map((name) => t(`bolts-card.${name}`)).join(", ") }) }));
    try {
      boltsFrom({ ...typed, by: typed.turns?.trim() ? "turns" : "measured" });
      boltLengthFrom(typed.length);
      return fill(this.#said, this.#isAwaited && this.#unmeasured(typed));
    } catch (error) {
      return fill(this.#said, remark({ name: "warning", text: errorText(t, error), key: "bolts-wrong" }));
    }
  }

  /** What one bolt that was backed out would say. */
  #unmeasured({ turns, engaged, thread, length, fastener }) {
    const { t } = this.#context;
    const isIn = turns?.trim() || engaged?.trim();
    const missing = [!isIn && "turns", turns?.trim() && !thread && "thread",
      fastener !== "stud" && !numberFrom(length ?? "") && "length"].filter(Boolean);
    return missing.length > 0 && remark({ name: "open", key: "bolts-unmeasured",
      text: t("bolts-card.missing", { what: missing.map((name) => t(`bolts-card.${name}`)).join(", ") }) });
  }
}

function lengthText(value) {
  return value?.length_mm ? String(value.length_mm) : "";
}
