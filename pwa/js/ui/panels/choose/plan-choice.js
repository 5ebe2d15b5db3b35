/** Runs the choice for a job and remembers it until its readings, windows or wishes change. It draws nothing. */

import { choose, planWith } from "../../../domain/choose/choose.js";
import { buildIndex } from "../../../domain/choose/effect-index.js";
import { beginningOf, wheelsOf } from "../../../domain/job/checklist-slots.js";
import { chooseInputOf } from "../../../domain/job/job.js";
import { fieldOf } from "../../../domain/job/settled.js";
import { SIDES } from "../../../domain/numbers/sides.js";
import { setSuits } from "../../../domain/job/suitability.js";

/** Slot of the ring sets that a person leaves out: {"ids": [...]}. */
export const LEFT_OUT = "rings.left-out";

export class PlanChoice {
  #indexes = new Map();
  #key = null;
  #wanted = null;
  missing = [];
  input = null;
  result = null;
  error = null;
  /** Per ring set: {set, suits, refusals, warnings, missing, error, isLeftOut}. */
  suits = [];
  /** Wheels that stay closed in this round, whatever is in them. */
  closed = [];
  /** Wheels where the pair of an earlier round comes out. */
  old = [];
  estimated = false;
  /** Ring sets that are not chosen from but would reach every window, where those chosen from do not. */
  wouldReach = [];

  #shopSpread;

  /**
   * @param {Array<{id, name, sha256, table, retired?: boolean}>} sets the phone's ring sets
   * @param {object|null} shopSpread the shop's own spreads (domain/job/shop-spread.js)
   */
  constructor(sets, shopSpread) {
    this.#shopSpread = shopSpread;
    this.sets = sets.filter(({ retired }) => !retired);
  }

  /** @returns {{result: Object|null, missing: string[], error: Error|null}} */
  update(job, round) {
    const leftOut = fieldOf(job.fold, LEFT_OUT)?.ids ?? [];
    this.suits = this.sets.map((set) => ({ set, ...setSuits(job.fold, set.table), isLeftOut: leftOut.includes(set.id) }));
    const ids = this.suits.filter(({ suits, isLeftOut }) => suits !== false && !isLeftOut).map(({ set }) => set.id);
    const { input, missing: unread, estimated } = chooseInputOf(job.fold, round, ids, undefined, this.#shopSpread);
    const missing = unread.length === 0 && !hasWindow(input) ? ["windows"] : unread;
    const { open } = beginningOf(job.fold, round);
    const old = wheelsOf(job.fold, round)?.["old-pair"] ?? [];
    const key = JSON.stringify([input, missing]);
    if (key === this.#key) return this;
    this.#key = key;
    Object.assign(this, { missing, estimated, old, closed: open ? SIDES.filter((side) => !open.includes(side)) : [] });
    this.#wanted = input;
    this.input = input;
    if (missing.length > 0) Object.assign(this, { result: null, error: null });
    else this.#run();
    this.wouldReach = this.result?.advice.includes("out-of-reach") ? this.#othersThatReach() : [];
    return this;
  }

  /**
   * The same choice with other aims, at once.
   * @param {{left: number[]|null, right: number[]|null}} aims [camber, toe] in mdeg; null: the middle of the windows
   */
  aim({ left, right }) {
    const { windows } = this.#wanted;
    this.input = { ...this.#wanted, windows: { left: { ...windows.left, aim: left }, right: { ...windows.right, aim: right } } };
    this.#run();
    return this;
  }

  /** The plan that given pairs make: {left: {ring_set, pair}|null, right}. */
  with(fitting) {
    return planWith(this.input, this.tables, fitting);
  }

  /** Tables of the ring sets that are chosen from. */
  get tables() {
    return this.#tablesOf(this.input.ring_sets);
  }

  /** Ring set id -> name of its table, for the entry that records the plan. */
  get hashes() {
    return Object.fromEntries(this.input.ring_sets.map((id) => [id, this.set(id).sha256]));
  }

  /** @returns {Object|undefined} the ring set of an id with its name and table */
  set(id) {
    return this.sets.find((set) => set.id === id);
  }

  #tablesOf(ids) {
    return ids.map((id) => this.set(id).table);
  }

  #run() {
    try {
      Object.assign(this, { result: this.#choose(this.input), error: null });
    } catch (error) {
      Object.assign(this, { result: null, error });
    }
  }

  #choose(input) {
    const tables = this.#tablesOf(input.ring_sets);
    const key = input.ring_sets.join();
    if (!this.#indexes.has(key)) this.#indexes.set(key, buildIndex(tables));
    return choose(input, tables, this.#indexes.get(key));
  }

  #othersThatReach() {
    const others = this.suits.filter(({ set }) => !this.input.ring_sets.includes(set.id));
    return others.filter(({ set }) => {
      const { plans } = this.#choose({ ...this.input, ring_sets: [...this.input.ring_sets, set.id] });
      return plans.some(({ toe_outside: toe, camber_outside: camber }) => toe === 0 && camber === 0);
    });
  }
}

/** Without a single window there is nothing to reach, and every plan would be as good as every other. */
function hasWindow({ windows, axle }) {
  const given = [windows.left.camber, windows.left.toe, windows.right.camber, windows.right.toe, ...Object.values(axle)];
  return given.some((limits) => limits !== null);
}
