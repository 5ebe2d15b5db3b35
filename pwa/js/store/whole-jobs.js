// Which jobs this phone holds whole: of each it has every entry that the server had up to the phone's place, so what is
// written into it rests on all of it. Of any other job the phone has a line at most, and nothing can be written into
// it. Changed only in the transaction that changes the entries. A job that began here, or was taken in by a rule that
// does not promise as much, is `unproved`: written into like the others, and asked for from its beginning once. Of some
// jobs a part is here, such as what is not sent of one that was erased: they too are asked for.

import { KIND } from "../domain/job/entry.js";
import { STATE_KEY, STORE } from "./names.js";
import { StoreError } from "./store-error.js";

/** The ids as they stand in STATE, with what a transaction makes of them until `put`. */
class Whole {
  #isChanged;

  /** along: jobs that a person took along, and when by the server's time */
  constructor({ jobs, unproved, parts = [], along }, isKept) {
    Object.assign(this, { jobs: new Set(jobs), unproved: new Set(unproved), parts: new Set(parts),
      along: { ...along } });
    this.#isChanged = !isKept;
  }

  /** Of each of these this phone has all that it can know of. */
  addUnproved(jobs) {
    for (const job of jobs) {
      if (this.jobs.has(job)) continue;
      this.jobs.add(job);
      this.unproved.add(job);
      this.parts.delete(job);
      this.#isChanged = true;
    }
  }

  /** Something of it is here; where it is held whole that says nothing. */
  addPart(job) {
    if (this.jobs.has(job) || this.parts.has(job)) return;
    this.parts.add(job);
    this.#isChanged = true;
  }

  /** The server has sent all of it. */
  prove(job) {
    if (this.jobs.has(job) && !this.unproved.has(job)) return;
    this.jobs.add(job);
    for (const ids of [this.unproved, this.parts]) ids.delete(job);
    this.#isChanged = true;
  }

  /** Something may have come that is not here. */
  doubt(job) {
    if (this.unproved.has(job)) return;
    this.unproved.add(job);
    this.#isChanged = true;
  }

  takeAlong(job, ms) {
    this.along[job] = ms;
    this.#isChanged = true;
  }

  /** It has left, or was erased at the desk. */
  forget(job) {
    this.#isChanged ||= this.jobs.has(job) || this.parts.has(job) || job in this.along;
    for (const ids of [this.jobs, this.unproved, this.parts]) ids.delete(job);
    delete this.along[job];
  }

  /** Keeps it, in the transaction that it was read in. */
  put(t) {
    if (!this.#isChanged) return;
    const { jobs, unproved, parts, along } = this;
    t.put(STORE.STATE, { key: STATE_KEY.WHOLE, jobs: [...jobs], unproved: [...unproved], parts: [...parts], along });
    this.#isChanged = false;
  }
}

/** Reads it in a transaction on STATE and SUMMARIES. Of a program that knew no lines all is taken in that is here. */
export async function wholeIn(t) {
  const row = await t.get(STORE.STATE, STATE_KEY.WHOLE);
  if (row) return new Whole(row, true);
  const all = await t.keys(STORE.SUMMARIES);
  return new Whole({ jobs: all, unproved: all, along: {} }, false);
}

/** Whether this job can be opened and written into. */
export async function isHere(database, job) {
  return (await database.read([STORE.STATE, STORE.SUMMARIES], wholeIn)).jobs.has(job);
}

/**
 * Before an entry is written, with `whole` as read in that transaction: its job is held whole, or begins with it. A
 * name that was just made is nobody else's job.
 * Rejects StoreError job-not-here: what rests on a part of a job would supersede what nobody here has seen.
 */
export async function enterJob(t, whole, { job, kind }, isFresh) {
  if (whole.jobs.has(job)) return;
  const begins = (kind === KIND.JOB_OPENED || isFresh) && !(await t.get(STORE.SUMMARIES, job));
  if (!begins) throw new StoreError("job-not-here");
  whole.addUnproved([job]);
  whole.put(t);
}

/**
 * A program that knows nothing of this has been at work here, the one before the first of this sort too: it has pulled
 * by its own rule and may have let go. What is here now is what it held; its position is taken away, so that should it
 * come back it pulls from the beginning rather than believe in holes.
 */
export async function adoptOlder(t) {
  const [row, cursor, place, all] = await Promise.all([
    ...[STATE_KEY.WHOLE, STATE_KEY.CURSOR, STATE_KEY.PLACE].map((key) => t.get(STORE.STATE, key)),
    t.keys(STORE.SUMMARIES),
  ]);
  new Whole({ jobs: all, unproved: all, along: row?.along }, false).put(t);
  if (!place && cursor?.since) t.put(STORE.STATE, { key: STATE_KEY.PLACE, since: cursor.since });
  if (cursor?.since) t.put(STORE.STATE, { ...cursor, since: null });
}
