/**
 * The choice of the Plan sheet, held once for all its cards: which ring sets suit, the plans, the one that somebody
 * tries, moved aims, and taking a plan. It draws nothing; cards listen and draw.
 */

import { neededBy } from "../../domain/job/bolt-length.js";
import { KIND } from "../../domain/job/entry.js";
import { isAlike, isPlanCurrent } from "../../domain/job/plan-current.js";
import { alsoTaken, ringsAt } from "../../domain/job/rings-at-hand.js";
import { RINGS_FROM } from "../../domain/job/rings-taken.js";
import { SHOP_SPREAD } from "../../domain/job/shop-spread.js";
import { pairSuits } from "../../domain/job/suitability.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { Draft } from "../parts/draft.js";
import { codesOf } from "./fit-words.js";
import { PlanChoice } from "./plan-choice.js";

const MODELS = new WeakMap();

export class PlanModel {
  #context;
  #choice = null;
  #listeners = [];
  #version = null;
  #aims = null;
  #aimsDraft;
  #tried = null;
  #list = null;
  #jobs = [];

  /** The one model of the open sheet. */
  static of(context, row) {
    if (!MODELS.has(context.screen)) MODELS.set(context.screen, new PlanModel(context, row));
    return MODELS.get(context.screen);
  }

  constructor(context, row) {
    this.#context = context;
    this.round = row.round;
    this.slot = context.job.slotOf("choose.plan", { round: row.round });
    this.#aimsDraft = new Draft(context.app.phone, `aims.${context.job.id}`);
    this.ready = this.#prepare();
  }

  async #prepare() {
    const { phone } = this.#context.app;
    const [sets, spread, aims, list] = await Promise.all([
      phone.ringSets(), phone.setting(SHOP_SPREAD), this.#aimsDraft.read(),
      phone.lines().then((lines) => lines.list("at-hand")).catch(() => null),
    ]);
    this.shopSpread = spread ?? null;
    this.#list = list;
    this.#choice = new PlanChoice(sets, spread);
    this.#aims = aims;
    this.#changed();
    if (list) this.#lookAtOthers(phone).catch(() => {}); // the plan never waits for it
  }

  async #lookAtOthers(phone) {
    this.#jobs = (await phone.jobs()).filter(({ isPart }) => !isPart);
    if (this.alsoTaken.size > 0) this.#changed();
  }

  /** `draw` is called when the model has come and after each change that no entry says. */
  onChange(draw) {
    this.#listeners.push(draw);
  }

  /** @returns {PlanChoice|null} for the job as it is now; null until the ring sets have been read */
  get choice() {
    const { job } = this.#context;
    if (!this.#choice || job.version === this.#version) return this.#choice;
    this.#version = job.version;
    const before = JSON.stringify(this.#choice.input);
    if (this.begun.among) return this.#choice;
    this.#choice.atHand = ringsAt(this.#list, this.ringsFrom);
    this.#choice.update(job, this.round);
    if (this.#aims && this.#choice.missing.length === 0) this.#choice.aim(this.#aims);
    if (JSON.stringify(this.#choice.input) !== before) this.#tried = null;
    return this.#choice;
  }

  /** Places where ring sets lie, as the shop names them. */
  get places() {
    return this.#list?.places ?? [];
  }

  /** @returns {string} id of the place that the rings of this job come from: said in it, else this phone's own */
  get ringsFrom() {
    const { job, app: { settings } } = this.#context;
    return job.field(RINGS_FROM)?.place ?? settings.get("rings_place");
  }

  /** What other jobs on this phone take from there (domain/job/rings-at-hand.js). */
  get alsoTaken() {
    return alsoTaken(this.#jobs, { job: this.#context.job.id, place: this.ringsFrom });
  }

  /** How this round was begun (domain/job/rounds.js). */
  get begun() {
    return this.#context.job.begun(this.round);
  }

  /** @returns {boolean} whether there are plans to show */
  get hasPlans() {
    const choice = this.choice;
    return Boolean(choice && !this.begun.among && choice.missing.length === 0 && choice.result);
  }

  get best() {
    return this.choice.result.plans[0];
  }

  /** The plan that is on the table: chosen, else tried, else recommended. */
  get shown() {
    return this.#tried ?? (this.chosen && this.isCurrent ? this.chosen.plan : this.best);
  }

  get tried() {
    return this.#tried;
  }

  /** @returns {Object|null} body of the plan-chosen entry */
  get chosen() {
    return this.#context.job.body(this.slot, KIND.PLAN_CHOSEN);
  }

  /** Parts that this plan asks for; what nobody can compute asks for none. */
  #needs(plan) {
    try {
      return neededBy(this.#context.job.fold, this.round, plan, (id) => this.choice.set(id)?.table.ring_set);
    } catch {
      return []; // a typed number that cannot be meant is said where the bolts are
    }
  }

  get isCurrent() {
    return isPlanCurrent(this.chosen, this.choice.input, this.round);
  }

  isChosen(plan) {
    return Boolean(this.chosen) && this.isCurrent && isAlike(this.chosen.plan, plan);
  }

  /** What refuses each wheel's pair on this axle. */
  refusals(plan) {
    const { fold } = this.#context.job;
    return Object.fromEntries(SIDES.map((side) => {
      const ringSet = plan[side] && this.choice.set(plan[side].ring_set).table.ring_set;
      return [side, ringSet ? codesOf(pairSuits(fold, side, ringSet, plan[side].pair).refusals) : []];
    }));
  }

  /** A point of a map: the plan with that pair; the other wheel stays as it is shown. */
  try(side, { ring_set, pair }) {
    if (this.choice.closed.includes(side) || this.begun.bare?.includes(side)) return;
    this.#tried = this.choice.with({ ...this.shown, [side]: { ring_set, pair } });
    this.#changed();
  }

  get aims() {
    return this.#aims ?? Object.fromEntries(SIDES.map((side) => [side, this.choice.input.windows[side].aim]));
  }

  /** Moved aims show at once; they are kept as a draft, and on the sheet with the plan that is taken. */
  aimAt(aims) {
    this.#aims = aims;
    setTimeout(() => this.#aimsDraft.write(aims)); // the plan is seen first
    this.choice.aim(aims);
    this.#tried = null;
    this.#changed();
  }

  /** @returns {Promise<Object|null>} the entry */
  async take(plan) {
    const { save } = this.#context;
    const { input, result, hashes } = this.choice;
    const { open, less, bare } = this.begun;
    if (!(await this.#keepAims())) return null;
    const body = { plan, input, tables: hashes, advice: result.advice, recommended: plan === result.plans[0],
      needs: this.#needs(plan), ...(open && { open, less }), ...(bare && { bare }) };
    this.#tried = null;
    const isNamed = plan.pairs > 0 && (await this.#nameThePlace()) !== null;
    return save({ slot: this.slot }, { kind: KIND.PLAN_CHOSEN, body }, { joined: isNamed });
  }

  /** Where the rings come from, for the shop's count; what a person has said stays. */
  #nameThePlace() {
    const { save, job } = this.#context;
    const { atHand } = this.choice;
    if (!atHand || job.live(RINGS_FROM).length > 0) return null;
    return save({ slot: RINGS_FROM }, { body: { value: { place: atHand.place.id } } });
  }

  async #keepAims() {
    const { save, job } = this.#context;
    const moved = SIDES.filter((side) => this.#aims && !isAlike(this.#aims[side], job.field(`aim.${side}`) ?? null));
    for (const side of moved) {
      if (!(await save({ slot: `aim.${side}` }, { body: { value: this.#aims[side] } }))) return false;
    }
    this.#aims = null;
    await this.#aimsDraft.drop();
    return true;
  }

  #changed() {
    for (const draw of this.#listeners) draw();
  }
}
