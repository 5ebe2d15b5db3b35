// What this phone wants beyond what it sends: jobs whole, and lines of the others. It keeps the place among lines for
// one sync, so that a store that takes none holds nothing up.

import { endsAsking } from "./client.js";

/** The server takes twenty; more of them in one answer are too much for a slow phone. */
const MOST_TO_BRING = 10;
const BRING_LIMIT_MS = 60_000;

export class WantedJobs {
  /** Among lines, as the server named it, or null. */
  place = null;
  /** Why a job could not be asked for by itself. */
  trouble = null;
  #session;
  #phone;
  #lines;
  #jobs = [];
  #hasLines = true;
  #tried = new Set(); // the shop does not have them, or does not know what is asked
  #told = new Map(); // job -> its line as it came in this sync, whether it could be kept or not

  static async of(session, phone) {
    const wantedJobs = new WantedJobs(session, phone, await phone.lines());
    wantedJobs.place = (await wantedJobs.renew()).lines;
    return wantedJobs;
  }

  /** @param {import("../store/lines.js").Lines} lines use `WantedJobs.of` */
  constructor(session, phone, lines) {
    this.#session = session;
    this.#phone = phone;
    this.#lines = lines;
  }

  /** Jobs to ask for in the next request. */
  next() {
    return this.#jobs.filter((job) => !this.#tried.has(job)).slice(0, MOST_TO_BRING);
  }

  /** How many jobs are still to be brought. */
  get left() {
    return this.#jobs.length;
  }

  /** An answer has come; it is not applied yet. */
  heard(answer, request) {
    if (answer.results.length > 0) this.#tried.clear(); // what was not there before may be now
    const came = new Set(answer.lines ? answer.whole : []);
    this.#jobs = this.#jobs.filter((job) => !came.has(job));
    const inVain = !answer.lines ? this.#jobs : came.size === 0 ? request.bring : [];
    for (const job of inVain) this.#tried.add(job);
    if (!answer.lines) return;
    this.place = answer.lines_next;
    for (const line of answer.lines) this.#told.set(line.job, line);
  }

  /**
   * Whether what follows this answer has to be asked for from elsewhere: a server that knows lines took the place of
   * one that does not.
   */
  isOff(answer, since) {
    return Boolean(answer.lines) && !this.#hasLines && since !== null;
  }

  /** Keeps the lines of an answer that was applied. @returns {Promise<string[]>} the jobs whose lines came */
  async take(answer, { lines: asked }, { era }) {
    if (!answer.lines || isNothingNew(answer, asked)) return [];
    const isKept = await this.#lines.jobs.take(answer, asked, era)
      .catch((error) => { console.error(error); return false; });
    return isKept ? answer.lines.map(({ job }) => job) : [];
  }

  /** Looks again at what is wanted; of a server that knows no lines, what began elsewhere is fetched first. */
  async renew() {
    const look = () => this.#phone.syncStore.wished(this.#lines, this.#session.serverTime, this.#told);
    let wished = await look();
    const missing = wished.missing.filter((job) => !this.#tried.has(job));
    for (const job of missing) await this.#bring(job);
    if (missing.length > 0) wished = await look();
    this.#jobs = wished.jobs;
    this.#hasLines = wished.hasLines;
    return wished;
  }

  async #bring(job) {
    this.#tried.add(job);
    if (this.trouble && endsAsking(this.trouble)) return;
    try {
      const { entries } = await this.#session.get(`/api/jobs/${job}/entries`, { limitMs: BRING_LIMIT_MS });
      await this.#phone.syncStore.keepJob(job, entries, this.#session.serverTime, { isWished: false });
      await this.#phone.changed([job]);
    } catch (trouble) {
      if (!trouble.problem && !trouble.code) throw trouble;
      this.trouble ??= trouble;
    }
  }
}

function isNothingNew({ lines, lines_next: next, restart }, asked) {
  return lines.length === 0 && !restart && asked?.epoch === next.epoch && asked.at === next.at;
}
