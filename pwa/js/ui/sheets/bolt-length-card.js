/**
 * The hold that ends the second pause: whether the hub bolts that close this wheel hold. "As before" or new ones are
 * answered in place, what cannot be computed is measured at the wheel, and what is known to be too short or to touch
 * the bottom stops the job.
 */

import { boltFacts, boltLength, boltLengthEntry, HOLDS, recordIn, typedOf } from "../../domain/job/bolt-length.js";
import { CLASSES } from "../../domain/job/hub-bolts.js";
import { KIND } from "../../domain/job/entry.js";
import { painted } from "../parts/after-paint.js";
import { button, element, fill, refill, say } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";
import { remark } from "../parts/signal.js";
import { lengths } from "./fit-words.js";
import { plannedRingSet, ringSetOf } from "./bench-rings.js";
import { HoldPress } from "./hold-press.js";
import { NumberCell } from "./number-cell.js";
import { rowName } from "../words/row-words.js";
import { confirmedNote } from "./confirmed-note.js";
import { fitSlot } from "../../domain/job/round-work.js";
import { SIDES } from "../../domain/numbers/sides.js";

const CELLS = ["length_mm", "was_mm", "measured_mm"];
const NOTHING = { new: null };

export class BoltLengthCard {
  #context;
  #row;
  #sets = null;
  #ways = new Map();
  #cells = {};
  #class;
  #classes;
  #other;
  #asOther;
  #known = element("div", { class: "stack", key: "bolts-known" });
  #asked = element("div", { class: "cells" });
  #verdict = element("div", { class: "stack", role: "status", key: "bolts-verdict" });
  #press;
  #done = element("div", { class: "hold-done" });
  #lines = {};
  #following = null;
  /** What was typed before the answers that are followed now. */
  #before = null;

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    this.#other = SIDES.find((side) => side !== row.wheel);
    const { t, screen } = context;
    for (const way of ["before", "new"])
      this.#ways.set(way, button({ key: `bolts-${way}-${row.slot}`, label: t(`bolt-length.${way}`), kind: "option",
        pressed: false, onPress: () => this.#change({ new: way === "new" }) }));
    this.#asOther = element("div", { class: "options long" },
      button({ key: `bolts-as-other-${row.slot}`, label: "", kind: "option", onPress: () => this.#takeOther() }));
    for (const name of CELLS) {
      this.#cells[name] = new NumberCell(context,
        { key: `${row.slot}.${name}`, label: t(`bolt-length.${name}`), units: ["mm"], kept: null,
          keep: (number) => this.#change({ [name]: number?.number ?? null }) });
      this.#lines[name] = element("div", { class: "cells-line" },
        element("span", { class: "cells-title", text: t(`bolt-length.${name}`) }), this.#cells[name].element);
    }
    const onHead = (id, label, change) =>
      [id, button({ key: `class-${row.slot}-${id}`, label, kind: "option", pressed: false,
        onPress: () => this.#change(change) })];
    this.#classes = new Map([
      ...CLASSES.map((id) => onHead(id, id, { class: id, class_unread: false })),
      onHead("unread", t("bolt-length.class-unread"), { class: null, class_unread: true }),
    ]);
    this.#class = element("div", { class: "stack", role: "group", "aria-label": t("bolts-card.class") },
      element("p", { class: "cells-title", text: t("bolts-card.class") }),
      element("div", { class: "options tight" }, ...this.#classes.values()));
    this.element = element("div", { class: "hold-card bolt-length stack" }, this.#known,
      element("div", { class: "options" }, ...this.#ways.values()), this.#asOther, this.#asked, this.#verdict);
    this.#press = new HoldPress({
      t, key: row.slot, what: rowName(t, row), card: this.element,
      takes: (event) => screen.takesPress(this.#press.element.firstChild, event), onConfirmed: () => this.#confirm(),
    });
    this.element.append(this.#press.element, this.#done);
    this.#prepare();
    this.update(row);
  }

  async #prepare() {
    const { app, job } = this.#context;
    const { round, wheel } = this.#row;
    const { old } = boltFacts(job.fold, round, wheel);
    const before = old && job.planned(old.round);
    this.#sets = { ringSet: await plannedRingSet(this.#context, this.#row), oldSet: old && before
      ? await ringSetOf(app, before, old) : null };
    this.update(this.#context.job.row(this.#row.slot) ?? this.#row);
  }

  get foot() {
    return this.#press.element;
  }

  /** What is typed; where a confirmation was taken back, what had been confirmed, unless its grounds have changed. */
  get #typed() {
    const { typing, job } = this.#context;
    const { slot, round, wheel, state } = this.#row;
    const typed = typing.at(slot);
    const after = job.live(slot)[0]?.after ?? [];
    if (typed || state !== "open" || after.length === 0) return typed ?? NOTHING;
    const record = job.entries.find(({ id }) => after.includes(id))?.body.length;
    return record?.from === boltFacts(job.fold, round, wheel).from ? typedOf(record) : NOTHING;
  }

  update(row) {
    this.#row = row;
    this.#goBack();
    const { t, job } = this.#context;
    const isDone = row.state === "done";
    const facts = boltFacts(job.fold, row.round, row.wheel);
    this.element.classList.toggle("confirmed", isDone);
    this.#press.element.hidden = isDone;
    this.#mark();
    refill(this.#known, this.#knownWords(facts));
    const verdict = this.#judge(facts);
    this.#offerOther();
    this.#ask(facts, verdict);
    refill(this.#verdict, !isDone && this.#verdictWords(verdict, row));
    const isUnchosen = row.state === "open" && this.#typed.new === null;
    this.#press.disabled = row.state === "locked" || (!isUnchosen && !HOLDS.includes(verdict?.outcome));
    this.#press.lacks = isUnchosen ? t("bolt-length.choose-first") : "";
    fill(this.#done, isDone && confirmedNote(this.#context, row,
      [element("p", { text: this.#recordWords(job.live(row.slot)[0]?.body.length) })]));
  }

  reveal() {
    this.#ways.get("before").focus({ preventScroll: true });
  }

  /** @returns {Object|null} the verdict; {error} where a number cannot be meant */
  #judge(facts) {
    if (!this.#sets) return null;
    try {
      return boltLength(this.#context.job.fold, facts, this.#row.wheel, this.#sets, this.#typed);
    } catch (error) {
      return { outcome: "ask", error };
    }
  }

  #knownWords({ bolts, counted_turns: turns, was_mm: was }) {
    const { t } = this.#context;
    const mm = lengths(this.#context);
    const counted = turns && bolts?.thread
      ? t("bolt-length.counted", { turns, engaged: mm(turns * bolts.thread.pitch_mm) }) : t("bolt-length.not-counted");
    return [element("p", { text: counted }), was && element("p", { text: t("bolt-length.was", { length: mm(was) }) })];
  }

  /** An entry that was taken back takes the answer along that led to it, and no other. */
  #goBack() {
    const { typing } = this.#context;
    const { slot, value, conflict } = this.#row;
    const { stands, before } = typing.at(slot) ?? {};
    if (stands && !conflict && stands !== JSON.stringify(value)) typing.write(slot, before);
  }

  /** What was read off the new bolts of the wheel that was closed first, or null. */
  get #otherRecord() {
    const record = recordIn(this.#context.job.fold, fitSlot(this.#row.round, "bolt-length", this.#other));
    return record?.new && HOLDS.includes(record.outcome) ? record : null;
  }

  #offerOther() {
    const { t } = this.#context;
    const record = this.#row.state !== "done" && this.#typed.new === null ? this.#otherRecord : null;
    this.#asOther.hidden = record === null;
    if (record) say(this.#asOther.querySelector(".button-label"),
      t(`fitting.bolts.as-${this.#other}`, { bolts: this.#boltWords(record) }));
  }

  /** How far they are in, and how long those were that came out, is this wheel's own, and so is the hold. */
  #takeOther() {
    const record = this.#otherRecord;
    if (!record) return undefined; // taken back meanwhile
    const { measured_mm: _in, was_mm: _out, ...bolts } = typedOf(record);
    return this.#change(bolts);
  }

  /** Only what the answer so far asks for. */
  #ask({ was_mm: was }, verdict) {
    const typed = this.#typed;
    const shown = { length_mm: typed.new === true, was_mm: typed.new === true && was === null,
      measured_mm: typed.new !== null
      && (verdict?.error ? (typed.measured_mm ?? null) !== null : verdict?.missing.length > 0) };
    const isOpen = this.#row.state !== "done";
    for (const name of CELLS) this.#cells[name].update(typed[name] === undefined || typed[name] === null ? null
      : { text: String(typed[name]), number: typed[name], unit: "mm" });
    fill(this.#asked, isOpen && CELLS.filter((name) => shown[name]).map((name) => this.#lines[name]),
      isOpen && typed.new === true && this.#class);
  }

  #mark() {
    const typed = this.#typed;
    const press = (node, isPressed) => node.setAttribute("aria-pressed", String(isPressed));
    for (const [way, node] of this.#ways) press(node, typed.new === (way === "new"));
    for (const [id, node] of this.#classes) press(node, id === "unread" ? Boolean(typed.class_unread)
      : typed.class === id);
  }

  #verdictWords(verdict, row) {
    const { t } = this.#context;
    const mm = lengths(this.#context);
    if (!verdict) return null;
    if (verdict.error) return remark({ name: "refused", text: errorText(t, verdict.error) });
    const { outcome, longer, least_mm: least, wanted_mm: wanted, missing, clashes, codes } = verdict;
    const typed = this.#typed;
    const unsaid = typed.new ? [!typed.length_mm && t("bolt-length.length_mm"), !(typed.class || typed.class_unread)
      && t("bolts-card.class")].filter(Boolean) : [];
    return [
      clashes && remark({ name: "warning", text: t("bolt-length.clash"), key: "turns-clash" }),
      outcome === "ask" && longer && longer.at_least_mm > 0 && remark({ name: "warning", key: "longer-bolts",
        text: t(longer.less_than_mm === null ? "fitting.bolts.longer" : "fitting.bolts.longer-less",
          { least: mm(longer.at_least_mm), most: mm(longer.less_than_mm ?? 0) }) }),
      outcome === "ask" && longer && longer.at_least_mm === 0
        && remark({ name: "inside", text: t("fitting.bolts.enough"), key: "bolts-enough" }),
      outcome === "ask" && unsaid.length > 0
        && remark({ name: "open", text: t("bolts-card.missing", { what: unsaid.join(", ") }), key: "bolts-unsaid" }),
      typed.new && typed.class_unread
        && remark({ name: "warning", text: t("bolt-length.class-unread-warns"), key: "class-unread" }),
      outcome === "measure" && element("p",
        { text: t("bolt-length.measure",
          { what: missing.map((each) => t(`bolt-length.missing.${each}`)).join(", ") }) }),
      outcome === "measured" && remark({ name: "inside", text: t("bolt-length.measured", { left: mm(least) }),
        key: "bolts-measured" }),
      outcome === "fits" && remark({ name: "inside",
        text: t("bolt-length.fits", { left: mm(least), wanted: mm(wanted) }), key: "bolts-fit" }),
      !row.refusal && ["short", "bottoms", "no-length", "weaker"].includes(outcome)
        && remark({ name: "refused", text: t(`refusal.${REFUSALS[outcome]}`), key: "bolts-refused" }),
      outcome === "gate" && codes.map((code) => remark({ name: "refused", text: t(`refusal.${code}`) })),
    ];
  }

  #recordWords(record) {
    if (!record) return "";
    const { t } = this.#context;
    const mm = lengths(this.#context);
    const left = record.least_mm !== null && t("bolt-length.record.left", { left: mm(record.least_mm) });
    return [this.#boltWords(record), left].filter(Boolean).join("; ");
  }

  #boltWords({ new: isNew, length_mm: mm, class: onHead, class_unread: isUnread }) {
    const { t } = this.#context;
    const length = mm ? lengths(this.#context)(mm) : "?";
    if (!isNew) return t("bolt-length.before");
    return isUnread ? t("bolt-length.record.unread", { length })
      : t("bolt-length.record.new", { length, class: onHead ?? "–" });
  }

  /** What follows from an answer has more to lay out than the answer: it comes once for all answered by then. */
  #change(change) {
    const { typing } = this.#context;
    const { stands: _stands, before: _before, ...typed } = this.#typed;
    this.#before ??= this.#typed;
    typing.write(this.#row.slot, { ...typed, ...change });
    this.#mark();
    this.#following ??= painted().then(() => {
      this.#following = null;
      return this.#follow();
    });
    return this.#following;
  }

  /** What stops the job is recorded, so that every phone of the shop sees why; what holds waits for the press. */
  async #follow() {
    const { job, save, typing } = this.#context;
    const typed = this.#typed;
    const before = this.#before;
    this.#before = null;
    const facts = boltFacts(job.fold, this.#row.round, this.#row.wheel);
    const verdict = this.#judge(facts);
    const isComplete = typed.new === false || (typed.new === true && typed.length_mm);
    const entry = verdict && !verdict.error && isComplete ? boltLengthEntry(facts, typed, verdict) : null;
    const isNew = entry?.kind === KIND.FIELD_SET
      && JSON.stringify(entry.body.value) !== JSON.stringify(this.#row.value);
    const due = isNew ? entry
      : this.#row.refusal && entry?.kind === KIND.STEP_DONE ? { kind: KIND.STEP_UNDONE, body: {} } : null;
    const saved = due && await save(this.#row, due);
    if (saved && typing.at(this.#row.slot) === typed)
      typing.write(this.#row.slot, { ...typed, stands: JSON.stringify(saved.body.value ?? null), before });
    this.update(this.#context.job.row(this.#row.slot) ?? this.#row);
    return true;
  }

  async #confirm() {
    const { job, save, typing } = this.#context;
    const facts = boltFacts(job.fold, this.#row.round, this.#row.wheel);
    const verdict = this.#judge(facts);
    const entry = verdict && boltLengthEntry(facts, this.#typed, verdict);
    if (entry?.kind === KIND.STEP_DONE && (await save(this.#row, entry))) return typing.drop(this.#row.slot);
    return this.update(this.#row);
  }
}

const REFUSALS = { "short": "bolts-short", "bottoms": "bolts-too-long", "no-length": "bolts-bottom",
  "weaker": "bolts-weaker" };
