// A made-up job for the tests of the sheets: it writes entries as the phone does and does rows in the plainest way.
// Shared by the sheets' test modules; it registers no test.

import { boltFacts, boltLength, boltLengthEntry } from "/js/domain/job/bolt-length.js";
import { torqueOf } from "/js/domain/job/fit-request.js";
import { tighteningRecord, tighteningSteps } from "/js/domain/job/holds.js";
import { Job } from "/js/domain/job/living-job.js";

export const checklist = await (await fetch("/checklist.json")).json();
export const PLANNED = { ring_set: "demo-54", pair: [12, 31], effect: [640, -320] };
export const READING = { camber: { mdeg: -1640 }, toe: { mdeg: 420 } };

/** A living job; each call adds an entry that supersedes what is live in its slot, as the phone writes it. */
export class SheetsJob extends Job {
  #count = 0;

  constructor(entries = null, begunWith = checklist.checklist) {
    super({ id: "job", entries: entries ?? [], checklist });
    this.#count = this.entries.length;
    if (entries === null) this.add(null, "job-opened", { checklist: begunWith });
  }

  add(slot, kind, body = {}, { concurrent = false } = {}) {
    const id = `e${String(this.#count).padStart(4, "0")}`;
    this.#count += 1;
    const after = slot === null || concurrent ? [] : this.after(slot);
    this.apply({ id, job: this.id, by: "Tester", slot: slot ?? id, kind, body, after });
    return this;
  }

  set(slot, value, how) {
    return this.add(slot, "field-set", { value }, how);
  }

  tick(slot, body = {}, how = {}) {
    return this.add(slot, "step-done", { hold: false, ...body }, how);
  }

  undo(slot) {
    return this.add(slot, "step-undone");
  }

  plan(round, left, right, more = {}, how = {}) {
    return this.add(`round.${round}.plan`, "plan-chosen", { plan: { left, right }, advice: [], ...more }, how);
  }

  photo(about, body = {}) {
    return this.add(null, "photo-attached", { about, ...body });
  }

  read(prefix) {
    return this.add(`${prefix}.left.1`, "reading-taken", READING).add(`${prefix}.right.1`, "reading-taken", READING);
  }

  at(slot) {
    const found = this.row(slot);
    if (!found) throw new Error(`expected a row at ${slot}`);
    return found;
  }

  has(slot) {
    return this.rows.some((row) => row.slot === slot);
  }

  stateOf(key) {
    return this.sheets.find((sheet) => sheet.key === key)?.state ?? null;
  }

  /** Does a row in the plainest way that its type knows. */
  confirm(row) {
    const { slot, type, card } = row;
    if (type === "tick") return this.tick(slot, this.stepBody(row));
    if (type === "choice") return this.set(slot, plainOption(row));
    if (type === "text") return this.set(slot, "as asked");
    if (type === "number") return this.set(slot, { text: "62,1", number: 62.1, unit: row.units[0] });
    if (type === "torque") return this.set(slot,
      { value_nm: 60, text: "60", unit: "nm", source: "Service book", angle_deg: null });
    if (type === "photo") return this.photo(slot);
    return (CARDS[card] ?? (() => this.set(slot, "as asked")))(this, row);
  }

  /** Answers the hold of the bolt length with what was typed; `sets` of the rings, where they are known. */
  lengthen(row, typed, sets = { ringSet: null }) {
    const facts = boltFacts(this.fold, row.round, row.wheel);
    const { kind, body } = boltLengthEntry(facts, typed, boltLength(this.fold, facts, row.wheel, sets, typed));
    return this.add(row.slot, kind, kind === "step-done" ? { ...this.stepBody(row), ...body } : body);
  }

  /** Tightens every bolt of a wheel through every stage. */
  tighten(row, count = 5) {
    const steps = tighteningSteps(this.fold, row.wheel, count);
    return this.tick(row.slot, { ...this.stepBody(row),
      ...tighteningRecord(steps.map(({ bolt, stage }) => ({ bolt, stage: stage + 1 })), torqueOf(this.fold)) });
  }

  /**
   * Does row after row, as nextOpen leads, until the row `until` is next; without one, until nothing is, or what is
   * next cannot be answered plainly.
   */
  workUntil(until = null) {
    for (let count = 0; count < 400; count += 1) {
      const row = this.nextOpen();
      if (row?.slot === until || (until === null && row === null)) return this;
      if (row === null) throw new Error(`${until} was never next`);
      this.confirm(row);
      const after = this.row(row.slot);
      if (until === null && after && !["done", "overridden"].includes(after.state)) return this;
    }
    throw new Error(`stuck at ${this.nextOpen()?.slot}`);
  }
}

const CARDS = {
  "readings-table": (job, { id, round }) => job.read(id === "check.readings" ? `round.${round}.check` : "base"),
  "windows-table": (job) => job.set("window.left.toe", { low: { mdeg: 0 }, high: { mdeg: 200 } })
    .set("window.source", "Service book, edition 4"),
  "advice": (job, { slot }) => job.set(slot, {}),
  "plan": (job) => job.plan(1, PLANNED, PLANNED),
  "consent": (job) => job.add("consent", "consent-recorded",
    { customer: "A. Person", plan: job.planEntry?.id ?? null }),
  "bolts": (job) => job.set("vehicle.bolts-stay", "Seized, as asked"),
  "parts": (job, { slot, items }) => job.set(slot, Object.fromEntries(items.map((item) => [item, "at-hand"]))),
  "bolt-length": (job, row) => job.lengthen(row, { new: false, measured_mm: 18 }),
  "bolt-mode": (job, row) => job.tighten(row),
  "read-back": (job, row) => job.tick(row.slot,
    { ...job.stepBody(row), read: { letter: row.params.letter, inner: row.params.inner, outer: row.params.outer } }),
  "spacers": (job, row) => job.tick(row.slot,
    { ...job.stepBody(row), spacers: [{ lug: 1, wanted_mm: null, mm: 4.8 }] }),
  "recheck": (job, { slot }) => job.set(slot,
    { recheck: { distance: { number: 80, text: "80", unit: "km" }, day: null, source: "service-information",
      page: "sheet 12" } }),
  "sign": (job) => job.add(null, "job-signed", { covers: job.liveIds }),
};

/** The answer after which the job goes on without warning or further question. */
function plainOption({ options, usual }) {
  return usual ?? options.find(({ refuse, warn }) => !refuse && !warn).id;
}
