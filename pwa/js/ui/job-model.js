/**
 * One job as the screens see it: its entries, their fold, its steps, and short questions about them.
 * It is made anew after each change and never changes itself.
 */

import { KIND } from "../domain/entry.js";
import { fold } from "../domain/fold.js";
import { currentRound, nextStep, stepsOf } from "../domain/checklist.js";

export class JobModel {
  /**
   * @param {string} id
   * @param {Object[]} entries of this job
   * @param {Object} checklist parsed checklist.json
   * @param {Object<string, string>} [names] of the ring sets, by id
   */
  constructor(id, entries, checklist, names = {}) {
    this.id = id;
    this.entries = entries;
    this.checklist = checklist;
    this.names = names;
    this.fold = fold(entries);
    this.steps = stepsOf(checklist, this.fold, { names });
  }

  /** @returns {Object[]} the live entries of a slot; more than one means that two people differ */
  live(slot) {
    return this.fold.slots[slot] ?? [];
  }

  /** @returns {*} the value of a field, undefined where it is not set or where two people differ */
  field(slot) {
    const [entry, ...others] = this.live(slot).filter(({ kind }) => kind === KIND.FIELD_SET);
    return entry && others.length === 0 ? entry.body.value ?? undefined : undefined;
  }

  /** @returns {Object|null} the body of the only live entry of that kind in the slot */
  body(slot, kind) {
    const live = this.live(slot);
    return live.length === 1 && live[0].kind === kind ? live[0].body : null;
  }

  step(slot) {
    return this.steps.find((step) => step.slot === slot) ?? null;
  }

  /** The step that is next after a slot, or the first open one. */
  next(slot = null) {
    return nextStep(this.checklist, this.fold, slot);
  }

  /** @returns {Object|null} the plan-chosen entry of this round; null while there is none, or while people differ about it */
  get planEntry() {
    const live = this.live(`round.${currentRound(this.fold)}.plan`);
    return live.length === 1 && live[0].kind === KIND.PLAN_CHOSEN ? live[0] : null;
  }

  /** @returns {Object[]} photos about a slot */
  photos(slot) {
    return this.fold.photos.filter(({ body }) => body.about === slot);
  }

  get registration() {
    return this.field("vehicle.registration") ?? "";
  }

  get description() {
    return this.field("vehicle.description") ?? "";
  }
}
