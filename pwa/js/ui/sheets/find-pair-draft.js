/**
 * What stands on "Find a pair": windows, readings and choices as a job that nobody has opened. It lies in one draft of
 * this phone, with what is half typed, and is never sent. Each answer keeps who gave it and when; `becomeJob` writes
 * them all into the job whose name the draft has had from its beginning, so that a tap that was broken off writes
 * nothing twice.
 */

import { KIND } from "../../domain/job/entry.js";
import { uuid4 } from "../../domain/job/ids.js";
import { Job } from "../../domain/job/living-job.js";
import { isAlike } from "../../domain/job/plan-current.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { Draft } from "../parts/draft.js";

const KEY = "find-pair";
/** Steps back that are kept while the screen is open. */
const MOST_UNDO = 50;

export class FindPairDraft {
  #app;
  #draft;
  #state;
  #before = [];
  job = null;

  constructor(app) {
    this.#app = app;
    this.#draft = new Draft(app.phone, KEY);
  }

  async read() {
    this.#state = (await this.#draft.read()) ?? this.#empty();
    await this.#makeJob();
  }

  get isEmpty() {
    return Object.keys(this.#state.kept).length === 0 && Object.keys(this.#state.typed).length === 0;
  }

  get hasReadings() {
    return Object.keys(this.#state.kept).some(isOfReadings) || Object.keys(this.#state.typed).some(isOfReadings);
  }

  get canUndo() {
    return this.#before.length > 0;
  }

  /** What is half typed, as typing.js has it on a sheet. */
  get typing() {
    return {
      at: (field) => this.#state.typed[field] ?? null,
      write: (field, typed) => this.#write({ typed: { ...this.#state.typed, [field]: typed } }),
      drop: (field) => (field in this.#state.typed
        ? this.#write({ typed: without(this.#state.typed, (name) => name === field) }) : undefined),
    };
  }

  /** Keeps an answer; `joined` ones are taken back together. @returns {Object} it, as an entry would say it */
  keep({ slot }, { kind, body }, { joined = false } = {}) {
    const answer = { kind, body, by: this.#app.settings.get("technician"), at: Date.now() };
    if (!joined) this.#remember();
    this.#write({ kept: { ...this.#state.kept, [slot]: answer } });
    const entry = this.#entry(slot, answer);
    this.job.apply(entry);
    return entry;
  }

  /** @returns {Promise<boolean>} whether there was anything to take back */
  async undo() {
    const before = this.#before.pop();
    if (!before) return false;
    this.#write(before);
    await this.#makeJob();
    return true;
  }

  /** Another vehicle: its readings, or everything. Undo brings them back. */
  async clear({ windows }) {
    this.#remember();
    const isGone = (name) => windows || isOfReadings(name);
    this.#write({ job: this.#app.phone.newJob(), kept: without(this.#state.kept, isGone),
      typed: without(this.#state.typed, isGone) });
    await this.#makeJob();
  }

  /**
   * @param {function(Object[]): string} noteOf says who typed the answers and when
   * @returns {Promise<string|null>} the job, once it holds everything; null where something could not be saved
   */
  async becomeJob(noteOf) {
    const { job: id, kept, typed } = this.#state;
    const job = await this.#app.job(id);
    const save = (content, by) => this.#app.save({ job: id, ...content }, { undoable: false, by });
    const isOpened = job.entries.some(({ kind }) => kind === KIND.JOB_OPENED);
    if (!isOpened
      && !(await save({ kind: KIND.JOB_OPENED, slot: null, body: { checklist: this.#app.checklist.checklist } })))
      return null;
    const told = Object.entries(kept).filter(([slot, answer]) => isSaid(answer) || job.live(slot).length > 0);
    for (const [slot, { kind, body, by }] of told) {
      if (!isAlike(job.body(slot, kind), body) && !(await save({ kind, slot, body }, by))) return null;
    }
    const isNoted = job.fold.notes.length > 0 || told.length === 0;
    if (!isNoted && !(await save({ kind: KIND.NOTE_WRITTEN, slot: null,
      body: { text: noteOf(told.map(([, answer]) => answer)) } }))) return null;
    await this.#carryTyping(id, typed);
    await this.#draft.drop();
    return id;
  }

  async flush() {
    await this.#draft.flush();
  }

  /** What is half typed is half typed on the job's sheet of readings. */
  async #carryTyping(job, typed) {
    if (Object.keys(typed).length === 0) return;
    const draft = new Draft(this.#app.phone, `typing.${job}.readings`);
    draft.write(typed);
    await draft.flush();
  }

  #empty() {
    return { job: this.#app.phone.newJob(), kept: {}, typed: {} };
  }

  #remember() {
    this.#before = [...this.#before, this.#state].slice(-MOST_UNDO);
  }

  #write(change) {
    this.#state = { ...this.#state, ...change };
    if (this.isEmpty) return this.#draft.drop();
    return this.#draft.write(this.#state);
  }

  async #makeJob() {
    const { checklist, phone } = this.#app;
    this.job = null;
    const opened = this.#entry(null, { kind: KIND.JOB_OPENED, body: { checklist: checklist.checklist } });
    const entries = Object.entries(this.#state.kept).map(([slot, answer]) => this.#entry(slot, answer));
    this.job = new Job({ id: this.#state.job, entries: [opened, ...entries], checklist,
      names: await phone.ringSetNames() });
  }

  #entry(slot, { kind, body, by = "", at = 0 }) {
    const id = uuid4();
    return { id, job: this.#state.job, kind, slot: slot ?? id, after: slot && this.job ? this.job.after(slot)
      : [], body, by, at };
  }
}

/** A window that was taken back, or a reading that was taken out, says nothing to a new job. */
function isSaid({ kind, body }) {
  if (kind === KIND.STEP_UNDONE) return false;
  return kind !== KIND.READING_TAKEN || body.camber !== null || body.toe !== null;
}

function isOfReadings(name) {
  return name.startsWith("base.") || name.startsWith("struck.") || SIDES.some((side) => name === `aim.${side}`);
}

function without(named, isGone) {
  return Object.fromEntries(Object.entries(named).filter(([name]) => !isGone(name)));
}
