/**
 * One job as the screens see it: its entries, their fold, its steps, and short questions about them.
 * It is made anew after each change and never changes itself.
 */

import { currentRound } from "../domain/job/checklist-slots.js";
import { KIND } from "../domain/job/entry.js";
import { fold } from "../domain/job/fold.js";
import { nextStep, stageStates, stepsOf } from "../domain/job/checklist.js";
import { fieldOf, settledAt } from "../domain/job/settled.js";

export class JobModel {
  #stages = null;

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

  /** @returns {Object[]} the live entries of a slot; more than one where two phones answered without knowing of each other */
  live(slot) {
    return this.fold.slots[slot] ?? [];
  }

  /** @returns {*} the value of a field, undefined where it is not set or where two people differ */
  field(slot) {
    return fieldOf(this.fold, slot) ?? undefined;
  }

  /** @returns {Object|null} the body of the entry of that kind that holds in the slot */
  body(slot, kind) {
    return settledAt(this.fold, slot, kind)?.body ?? null;
  }

  step(slot) {
    return this.steps.find((step) => step.slot === slot) ?? null;
  }

  /** How many required steps of a stage are still to be done, those among them that only an answer to come can bring. */
  left(stage) {
    this.#stages ??= stageStates(this.checklist, this.fold); // bars are shown anew with every key
    return this.#stages.find(({ id }) => id === stage).left;
  }

  /** The step that is next after a slot, or the first open one. */
  next(slot = null) {
    return nextStep(this.checklist, this.fold, slot, { names: this.names });
  }

  /** @returns {Object|null} the plan-chosen entry of this round; null while there is none, or while people differ about it */
  get planEntry() {
    return settledAt(this.fold, `round.${currentRound(this.fold)}.plan`, KIND.PLAN_CHOSEN);
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
