/**
 * The hold that ends the second pause: whether the hub bolts that close this wheel hold. "As before" or new ones are
 * answered in place, what cannot be computed is measured at the wheel, and what is known to be too short or to touch
 * the bottom stops the job.
 */

import { boltFacts, boltLength, boltLengthEntry, HOLDS } from "../../domain/job/bolt-length.js";
import { CLASSES } from "../../domain/job/hub-bolts.js";
import { KIND } from "../../domain/job/entry.js";
import { painted } from "../parts/after-paint.js";
import { button, element, fill, refill } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";
import { remark } from "../parts/signal.js";
import { lengths } from "./fit-words.js";
import { plannedRingSet, ringSetOf } from "./bench-rings.js";
import { HoldPress } from "./hold-press.js";
import { NumberCell } from "./number-cell.js";
import { rowName } from "../words/row-words.js";
import { confirmedNote } from "./confirmed-note.js";

const CELLS = ["length_mm", "was_mm", "measured_mm"];

export class BoltLengthCard {
  #context;
  #row;
  #sets = null;
  #ways = new Map();
  #cells = {};
  #class;
  #classes;
  #known = element("div", { class: "stack", key: "bolts-known" });
  #asked = element("div", { class: "cells" });
  #verdict = element("div", { class: "stack", role: "status", key: "bolts-verdict" });
  #press;
  #done = element("div", { class: "hold-done" });
  #lines = {};
  #following = null;

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const { t, screen } = context;
    for (const way of ["before", "new"])
      this.#ways.set(way, button({ key: `bolts-${way}-${row.slot}`, label: t(`bolt-length.${way}`), kind: "option",
        pressed: false, onPress: () => this.#change({ new: way === "new" }) }));
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
      element("div", { class: "options" }, ...this.#ways.values()), this.#asked, this.#verdict);
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

  get #typed() {
    return this.#context.typing.at(this.#row.slot) ?? { new: null };
  }

  update(row) {
    this.#row = row;
    const { t, job } = this.#context;
    const isDone = row.state === "done";
    const facts = boltFacts(job.fold, row.round, row.wheel);
    this.element.classList.toggle("confirmed", isDone);
    this.#press.element.hidden = isDone;
    this.#mark();
    refill(this.#known, this.#knownWords(facts));
    const verdict = this.#judge(facts);
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
    const length = record.length_mm ? mm(record.length_mm) : "?";
    const asNew = () => (record.class_unread ? t("bolt-length.record.unread", { length })
      : t("bolt-length.record.new", { length, class: record.class ?? "–" }));
    const which = record.new ? asNew() : t("bolt-length.before");
    return [which, record.least_mm !== null && t("bolt-length.record.left", { left: mm(record.least_mm) })]
      .filter(Boolean).join("; ");
  }

  /** What follows from an answer has more to lay out than the answer: it comes once for all answered by then. */
  #change(change) {
    const { typing } = this.#context;
    typing.write(this.#row.slot, { ...this.#typed, ...change });
    this.#mark();
    this.#following ??= painted().then(() => {
      this.#following = null;
      return this.#follow();
    });
    return this.#following;
  }

  /** What stops the job is recorded, so that every phone of the shop sees why; what holds waits for the press. */
  async #follow() {
    const { job, save } = this.#context;
    const typed = this.#typed;
    const facts = boltFacts(job.fold, this.#row.round, this.#row.wheel);
    const verdict = this.#judge(facts);
    const isComplete = typed.new === false || (typed.new === true && typed.length_mm);
    const entry = verdict && !verdict.error && isComplete ? boltLengthEntry(facts, typed, verdict) : null;
    if (entry?.kind === KIND.FIELD_SET && JSON.stringify(entry.body.value) !== JSON.stringify(this.#row.value))
      await save(this.#row, entry);
    else if (this.#row.refusal && entry?.kind === KIND.STEP_DONE)
      await save(this.#row, { kind: KIND.STEP_UNDONE, body: {} });
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
