/** How an answer given on a sheet becomes entries, and how the last one is taken back. */

import { KIND } from "../../domain/job/entry.js";
import { afterPaint } from "../parts/after-paint.js";
import { answeredSince } from "../undo-stack.js";
import { answerWords, rowName } from "../words/row-words.js";

export class Answers {
  #app;
  #undoing = Promise.resolve();
  /** By slot: what was tapped in the frame that is being painted. */
  #due = new Map();
  /** What was painted and is being saved. */
  #onTheWay = new Set();

  constructor(app) {
    this.#app = app;
  }

  /**
   * Saves what rows were answered with by one tap, in their order, all of it or nothing; see sheet-screen.js for what
   * it fills in.
   * @param {Job} job
   * @param {{row: Object, kind?: string, body?: Object}[]} answers
   * @param {{joined?: boolean}} [options]
   * @returns {Promise<Object|null>} the entry of the first; null if they are not saved
   */
  async save(job, answers, options = {}) {
    const contents = [];
    let moves = [];
    for (const { row, kind, body = {} } of answers) {
      const what = kind ?? ("value" in body ? KIND.FIELD_SET : KIND.STEP_DONE);
      const content = { job: job.id, kind: what, slot: row.slot, body: job.entryBody(row, what, body) };
      contents.push(content);
      // the first that moves readings moves all of them
      if (moves.length === 0) moves = job.movedBy(row, content).map((due) => ({ job: job.id, ...due }));
    }
    const saved = await this.#app.saveTogether([...contents, ...moves], options);
    if (saved) await this.#saveAlso(job, answers);
    return saved && saved[0];
  }

  /**
   * Saves what one row was answered with, once the answer is painted: of several taps in one frame the last counts, and
   * it alone is an entry.
   * @param {Job} job
   * @param {Object} row
   * @param {{kind?: string, body?: Object}} what
   * @returns {Promise<Object|null>} as save
   */
  saveLast(job, row, what) {
    const due = this.#due.get(row.slot);
    if (due) due.what = what;
    else this.#due.set(row.slot, this.#makeDue(job, row, what));
    return this.#due.get(row.slot).saved;
  }

  /**
   * Saves nothing of what waits for its frame in this row.
   * @returns {boolean} whether what stood before stands then: not while another answer is on its way to the disk
   */
  withdraw({ slot }) {
    const due = this.#due.get(slot);
    if (due) due.what = null;
    return [...this.#onTheWay].every(({ row }) => row.slot !== slot);
  }

  #makeDue(job, row, what) {
    const due = { row, what };
    due.saved = new Promise((resolve, reject) => {
      due.save = afterPaint(() => {
        this.#due.delete(row.slot);
        if (!due.what) return resolve(null);
        this.#onTheWay.add(due);
        return this.save(job, [{ row, ...due.what }]).finally(() => this.#onTheWay.delete(due)).then(resolve, reject);
      });
    });
    return due;
  }

  /** Saves at once what waits for its frame. */
  saveDue() {
    for (const { save } of [...this.#due.values()]) save();
  }

  /** In one saving too: each draws the sheet anew. Rows that one older step stands for say the same of it. */
  async #saveAlso(job, answers) {
    const due = new Map();
    for (const each of answers.flatMap(({ row }) => job.alsoDue(row))) if (!due.has(each.slot))
      due.set(each.slot, { job: job.id, ...each });
    if (due.size > 0) await this.#app.saveTogether([...due.values()], { joined: true });
  }

  /** @returns {string} what Undo would do: which answer goes back to which */
  undoWords(job) {
    const { t, undo } = this.#app;
    const last = undo.peek(job.id);
    if (!last) return "";
    const row = job.row(last.entry.slot);
    if (!row) return t("on-sheet.undo.other");
    const none = t("on-sheet.no-answer");
    const [now, was] = [last.entry, last.content].map((entry) => answerWords(t, row, entry) || none);
    const count = last.joined.filter((slot) => job.row(slot)).length;
    const more = count > 0 ? t("on-sheet.undo.with", { count }) : ""; // first, for the end of the line may be cut
    return t(now === was ? "on-sheet.undo.change" : "on-sheet.undo", { row: rowName(t, row), now, was, more });
  }

  /**
   * Takes the last answer back, also one that is still being saved, unless somebody has answered since. Nothing is
   * erased: what stood there before is written anew.
   * @returns {Promise<string|null>} the slot that it was about; null where nothing was taken back
   */
  undo(job) {
    this.saveDue();
    const undoing = this.#undoing.then(() => this.#undoNow(job));
    this.#undoing = undoing.catch(() => {}); // one that failed stops no later one
    return undoing;
  }

  async #undoNow(job) {
    const { t, undo } = this.#app;
    await this.#app.savesEnded();
    const now = await this.#app.job(job.id);
    const undone = undo.pop(job.id);
    if (!undone) {
      this.#app.say(t("ui.undo.nothing"));
      return null;
    }
    const since = answeredSince(undone, now);
    if (since) {
      this.#app.frame();
      this.#app.say(t("on-sheet.undo.answered-since", { by: since.by }));
      return null;
    }
    for (const [at, { content, saved }] of undone.entries()) {
      if (await this.#app.save(content, { undoable: false, undoes: saved })) continue;
      undo.putBack(undone.slice(at + 1)); // the alarm tries this one again
      return null;
    }
    return job.row(undone.at(-1).entry.slot)?.slot ?? null;
  }
}
