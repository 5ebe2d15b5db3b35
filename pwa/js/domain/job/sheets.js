// The sheets of a job: which rows there are, what state each is in, what holds or refuses what follows.
// Pure: it reads the sheets' data (pwa/checklist.json) and the job's fold, and neither stores nor shows anything.

import { allHold, mayHold } from "./checklist-conditions.js";
import { currentRound } from "./checklist-slots.js";
import { answerInto } from "./row-answers.js";
import { applies, NO_PARAMS, sceneOf, wheelsBeside } from "./row-applies.js";
import { fitSlot, hasTakeOut, isEnding, isOpened, TAKE_OUT } from "./round-work.js";
import { pictureSlot } from "./picture-reading.js";
import { dataOf, placeOf, slotOf, templateOf } from "./sheet-data.js";
import { SIDES } from "../numbers/sides.js";

/** Rings that sit at the axle are got ready only once they are out. */
const OLD_PAIR_OUT = "fit.pair-out";
const LOWERED = "fit.lowered";
const PLAN = "choose.plan";
/** Holds of a vehicle that stands off the ground. */
export const SUPPORT = ["fit.chocked", "fit.supported"];
/** The sheets that taking old rings out needs: of the plan only what every work at the wheels asks for. */
const TAKE_OUT_SHEETS = ["plan", "lift", "wheel", "down"];

/**
 * The sheets of a job in working order, those that neither apply nor may come left out.
 * @param {object} checklist parsed checklist.json
 * @param {object} fold of the job
 * @param {{round?: number, names?: Object<string, string>, begunWith?: number}} [at] the current round unless given;
 *   names of the ring sets by id; which checklist began the job
 * @returns {object[]} {key, id, wheel, round: number|null, number, place, state:
 *   "done"|"open"|"held"|"refused"|"waiting", left, rows, pauses: [{id: string|null, goingIn: string[], rows, state,
 *   left}]}. held: all that is left waits for a hold; waiting: there is no plan yet. `left` counts required rows that
 *   are open (isLeft), those among them that only an answer still to be given can bring: it never rises by an answer,
 *   and the pauses' come to the sheet's. A row reads as its data (by getters: it is not to be spread) and {key, slot,
 *   sheet, pause, wheel, round, optionSet, options, params, isOfPair, state:
 *   "done"|"open"|"locked"|"overridden"|"refused", lockedBy: slot|null, lockedFor:
 *   "hold"|"refusal"|"open"|"settle"|null (open: the vehicle is not lowered past a row that is; settle: two plans of
 *   the round differ), canPass, conflict, value, entry, refusal, warning, unusual, stamp}
 */
export function sheetsOf(checklist, fold,
    { round = currentRound(fold), names = {}, begunWith = checklist.checklist } = {}) {
  const { sheets, rows } = expanded(checklist, fold, round, { names, begunWith });
  const photos = bySlot(fold.photos);
  for (const row of rows) answerInto(row, fold, { photos, begunWith });
  withVerdict(rows);
  for (const at of new Set(rows.map((row) => row.round))) if (at !== null) withLifting(rows, fold, at);
  withLocks(rows, isEnding(fold));
  for (const row of rows) finishRow(row, fold, photos);
  const shown = sheets.filter(({ rows: own, mayCome }) => own.length > 0 || mayCome > 0);
  return shown.map((sheet, k) => asShown(sheet, k + 1));
}

/** @returns {object[]} the rows of these sheets, in the order in which the work goes through them */
export function rowsIn(sheets) {
  return sheets.flatMap(({ rows }) => rows).sort((a, b) => a.order - b.order);
}

/**
 * The row to do next: the first open one after a slot (required or not), else the first open one that is required, else
 * the first that was answered with a refusal: its answer is changed, or the job is stopped.
 * @param {object[]} rows in working order
 * @param {string|null} [after] slot of the row that was just done
 */
export function nextOpen(rows, after = null) {
  const following = rows.slice(rows.findIndex(({ slot }) => slot === after) + 1);
  const isOpen = ({ state, isAsked }) => state === "open" && isAsked;
  return (after !== null && following.find(isOpen))
    || rows.find((row) => row.required && isOpen(row))
    || rows.find(({ state }) => state === "refused")
    || null;
}

/** @returns {boolean} whether a row counts wherever it is said how many are open: the verdict follows from others */
export function isLeft(row) {
  return row.required && row.card !== "verdict" && !isConfirmed(row);
}

/** @returns {boolean} whether a row is confirmed, or somebody went past it */
function isConfirmed({ state }) {
  return state === "done" || state === "overridden";
}

function bySlot(photos) {
  const found = new Map();
  for (const photo of photos) found.set(photo.body.about, [...(found.get(photo.body.about) ?? []), photo]);
  return found;
}

/** Every sheet with the rows that apply now, and in `rows` all of them in working order. */
function expanded(checklist, fold, round, known) {
  const template = templateOf(checklist);
  const sheets = [];
  let place = 0;
  for (const { sheet, at } of inOrder(template, fold, round)) {
    const scene = sceneOf(template, fold, at, known);
    const sides = SIDES.filter((side) => !scene.work || scene.work.work.includes(side));
    const wheels = sheet.per === "wheel" ? sides : [null];
    for (const wheel of wheels) {
      const made = {
        id: sheet.id, key: keyOf(sheet, at, wheel), place: sheet.place ?? null, wheel, round: sheet.rounds ? at : null,
        isWaiting: sheet.needsPlan && !scene.work, rows: [], pauses: [], mayCome: 0,
      };
      for (const pause of sheet.pauses) {
        const own = { id: pause.id, goingIn: pause.goingIn, rows: [], mayCome: 0 };
        for (const entry of pause.rows) addRows(made, own, entry, { sheet, wheel, scene, place });
        made.pauses.push(own);
        place += 1;
      }
      sheets.push(made);
    }
  }
  const rows = benchAfterOldPair(sheets.flatMap((sheet) => sheet.rows), sheets);
  rows.forEach((row, k) => { row.order = k; });
  return { sheets: sheets.sort((a, b) => orderOf(a) - orderOf(b)), rows };
}

/** Sheets that have no rows yet stand where they are listed. */
function orderOf({ rows, listed }) {
  return rows[0]?.order ?? listed;
}

/** Each sheet of the data with the round that it is expanded for. */
function inOrder({ sheets }, fold, round) {
  const first = sheets.findIndex(({ rounds }) => rounds);
  const at = (list, number) => list.map((sheet) => ({ sheet, at: number }));
  if (!hasTakeOut(fold)) return at(sheets, round);
  const takeOut = sheets.filter(({ id }) => TAKE_OUT_SHEETS.includes(id));
  // once a wheel is off, the vehicle is read anew only when it stands on its wheels again
  const isBegun = SIDES.some((side) => isOpened(fold, TAKE_OUT, side));
  const again = sheets.slice(0, first).filter(({ id }) => isBegun && id === "readings");
  const before = sheets.slice(0, first).filter((sheet) => !again.includes(sheet));
  return [...at(before, round), ...at(takeOut, TAKE_OUT), ...at(again, round), ...at(sheets.slice(first), round)];
}

function keyOf(sheet, round, wheel) {
  return `${sheet.rounds && round !== 1 ? `round.${round}.` : ""}${sheet.id}${wheel ? `.${wheel}` : ""}`;
}

function addRows(sheet, pause, entry, { sheet: data, wheel, scene, place }) {
  const wheels = wheel === null && entry.isPerWheel ? wheelsBeside(entry, scene) : [wheel];
  for (const side of wheels) {
    const facts = scene.facts.get(side);
    if (applies(data, entry, side, scene, facts, allHold)) {
      const row = rowOf(sheet, pause, entry, { side, scene, place });
      sheet.rows.push(row);
      pause.rows.push(row);
    } else if (dataOf(entry, scene.begunWith).required && applies(data, entry, side, scene, facts, mayHold)) {
      sheet.mayCome += 1;
      pause.mayCome += 1;
    }
  }
}

function rowOf(sheet, pause, entry, { side, scene, place }) {
  const { isInRounds } = entry;
  const { Row } = scene.template;
  const data = dataOf(entry, scene.begunWith);
  const row = new Row(data, slotOf(entry, { round: scene.round, wheel: side }), sheet.key, pause.id, place);
  row.wheel = side;
  row.round = isInRounds || sheet.round !== null ? scene.round : null;
  row.params = side === null ? NO_PARAMS : scene.params.get(side);
  row.isOfPair = side !== null && isInRounds && (entry.isOfPair || scene.isReopened.get(side));
  row.alsoSlots = entry.row.also.map((id) => slotOf(placeOf(scene.template, id), { round: scene.round, wheel: side }));
  return row;
}

/** Where an old pair comes out in this round, getting the rings ready follows that: they may be the same rings. */
function benchAfterOldPair(rows, sheets) {
  let result = rows;
  sheets.forEach((sheet, k) => { sheet.listed = sheet.rows.length > 0 ? null : rowsBefore(sheets, k); });
  for (const bench of sheets.filter(({ id }) => id === "bench")) {
    const isHere = ({ wheel, round }) => wheel === bench.wheel && round === bench.round;
    const out = result.findIndex((row) => row.id === OLD_PAIR_OUT && isHere(row));
    if (out < 0) continue;
    const own = new Set(bench.rows);
    const others = result.filter((row) => !own.has(row));
    const at = others.indexOf(result[out]) + 1;
    result = [...others.slice(0, at), ...bench.rows, ...others.slice(at)];
  }
  return result;
}

function rowsBefore(sheets, k) {
  return sheets.slice(0, k).reduce((count, { rows }) => count + rows.length, 0) - 0.5;
}

/** "Can rings go in here" has no entry of its own: every question behind it is answered, and none refuses. */
function withVerdict(rows) {
  const verdict = rows.find(({ card }) => card === "verdict");
  if (verdict) verdict.done = rows.filter(({ gate }) => gate).every((row) => row.done);
}

/**
 * What was confirmed of one lifting of the vehicle holds for no other. A row on the way down names the support that it
 * ends; once the vehicle is down and something at its wheels is open again, it is chocked and supported anew, and then
 * let down anew.
 */
function withLifting(rows, fold, round) {
  const own = rows.filter((row) => row.round === round);
  const support = fold.slots[fitSlot(round, "supported")]?.[0];
  for (const row of own) {
    const lift = row.sheetId === "down" ? row.entry?.body.lift : undefined;
    if (lift !== undefined && support && lift !== support.id) row.done = false;
  }
  const lowered = own.find(({ id }) => id === LOWERED);
  const isOpen = (row) => row.sheetId === "wheel" && row.required && !row.done && !row.overridden;
  if (!lowered?.done || !own.some(isOpen)) return;
  for (const row of own) if (SUPPORT.includes(row.id) && row.entry?.body.lowered !== lowered.entry.id) row.done = false;
}

function withLocks(rows, isAtEnd) {
  const locks = [];
  let reached = 0; // bench work that waits for the old pair is as far in the job as what stands before it
  for (const row of rows) {
    reached = Math.max(reached, row.place);
    const lock = settleFirst(rows, row) ?? locks.find((candidate) => isLockedBy(candidate, row, reached))
      ?? WAITS_FOR[row.id]?.(rows, row);
    row.state = stateOf(row, lock);
    row.lockedBy = lock?.slot ?? null;
    row.lockedFor = lock?.why ?? null;
    addLocks(locks, row, isAtEnd);
  }
}

/**
 * While two plans of a round differ there is none, and a wheel that is open would be asked to close without rings, over
 * rings that are in. Nothing is done there before a person has said which plan holds.
 */
function settleFirst(rows, { sheetId, round }) {
  const plan = sheetId === "wheel" && rows.find((row) => row.id === PLAN && row.round === round);
  return plan?.conflict ? { why: "settle", slot: plan.slot } : null;
}

/** Done while the wheels stand on the ground. */
const ON_THE_GROUND = ["fit.eased", "fit.axle-nut-eased", "fit.parking-mode", "fit.suspension-mode",
  "fit.brake-released", "fit.key-away"];

/** Rows that wait for others which are no holds: the first of them that is open. */
const WAITS_FOR = {
  "fit.supported": (rows, { round }) => waitFor(rows, (row) => ON_THE_GROUND.includes(row.id) && row.round === round),
  // nobody lowers a vehicle with something open at a wheel: it would be lifted again for that
  [LOWERED]: (rows, { round }) => {
    return waitFor(rows, (row) => row.sheetId === "wheel" && row.round === round && row.required);
  },
  // what old rings do is read before anybody agrees to take them out
  "vehicle.removal-agreed": (rows, { order }) => {
    return waitFor(rows, (row) => row.id === "base.readings" && row.order < order);
  },
};

function waitFor(rows, isWanted) {
  const open = rows.find((row) => isWanted(row) && !isConfirmed(row));
  return open && { why: "open", slot: open.slot };
}

function stateOf({ refusal, overridden, done }, lock) {
  if (refusal) return "refused";
  if (overridden) return "overridden";
  if (done) return "done";
  return lock ? "locked" : "open";
}

/**
 * What an unconfirmed hold or a refusal keeps from being done. A refusal leaves the rest of its own sheet or pause to
 * be answered.
 */
function addLocks(locks, { hold, holds, state, slot, wheel, refusal, place, round }, isAtEnd) {
  if (isAtEnd && round === null) return; // why a job ends here keeps nobody from closing the vehicle
  if (refusal) locks.push({ why: "refusal", slot, wheel, fromPlace: place + 1, toPlace: Infinity });
  // a hold of its sheet alone lets go where the vehicle stands on its wheels again
  const toPlace = holds === "sheet" ? place : Infinity;
  const why = refusal ? "refusal" : "hold";
  if (hold && !isConfirmed({ state })) locks.push({ why, slot, wheel, fromPlace: place, toPlace });
}

/**
 * Two wheels can be worked on at once: a hold, or a refusal such as a cracked ring, at one does not keep the other
 * waiting. Rows of the whole vehicle wait for both, so that it is neither lifted nor lowered past either.
 */
function isLockedBy(lock, row, reached) {
  const sameWheel = lock.wheel === null || row.wheel === null || lock.wheel === row.wheel;
  return sameWheel && reached >= lock.fromPlace && reached <= lock.toPlace;
}

function finishRow(row, fold, photos) {
  const { hold, passable, state, card, warning } = row;
  // nobody but the customer can say yes; whether that yes covers a changed plan, a technician may know
  row.canPass = hold && passable && state === "open" && (card !== "consent" || warning !== null);
  row.unusual = isUnusual(row);
  row.stamp = stampOf(row, fold, photos);
}

/** What a shut line names: whatever is not the usual answer. */
function isUnusual({ usual, value, conflict, state, warning, type }) {
  if (conflict || warning !== null || state === "refused" || state === "overridden") return true;
  return type === "choice" && usual !== undefined && value !== null && value !== usual;
}

/** Differs whenever anything differs that a row may show of itself. */
function stampOf({ slot, state, lockedBy, warning, params, conflict, torques }, fold, photos) {
  const shown = torques.flatMap((each) => fold.slots[each] ?? []);
  const taken = photos.get(slot) ?? [];
  const read = taken.flatMap(({ id }) => fold.slots[pictureSlot(slot, id)] ?? []);
  const ids = [...(fold.slots[slot] ?? []), ...shown, ...taken, ...read].map(({ id }) => id).join();
  const pair = params === NO_PARAMS ? "" : `${params.ringSet} ${params.inner} ${params.outer}`;
  return `${state} ${lockedBy} ${warning} ${conflict} ${ids} ${pair}`;
}

function asShown(sheet, number) {
  const { rows, pauses, isWaiting } = sheet;
  return {
    key: sheet.key, id: sheet.id, wheel: sheet.wheel, round: sheet.round, number, place: sheet.place, rows,
    state: isWaiting && rows.every((row) => row.state !== "refused") ? "waiting" : stateOfRows(sheet),
    left: leftIn(sheet),
    pauses: pauses.filter(({ id, rows: own }) => id === null || own.length > 0)
      .map((pause) => ({ ...pause, left: leftIn(pause), state: stateOfRows(pause) })),
  };
}

function leftIn({ rows, mayCome }) {
  return rows.filter(isLeft).length + mayCome;
}

function stateOfRows({ rows, mayCome }) {
  if (rows.some(({ state }) => state === "refused")) return "refused";
  const left = rows.filter(isLeft);
  if (left.length === 0) return mayCome > 0 ? "open" : "done";
  return left.every(({ state }) => state === "locked") ? "held" : "open";
}
