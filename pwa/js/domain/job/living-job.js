/**
 * One open job, the single owner of what its entries say: the fold, the rounds, the readings and the rows of the
 * sheets. It changes by one entry at a time; screens read from it and never fold, spell slots or derive rounds
 * themselves. Pure: it stores and shows nothing.
 */

import { asFoundDue, mayMoveReadings } from "./as-found.js";
import { alsoDue } from "./older-phones.js";
import { beginningOf, currentRound, planOf } from "./checklist-slots.js";
import { begunWithIn, KIND } from "./entry.js";
import { entryBody, stepBody } from "./entry-body.js";
import { fittedPairAt, installedPairAt } from "./installed-rings.js";
import { baseOf, chooseInputOf, windowOf, windowsAt } from "./job.js";
import { LivingFold } from "./living-fold.js";
import { agreedReadings } from "./readings.js";
import { partsMissing, stalePlan } from "./plan-still-holds.js";
import { isBegun, isEnding, isHubLoose } from "./round-work.js";
import { fieldOf, settledAt } from "./slot-values.js";
import { placeOf, slotOf, templateOf } from "./sheet-data.js";
import { isLeft, nextOpen, rowsIn, sheetsOf } from "./sheets.js";
import { readingSds } from "./shop-spread.js";
import { SIDES } from "../numbers/sides.js";

const ROUND_IN_FRONT = /^round\.(\d+)\./;
const AXLE_WINDOWS = { total_toe: "window.total-toe", thrust: "window.thrust", cross_camber: "window.cross-camber" };

export class Job {
  #living = new LivingFold();
  #names;
  #derived = new Map();

  /**
   * @param {{id: string, entries?: object[], checklist: object, names?: Object<string, string>}} job checklist: parsed
   *   checklist.json; names of the ring sets, by id
   */
  constructor({ id, entries = [], checklist, names = {} }) {
    this.id = id;
    this.checklist = checklist;
    this.#names = names;
    this.entries = [];
    this.version = 0;
    for (const entry of entries) this.apply(entry);
  }

  /**
   * One step of the fold.
   * @param {object} entry of this job
   * @returns {boolean} whether it was new; what was known already changes nothing
   */
  apply(entry) {
    if (!this.#living.apply(entry)) return false;
    this.entries.push(entry);
    this.#changed();
    return true;
  }

  get names() {
    return this.#names;
  }

  /** Names of the ring sets come when the shop's list has been read. */
  set names(names) {
    this.#names = names;
    this.#changed();
  }

  get fold() {
    return this.#living.state;
  }

  /** @returns {string[]} ids of every live entry, for what a signature covers */
  get liveIds() {
    return this.#living.liveIds;
  }

  /** @returns {number} which checklist began this job */
  get begunWith() {
    return this.#once("begun-with", () => begunWithIn(this.entries));
  }

  get round() {
    return this.#once("round", () => currentRound(this.fold));
  }

  /** @returns {object[]} the sheets of the present round, as sheetsOf gives them */
  get sheets() {
    return this.sheetsIn(this.round);
  }

  /** @returns {object[]} the rows of the present round's sheets in working order */
  get rows() {
    return this.#once("rows", () => rowsIn(this.sheets));
  }

  /** The sheets of any round, for looking back. */
  sheetsIn(round) {
    const at = { round, names: this.#names, begunWith: this.begunWith };
    return this.#once(`sheets ${round}`, () => sheetsOf(this.checklist, this.fold, at));
  }

  /** @returns {object|null} a sheet of the present round, or an earlier round's as it stands now */
  sheet(key) {
    const found = this.sheets.find((sheet) => sheet.key === key);
    return found ?? this.sheetsIn(this.#roundIn(key)).find((sheet) => sheet.key === key) ?? null;
  }

  /** @returns {object|null} a row by its slot, also one of an earlier round */
  row(slot) {
    const found = this.#bySlot(this.round).get(slot);
    return found ?? this.#bySlot(this.#roundIn(slot)).get(slot) ?? null;
  }

  /** The slot of a row, in the present round unless another is named. */
  slotOf(rowId, { wheel = null, round = this.round } = {}) {
    return slotOf(placeOf(templateOf(this.checklist), rowId), { round, wheel });
  }

  /** @returns {object[]} the live entries of a slot; more than one where two phones did not know of each other */
  live(slot) {
    return this.fold.slots[slot] ?? [];
  }

  /** @returns {string[]} what a new entry in this slot supersedes */
  after(slot) {
    return this.live(slot).map(({ id }) => id);
  }

  /** @returns {*} the value of a field; undefined where it is not set or where two people differ */
  field(slot) {
    return fieldOf(this.fold, slot) ?? undefined;
  }

  /** @returns {object|null} the body of the entry of that kind that holds in the slot */
  body(slot, kind) {
    return settledAt(this.fold, slot, kind)?.body ?? null;
  }

  /** @returns {object[]} photos about a slot */
  photos(slot) {
    return this.fold.photos.filter(({ body }) => body.about === slot);
  }

  /** @returns {object|null} the plan-chosen entry of this round; null while there is none, or while people differ */
  get planEntry() {
    return settledAt(this.fold, `round.${this.round}.plan`, KIND.PLAN_CHOSEN);
  }

  /** @returns {object|null} what was planned for a round: the body of its plan */
  planned(round = this.round) {
    return planOf(this.fold, round);
  }

  /** @returns {object|null} what sits at a wheel by what was done there (installed-rings.js) */
  installed(side) {
    // a job of an older program is believed by its plan
    const pairAt = this.begunWith < 2 ? installedPairAt : fittedPairAt;
    return this.#once(`installed ${side}`, () => pairAt(this.fold, side));
  }

  /** @returns {object} how a round was begun: wheels opened, effects taken off, wheels left bare */
  begun(round = this.round) {
    return beginningOf(this.fold, round);
  }

  /** @returns {object} what the wheels had before the rings of a round, as baseOf gives it */
  base(round = this.round, shop = null) {
    const name = `base ${round} ${JSON.stringify(shop)}`;
    return this.#once(name, () => baseOf(this.fold, round, undefined, readingSds(shop)));
  }

  /** @returns {object} means of the readings under a prefix, "base" or "round.1.check", as agreedReadings gives them */
  readings(prefix, shop = null) {
    const name = `readings ${prefix} ${JSON.stringify(shop)}`;
    return this.#once(name, () => agreedReadings(this.fold, prefix, readingSds(shop)));
  }

  /** @returns {{left, right, total_toe, thrust, cross_camber}} windows in mdeg, null where the maker gives none */
  windows() {
    return this.#once("windows", () => ({
      ...Object.fromEntries(SIDES.map((side) => [side, windowsAt(this.fold, side)])),
      ...Object.fromEntries(Object.entries(AXLE_WINDOWS).map(([name, slot]) => [name, windowOf(this.fold, slot)])),
    }));
  }

  /** @returns {{input: object|null, missing: string[], estimated: boolean}} as chooseInputOf */
  chooseInput(ringSets, shop = null) {
    return chooseInputOf(this.fold, this.round, ringSets, this.begun(), shop);
  }

  /** The row that is next after a slot, or the first open one; null when nothing is left. */
  nextOpen(afterSlot = null) {
    return nextOpen(this.rows, afterSlot);
  }

  /** @returns {object[]} required rows neither done nor gone past: what a signed sheet would lack */
  openRows() {
    const isOpen = (row) => isLeft(row) && row.card !== "sign" && !this.#isWhyItEnds(row);
    return this.#once("open", () => this.rows.filter(isOpen));
  }

  /** @returns {object[]} the open holds that nobody may go past, those of earlier rounds first */
  unpassableOpen() {
    const isLethal = ({ hold, passable }) => hold && !passable;
    return [...this.#openOfEarlierRounds(isLethal), ...this.openRows().filter(isLethal)];
  }

  /** @returns {object[]} the plan's row of each round in which something was begun that no single plan speaks for */
  unsettledPlans() {
    if (this.isEnding) return [];
    const isUnsettled = (round) => isBegun(this.fold, round) && this.planned(round) === null;
    return this.#roundsTo(this.round).filter(isUnsettled)
      .map((round) => this.row(this.slotOf("choose.plan", { round })));
  }

  /** What a step-done entry of a row says beside its record, as stepBody gives it. */
  stepBody(row) {
    return stepBody(this, row);
  }

  /** The body of any entry about a row, as entryBody gives it. */
  entryBody(row, kind, body = {}) {
    return entryBody(this, row, kind, body);
  }

  /** @returns {{code: string, changes: object[]}|null} as stalePlan */
  stalePlan(round = this.round) {
    return this.#once(`stale ${round}`, () => stalePlan(this.fold, round));
  }

  /** @returns {string[]} parts that the plan needs and that are not at hand */
  partsMissing(round = this.round) {
    return partsMissing(this.fold, round, { value: this.field(this.slotOf("choose.single-use", { round })) ?? null });
  }

  /**
   * Readings that an answer makes "as found": they are saved with it, for under a corrected pressure no reading may
   * stand that was taken under another.
   * @param {object} row
   * @param {{job: string, kind: string, slot: string, body: object}} content of the answer, not saved yet
   * @returns {{slot: string, kind: string, body: object}[]}
   */
  movedBy(row, content) {
    if (!mayMoveReadings(row)) return [];
    const entry = { ...content, id: "not-saved-yet", by: "", after: this.after(row.slot) };
    return asFoundDue(new Job({ id: this.id, entries: [...this.entries, entry], checklist: this.checklist }), row);
  }

  /**
   * What has still to be written after a row's own entry, in the same breath: what an older phone's holds wait for, and
   * readings that have become "as found" by it.
   * @param {object} row
   * @returns {{slot: string, kind: string, body: object}[]}
   */
  alsoDue(row) {
    return [...alsoDue(this, row), ...asFoundDue(this, row)];
  }

  get isEnding() {
    return isEnding(this.fold);
  }

  /** Where a job ends without rings, what was found before anything was opened is the reason for it. */
  #isWhyItEnds({ round, state }) {
    return this.isEnding && round === null && state === "refused";
  }

  get registration() {
    return this.field("vehicle.registration") ?? "";
  }

  get description() {
    return this.field("vehicle.description") ?? "";
  }

  /** What an earlier round closed stands until a later one opens it: it counts as it stands there now. */
  #openOfEarlierRounds(isWanted) {
    const rowsOf = (round) => this.sheetsIn(round).flatMap(({ rows }) => rows).filter((row) => row.round === round);
    return this.#roundsTo(this.round - 1).flatMap((round) => {
      const later = this.#roundsTo(this.round).slice(round);
      const asked = new Set(later.flatMap(rowsOf).map(({ id, wheel }) => `${id} ${wheel}`));
      const isOpenedSince = ({ sheetId, wheel }) => sheetId === "wheel"
        && later.some((each) => isHubLoose(this.fold, each, wheel));
      return rowsOf(round).filter((row) => isLeft(row) && isWanted(row) && !asked.has(`${row.id} ${row.wheel}`)
        && !isOpenedSince(row));
    });
  }

  #roundsTo(last) {
    return Array.from({ length: last }, (_, n) => n + 1);
  }

  #roundIn(name) {
    return Number(ROUND_IN_FRONT.exec(name)?.[1] ?? 1);
  }

  #bySlot(round) {
    const rows = () => this.sheetsIn(round).flatMap((sheet) => sheet.rows);
    return this.#once(`by slot ${round}`, () => new Map(rows().map((row) => [row.slot, row])));
  }

  #changed() {
    this.version += 1;
    this.#derived.clear();
  }

  /** What is derived is derived once per version, by nobody else. */
  #once(name, derive) {
    if (!this.#derived.has(name)) this.#derived.set(name, derive());
    return this.#derived.get(name);
  }
}
