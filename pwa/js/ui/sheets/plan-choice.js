/** Runs the choice for a job and remembers it until its readings, windows or wishes change. It draws nothing. */

import { choose, planWith } from "../../domain/choose/choose.js";
import { mayBeChosen } from "../../domain/choose/choose-input.js";
import { buildIndex } from "../../domain/choose/effect-index.js";
import { beginningOf, wheelsOf } from "../../domain/job/checklist-slots.js";
import { KIND } from "../../domain/job/entry.js";
import { chooseInputOf } from "../../domain/job/job.js";
import { hereFirst, isClearlyBetter } from "../../domain/job/rings-at-hand.js";
import { fieldOf, settledAt } from "../../domain/job/slot-values.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { setSuits } from "../../domain/job/suitability.js";
import { isPutIn, trustOf } from "../../domain/job/untrusted-sets.js";

/** Slot of the ring sets that a person leaves out: {"ids": [...]}. */
export const LEFT_OUT = "rings.left-out";

export class PlanChoice {
  #indexes = new Map();
  #key = null;
  #wanted = null;
  missing = [];
  /** Readings that contradict each other, as disagreeingReadings gives them. */
  disagreeing = [];
  input = null;
  result = null;
  error = null;
  /** Per ring set: {set, suits, refusals, warnings, missing, error, isLeftOut, isPutIn}. */
  suits = [];
  /** Wheels that stay closed in this round, whatever is in them. */
  closed = [];
  /** Wheels where the pair of an earlier round comes out. */
  old = [];
  estimated = false;
  /** Ring sets that are not chosen from but would reach every window, where those chosen from do not. */
  wouldReach = [];
  /** Ring sets that suit and are not chosen from because they are not here. */
  notHere = [];

  #shopSpread;
  #gained = undefined;

  /**
   * @param {Array<{id, name, sha256, table, retired?: boolean}>} sets the phone's ring sets
   * @param {object|null} shopSpread the shop's own spreads (domain/job/shop-spread.js)
   * @param {object|null} [atHand] what lies where this phone works, as ringsAt gives it
   */
  constructor(sets, shopSpread, atHand = null) {
    this.#shopSpread = shopSpread;
    this.atHand = atHand;
    this.sets = sets.filter(({ retired }) => !retired);
  }

  /** @returns {{result: Object|null, missing: string[], error: Error|null}} */
  update(job, round) {
    const leftOut = fieldOf(job.fold, LEFT_OUT)?.ids ?? [];
    this.suits = this.sets.map((set) =>
      ({ set, ...setSuits(job.fold, set.table), isLeftOut: leftOut.includes(set.id),
        isPutIn: isPutIn(job.fold, set) }));
    const suited = this.suits.filter(({ suits, isLeftOut }) => suits !== false && !isLeftOut).map(({ set }) => set);
    const ids = hereFirst(suited.map(({ id }) => id), this.#knownOf(job, round));
    const among = suited.filter(({ id }) => ids.includes(id));
    this.notHere = suited.filter(({ id }) => !ids.includes(id));
    const { input: plain, missing: unread, disagreeing, estimated } = chooseInputOf(job.fold, round, ids, undefined,
      this.#shopSpread);
    const input = plain && { ...plain, ...trustOf(job.fold, among) };
    const missing = unread.length === 0 && !hasWindow(input) ? ["windows"] : unread;
    const { open } = beginningOf(job.fold, round);
    const old = wheelsOf(job.fold, round)?.["old-pair"] ?? [];
    const key = JSON.stringify([input, missing, disagreeing]);
    if (key === this.#key) return this;
    this.#key = key;
    this.#gained = undefined;
    Object.assign(this, { missing, disagreeing, estimated, old,
      closed: open ? SIDES.filter((side) => !open.includes(side)) : [] });
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
    this.#gained = undefined;
    this.input = { ...this.#wanted,
      windows: { left: { ...windows.left, aim: left }, right: { ...windows.right, aim: right } } };
    this.#run();
    return this;
  }

  /** The plan that given pairs make: {left: {ring_set, pair}|null, right}. */
  with(fitting) {
    return planWith(this.input, this.tables, fitting);
  }

  /**
   * @returns {object|null} the best plan with ring sets that are not here too, where it is clearly better than the best
   *   of those that are
   */
  get gainedByOrder() {
    if (this.#gained === undefined) this.#gained = this.#bestOfAll();
    return this.#gained;
  }

  #bestOfAll() {
    const others = this.notHere.filter(({ doubts }) => doubts.length === 0).map(({ id }) => id);
    if (!this.result || others.length === 0) return null;
    const { plans: [best] } = this.#choose({ ...this.input, ring_sets: [...this.input.ring_sets, ...others] });
    return isClearlyBetter(best, this.result.plans[0]) ? best : null;
  }

  #knownOf(job, round) {
    return {
      atHand: this.atHand, isSaid: fieldOf(job.fold, LEFT_OUT) !== undefined,
      putIn: this.suits.filter((each) => each.isPutIn).map(({ set }) => set.id),
      taken: settledAt(job.fold, `round.${round}.plan`, KIND.PLAN_CHOSEN)?.body.input?.ring_sets ?? null,
    };
  }

  /** Tables of the ring sets that are chosen from: an untrusted one only where a person has put it in. */
  get tables() {
    return this.#tablesOf(chosenFrom(this.input));
  }

  /** Ring set id -> name of its table, for the entry that records the plan. */
  get hashes() {
    return Object.fromEntries(chosenFrom(this.input).map((id) => [id, this.set(id).sha256]));
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
    const ids = chosenFrom(input);
    const key = ids.join();
    if (!this.#indexes.has(key)) this.#indexes.set(key, buildIndex(this.#tablesOf(ids)));
    return choose(input, this.#tablesOf(input.ring_sets), this.#indexes.get(key));
  }

  #othersThatReach() {
    const { ring_sets: ids, untrusted = {}, put_in: putIn = [] } = this.input;
    const others = this.suits.filter(({ set }) => !chosenFrom(this.input).includes(set.id));
    return others.filter(({ set: { id, doubts } }) => {
      const withIt = { ring_sets: [...new Set([...ids, id])],
        ...(doubts.length > 0 && { untrusted: { ...untrusted, [id]: doubts }, put_in: [...putIn, id] }) };
      const { plans } = this.#choose({ ...this.input, ...withIt });
      return plans.some(({ toe_outside: toe, camber_outside: camber }) => toe === 0 && camber === 0);
    });
  }
}

/** Ids of the ring sets of an input that a plan may use. */
function chosenFrom(input) {
  return input.ring_sets.filter((id) => mayBeChosen(input, id));
}

/** Without a single window there is nothing to reach, and every plan would be as good as every other. */
function hasWindow({ windows, axle }) {
  const given = [windows.left.camber, windows.left.toe, windows.right.camber, windows.right.toe,
    ...Object.values(axle)];
  return given.some((limits) => limits !== null);
}
