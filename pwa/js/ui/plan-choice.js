/** Runs the choice for a job and remembers it until its readings, windows or wishes change. It draws nothing. */

import { buildIndex, choose } from "../domain/choose.js";
import { chooseInputOf } from "../domain/job.js";

export class PlanChoice {
  #tables;
  #index;
  #key = null;
  missing = [];
  input = null;
  result = null;
  error = null;

  /** @param {Array<{id, name, sha256, table, retired?: boolean}>} sets the phone's ring sets */
  constructor(sets) {
    this.sets = sets.filter(({ retired }) => !retired);
    this.#tables = this.sets.map(({ table }) => table);
    this.#index = buildIndex(this.#tables);
    /** Ring set id -> name of its table, for the entry that records the plan. */
    this.hashes = Object.fromEntries(this.sets.map(({ id, sha256 }) => [id, sha256]));
  }

  /** @returns {{result: Object|null, missing: string[], error: Error|null}} */
  update(job, round) {
    const { input, missing: unread } = chooseInputOf(job.fold, round, this.sets.map(({ id }) => id));
    const missing = unread.length === 0 && !hasWindow(input) ? ["windows"] : unread;
    const key = JSON.stringify([input, missing]);
    if (key === this.#key) return this;
    Object.assign(this, { input, missing, result: null, error: null });
    this.#key = key;
    if (missing.length > 0) return this;
    try {
      this.result = choose(input, this.#tables, this.#index);
    } catch (error) {
      this.error = error;
    }
    return this;
  }

  get tables() {
    return this.#tables;
  }

  /** @returns {Object|undefined} the ring set of an id with its name and table */
  set(id) {
    return this.sets.find((set) => set.id === id);
  }
}

/** Without a single window there is nothing to reach, and every plan would be as good as every other. */
function hasWindow({ windows, axle }) {
  const given = [windows.left.camber, windows.left.toe, windows.right.camber, windows.right.toe, ...Object.values(axle)];
  return given.some((limits) => limits !== null);
}
