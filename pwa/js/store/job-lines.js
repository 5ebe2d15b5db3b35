// The lines of the shop's jobs, as the server derives them: what the list shows of a job that is not here. They prove
// nothing and are never sent; where they cannot be kept they come again.

import { FITTINGS_PLACE, LINES_INDEX, LINES_PLACE, LINES_STORE } from "./names.js";
import { packedId } from "./packed-id.js";
import { isSamePlace } from "./sync-place.js";

const { FITTINGS, LINES, STATE } = LINES_STORE;

export class JobLines {
  #read;
  #write;
  #open = { place: null, lines: new Map() }; // as of that place: an answer moves few lines, and all of them are many

  /** @param {{read: function, write: function}} database as Lines has them: a read that fails gives null */
  constructor({ read, write }) {
    this.#read = read;
    this.#write = write;
  }

  /** @returns {Promise<object|null>} up to where lines of this era have come, as the server named it; null: nowhere */
  async place(era) {
    const row = await this.#read([STATE], (t) => t.get(STATE, LINES_PLACE));
    return row && row.era === era ? row.place : null;
  }

  /**
   * @returns {Promise<object[]>} {job, at, state, registration, vehicle, conflicts, changed_ms, last_seq} of every job
   */
  async all() {
    return (await this.#read([LINES], (t) => t.all(LINES))) ?? [];
  }

  /** Those of open jobs. */
  async open() {
    const row = await this.#read([STATE], (t) => t.get(STATE, LINES_PLACE));
    if (!row) return [];
    if (!this.#isKnown(row)) {
      const read = await this.#read([LINES, STATE],
        (t) => Promise.all([t.get(STATE, LINES_PLACE), t.allByIndex(LINES, LINES_INDEX.LINES_BY_STATE, "open")]));
      if (!read) return [];
      this.#open = { place: read[0], lines: new Map(read[1].map((line) => [line.job, line])) };
    }
    return [...this.#open.lines.values()];
  }

  #isKnown(row) {
    return this.#open.place?.era === row.era && isSamePlace(this.#open.place.place, row.place);
  }

  /** @returns {Promise<object|null>} that of one job */
  async one(job) {
    return (await this.#read([LINES], (t) => t.get(LINES, job))) ?? null;
  }

  /**
   * @returns {Promise<{place: object|null, lines: Map<string, object>}>} those that there are, by job, with the place
   *   of this era
   */
  async of(jobs, era) {
    const rows = (await this.#read([LINES, STATE],
      (t) => Promise.all([t.get(STATE, LINES_PLACE), ...jobs.map((job) => t.get(LINES, job))]))) ?? [null];
    const [place, ...lines] = rows;
    return { place: place?.era === era ? place.place : null,
      lines: new Map(lines.filter(Boolean).map((line) => [line.job, line])) };
  }

  /**
   * Takes the lines of an answer. Those of another era or epoch go first, and where the server begins anew also what it
   * told of vehicles.
   * @param {{epoch: string, at: number}|null} asked the place that the request named
   * @returns {Promise<boolean>} whether any came; false too where they do not follow what is here: they come again
   */
  async take({ lines, lines_next: next, restart }, asked, era) {
    const row = { key: LINES_PLACE, place: next, era };
    const taken = await this.#write([LINES, FITTINGS, STATE], async (t) => {
      const before = await t.get(STATE, LINES_PLACE);
      const isAnew = asked === null || restart;
      const follows = before?.era === era && isSamePlace(before.place, asked);
      if (!isAnew && !follows) return false;
      if (restart) {
        t.clear(FITTINGS);
        t.delete(STATE, FITTINGS_PLACE);
      }
      const isOther = isAnew || before.place.epoch !== next.epoch;
      if (isOther) t.clear(LINES);
      for (const line of lines) putLine(t, line);
      t.put(STATE, row);
      return { before: isOther ? null : before };
    });
    if (taken?.before && this.#isKnown(taken.before)) this.#move(lines, row);
    return Boolean(taken);
  }

  #move(lines, place) {
    for (const line of lines) {
      if (line.state === "open") this.#open.lines.set(line.job, line);
      else this.#open.lines.delete(line.job);
    }
    this.#open.place = place;
  }

  /** Lets go of lines of closed jobs that nobody looks for any more; a job that is here needs its own. */
  letGo(beforeMs, here) {
    return this.#write([LINES], async (t) => {
      const old = (await t.all(LINES)).filter(({ job, state, changed_ms: changedMs }) => state !== "open"
        && changedMs < beforeMs && !here.has(job));
      for (const { job } of old) t.delete(LINES, job);
      return old.length;
    });
  }
}

/** Of an erased job nothing stays, not even that it was. */
function putLine(t, line) {
  if (line.state !== "erased") return t.put(LINES, line);
  t.delete(FITTINGS, packedId(line.job));
  t.delete(LINES, line.job);
  return undefined;
}
