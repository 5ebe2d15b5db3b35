// A made-up job for the tests of the checklist: it writes entries as the phone does and does steps in the plainest way.
// Shared by the checklist's test modules; it registers no test.

import { currentRound } from "/js/domain/job/checklist-slots.js";
import { nextStep, stageStates, stepsOf } from "/js/domain/job/checklist.js";
import { fold } from "/js/domain/job/fold.js";

export const checklist = await (await fetch("/checklist.json")).json();
export const PLANNED = { ring_set: "demo-54", pair: [12, 31], effect: [640, -320] };
export const READING = { camber: { mdeg: -1640 }, toe: { mdeg: 420 } };

/** A job as a list of entries; each call adds one that supersedes what is live in its slot, as the phone writes it. */
export class Job {
  #entries = [];

  get entries() {
    return this.#entries;
  }

  get fold() {
    return fold(this.#entries);
  }

  add(slot, kind, body = {}, { concurrent = false } = {}) {
    const id = `e${String(this.#entries.length).padStart(4, "0")}`;
    const live = concurrent ? [] : this.fold.slots[slot] ?? [];
    this.#entries.push({ id, slot: slot ?? id, kind, body, after: live.map((entry) => entry.id) });
    return this;
  }

  field(slot, value, how) {
    return this.add(slot, "field-set", { value }, how);
  }

  plan(round, left, right, how) {
    return this.add(`round.${round}.plan`, "plan-chosen", { plan: { left, right } }, how);
  }

  photo(about) {
    return this.add(null, "photo-attached", { about });
  }

  read(prefix) {
    return this.add(`${prefix}.left.1`, "reading-taken", READING).add(`${prefix}.right.1`, "reading-taken", READING);
  }

  /** Does a step in the plainest way that its type knows. */
  confirm(step) {
    const { slot, type, panel } = step;
    if (type === "tick") return this.add(slot, "step-done", { hold: step.hold });
    if (type === "choice") return this.field(slot, plainOption(step));
    if (type === "text") return this.field(slot, "as asked");
    if (type === "number") return this.field(slot, { text: "62,1", number: 62.1, unit: step.units[0] });
    if (type === "photo") return this.photo(slot);
    return PANELS[panel](this, step);
  }

  /** Does step after step, as nextStep leads, until the step `until` is next (or nothing is). */
  workUntil(until = null) {
    for (let count = 0; count < 300; count += 1) {
      const step = nextStep(checklist, this.fold);
      if (step === null || step.slot === until) return this;
      this.confirm(step);
    }
    throw new Error("nextStep never came to an end");
  }
}

const PANELS = {
  readings: (job) => job.read("base"),
  windows: (job) => job.field("window.left.toe", { low: {}, high: {} }).field("window.source", "Service book, edition 4"),
  plan: (job) => job.plan(1, PLANNED, PLANNED),
  consent: (job) => job.add("consent", "consent-recorded", { customer: "A. Person" }),
  "single-use-list": (job, { slot, items }) => job.field(slot, Object.fromEntries(items.map((item) => [item, "at-hand"]))),
  torque: (job, { slot }) => job.field(slot, { value_nm: 60, source: "Service book" }),
  "check-readings": (job) => job.read(`round.${currentRound(job.fold)}.check`),
  sign: (job) => job.add(null, "job-signed", { covers: [] }),
};

/** The answer after which the job goes on without warning or further question. */
function plainOption({ options }) {
  return options.find(({ refuse, warn }) => !refuse && !warn).id;
}

export function stepAt(job, slot) {
  const found = stepsOf(checklist, job.fold).find((step) => step.slot === slot);
  if (!found) throw new Error(`expected a step at ${slot}`);
  return found;
}

export function slotsOf(job) {
  return stepsOf(checklist, job.fold).map(({ slot }) => slot);
}

export function stateOfStage(job, id) {
  return stageStates(checklist, job.fold).find((stage) => stage.id === id).state;
}
