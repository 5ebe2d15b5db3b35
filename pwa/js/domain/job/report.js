// What the customer's report of a job says: measured before and after, fitted, replaced, measured with, not done. Pure.
// It never says that a vehicle is roadworthy: nothing of this program can know that. It states no ring, part or torque
// as fitted whose row was not confirmed.

import { AXLE_ANGLES, WHEEL_ANGLES } from "../numbers/quantities.js";
import { SIDES } from "../numbers/sides.js";
import { KIND } from "./entry.js";
import { boltsOf } from "./fit-request.js";
import { baseOf, windowOf } from "./job.js";
import { fieldOf, settledAt } from "./slot-values.js";
import { axleOf } from "../choose/axle.js";
import { openIn, planOf } from "./checklist-slots.js";
import { isOfSamePair } from "./agreed-plan.js";
import { confirmedBolts, confirmedPair, confirmedSpacers, confirmedTorques, isPutIn,
  wasEverIn } from "./confirmed-work.js";
import { lotsOf, takenOut } from "./installed-rings.js";
import { PHOTO_AT } from "./picture-reading.js";
import { partsAsked } from "./plan-still-holds.js";
import { isOpened, oldRingsIn } from "./round-work.js";
import { RECHECK, recheckParts } from "./rechecks.js";
import { bothSides } from "./readings.js";
import { isWhole, lastCheck, roundsOf } from "./rounds.js";
import { doubtsOfPlan } from "./untrusted-sets.js";

const FACTS = ["vehicle.registration", "vehicle.description", "vehicle.vin", "vehicle.odometer", "vehicle.complaint"];
/** Warnings that tell the customer of work still to do. */
const REPORTED_WARNINGS = ["front-not-done", "calibration-due", "complaint-differs", "tyres-unequal",
  "ride-height-out"];
const MOST_PHOTOS = 6;
const FIRST_PHOTOS = [/witness-line$/, /^finish\./];
/** Photos of rings that came out. */
const OF_OLD_RINGS = "old-marks-photo";
/** What became of the complaint: answers that are given in so many words. */
const ANSWERS = ["base.complaint-agrees", "finish.road-test-result", "finish.steering-straight"];

/**
 * @param {Job} job
 * @returns {object} {facts: {slot: value}, state, stopped: body|null, by: names, first_at, last_at, rows, front,
 *   rounds: as roundsOf, with the sides that are open, fitted: {left, right} as job.installed, with `closed`: whether
 *   the hub was tightened over it, doubted: ring set id -> doubts of what is fitted or planned, names: ring set id ->
 *   name, taken_out: sides, still_in: sides with rings from before this job, engagement_unknown: rings are in and
 *   nobody typed what tells how far the bolts hold, replaced, to_order, lots as lotsOf, equipment, wrench, torques,
 *   bolts and spacers as they were confirmed, agreed: the customer's yes, {at, body, stands}, answers: {row, entry},
 *   not_done: {slot, row, reason}, those left open first, recheck, told, photos: of what is fitted now, earlier:
 *   {round, photos}, the newest round first, further: photos for which there is no room; angles in mdeg, null where
 *   not read
 */
export function reportOf(job) {
  const { fold, entries, rows } = job;
  const list = rows.find(({ card }) => card === "parts");
  const parts = partsOf(fold);
  const fitted = bothSides((side) => confirmedPair(job, side));
  const isByDone = job.begunWith >= 2; // older programs asked for fewer rows
  const bolts = confirmedBolts(job);
  // entries stand in no order of time
  const times = entries.map(({ at }) => at).sort((a, b) => Date.parse(a) - Date.parse(b));
  return {
    facts: Object.fromEntries(FACTS.map((slot) => [slot, fieldOf(fold, slot) ?? null])),
    state: fold.state,
    stopped: fold.stopped[0]?.body ?? null,
    signed_by: fold.state === "signed" ? fold.signed.map(({ by }) => by) : [],
    by: [...new Set(entries.map(({ by }) => by))],
    first_at: times[0] ?? "",
    last_at: times.at(-1) ?? "",
    rows: rowsOf(fold),
    front: frontOf(fold),
    rounds: roundsOf(fold).map((each) => ({ ...each, open: openIn(fold, each.round) })),
    fitted,
    doubted: doubtedIn(job, fitted),
    names: job.names,
    engagement_unknown: SIDES.some((side) => fitted[side] && !isEngagementKnown(boltsOf(fold, side))),
    taken_out: isByDone ? SIDES.filter((side) => !fitted[side] && wasEverIn(job, side)) : takenOut(fold),
    still_in: oldRingsIn(fold),
    replaced: replacedIn(fold, bolts),
    to_order: list ? partsAsked(fold, list.items).filter((item) => parts[item] === "to-order") : [],
    lots: lotsOf(fold, isByDone ? (side, round) => isPutIn(job, side, round) : undefined),
    equipment: fieldOf(fold, "base.equipment") ?? null,
    wrench: fieldOf(fold, "fit.wrench") ?? null,
    torques: confirmedTorques(job),
    bolts,
    spacers: confirmedSpacers(job),
    agreed: agreedIn(job),
    answers: answersIn(job),
    not_done: notDone(job),
    recheck: recheckIn(fold),
    told: [...new Set(rows.map(({ warning }) => warning).filter((code) => REPORTED_WARNINGS.includes(code)))],
    ...photosOf(job),
  };
}

/** Of the ring sets that are fitted, or planned now: what was doubted of their data when they were planned. */
function doubtedIn({ fold, round: now }, fitted) {
  const rounds = [now, ...SIDES.map((side) => fitted[side]?.round)];
  const plans = rounds.map((round) => round && planOf(fold, round)?.plan).filter(Boolean);
  return Object.fromEntries(plans.flatMap((plan) => doubtsOfPlan(plan)));
}

function isEngagementKnown(bolts) {
  return Boolean(bolts?.thread && (bolts.engaged_mm ?? bolts.turns) && (bolts.metal ?? bolts.nut_height_mm));
}

// Later rounds add to the list of the first: a part that was new once is new.
function partsOf(fold) {
  const lists = Object.keys(fold.slots).filter((slot) => slot.endsWith("choose.single-use"))
    .map((slot) => fieldOf(fold, slot) ?? {});
  const items = [...new Set(lists.flatMap(Object.keys))];
  const best = (item) => ["at-hand", "to-order", "not-needed"]
    .find((state) => lists.some((each) => each[item] === state));
  return Object.fromEntries(items.map((item) => [item, best(item)]));
}

/**
 * What was said to have gone in, in any round, and new hub bolts as their length was confirmed; what merely lay ready
 * is nothing that was replaced.
 */
function replacedIn(fold, bolts) {
  const lists = Object.keys(fold.slots).filter((slot) => slot.endsWith("fit.parts-used"))
    .map((slot) => Object.keys(fieldOf(fold, slot) ?? {}));
  return partsAsked(fold, [...new Set([...bolts.some(({ record }) => record.new) ? ["hub-bolts"] : [],
    ...lists.flat()])]);
}

function rowsOf(fold) {
  const before = baseOf(fold, 1);
  const after = lastCheck(fold);
  const wheels = SIDES.flatMap((side) => WHEEL_ANGLES.map((part) => ({
    side, quantity: part, window: windowOf(fold, `window.${side}.${part}`), before: before[side][part],
    after: after?.[side][part] ?? null,
  })));
  const [was, now] = [isWhole(before) ? axleOf(before) : null, after && axleOf(after)];
  const axle = AXLE_ANGLES.map(([quantity, name]) => ({
    side: null, quantity, window: windowOf(fold, `window.${quantity}`), before: was?.[name] ?? null,
    after: now?.[name] ?? null,
  })).filter(({ quantity, window }) => quantity !== "cross-camber" || window);
  return [...wheels, ...axle];
}

function frontOf(fold) {
  const read = (when, side) => settledAt(fold, `front.${when}.${side}`, KIND.READING_TAKEN)?.body;
  const rows = SIDES.flatMap((side) => WHEEL_ANGLES.map((part) => ({
    side, quantity: part, before: read("before", side)?.[part]?.mdeg ?? null,
    after: read("after", side)?.[part]?.mdeg ?? null,
  })));
  return rows.filter(({ before, after }) => before !== null || after !== null);
}

/** Every yes that is live; `stands`: it is to what is planned now. */
function agreedIn(job) {
  const given = job.live("consent").filter(({ kind }) => kind === KIND.CONSENT_RECORDED)
    .sort((a, b) => Date.parse(a.at) - Date.parse(b.at)); // entries come in another order on each phone
  return given.map(({ at, body }) => ({ at, body, stands: job.row("consent")?.state === "done" }));
}

/** After what the fasteners are to be rechecked, in the parts of rechecksOf; null where nobody said. */
function recheckIn(fold) {
  const recheck = fieldOf(fold, RECHECK.AFTER)?.recheck;
  return recheck ? recheckParts(recheck, fieldOf(fold, "vehicle.odometer") ?? {}) : null;
}

function answersIn(job) {
  const given = (row) => row?.state === "done" && row.entry;
  return ANSWERS.map((slot) => job.row(slot)).filter(given).map((row) => ({ row, entry: row.entry }));
}

// What was simply left open comes first and in full; what was gone past has its reason.
function notDone(job) {
  const open = [...new Set([...job.openRows(), ...job.unpassableOpen()])]
    .map((row) => ({ slot: row.slot, row, reason: null }));
  const past = job.rows.filter(({ state }) => state === "overridden").map((row) => {
    const reason = job.live(row.slot).find(({ kind }) => kind === KIND.HOLD_OVERRIDDEN)?.body.reason ?? "";
    return { slot: row.slot, row, reason };
  });
  return [...open, ...past];
}

/** The photos of what is fitted now, those that prove the position first; and older ones by their round. */
function photosOf(job) {
  const rounds = new Map();
  for (const photo of job.fold.photos) {
    const round = earlierRound(job, photo);
    rounds.set(round, [...(rounds.get(round) ?? []), photo]);
  }
  const place = ({ body }) => {
    const found = FIRST_PHOTOS.findIndex((pattern) => pattern.test(body.about));
    return found < 0 ? FIRST_PHOTOS.length : found;
  };
  const further = [];
  const chosen = (photos) => {
    const sorted = [...photos].sort((a, b) => place(a) - place(b) || roundOf(b) - roundOf(a));
    further.push(...sorted.slice(MOST_PHOTOS));
    return sorted.slice(0, MOST_PHOTOS);
  };
  const earlier = [...rounds.keys()].filter((round) => round !== null).sort((a, b) => b - a);
  return { photos: chosen(rounds.get(null) ?? []),
    earlier: earlier.map((round) => ({ round, photos: chosen(rounds.get(round)) })), further };
}

function roundOf({ body }) {
  return Number(PHOTO_AT.exec(body.about)?.[1] ?? 1);
}

/**
 * @returns {number|null} the round of a photo that shows what is no longer so; null where it shows what is fitted now
 */
function earlierRound({ fold, round: now }, photo) {
  const { about, plan } = photo.body;
  const [whole, , side, name] = PHOTO_AT.exec(about) ?? [];
  const round = whole ? roundOf(photo) : takenIn(fold, now, photo);
  const isReopened = Array.from({ length: now - round }, (_, n) => round + 1 + n)
    .some((later) => SIDES.some((each) => (!side || each === side) && isOpened(fold, later, each)));
  const isOther = Boolean(side) && (name === OF_OLD_RINGS || !isOfSamePair(fold, round, side, plan));
  return isReopened || isOther ? round : null;
}

/**
 * A photo that no round names was taken in the last round that was planned before it; what was found belongs to no
 * round.
 */
function takenIn(fold, now, { at, body }) {
  if (!body.about.startsWith("finish.")) return now;
  const planned = (round) => fold.plans.filter(({ slot }) => slot === `round.${round}.plan`)
    .map((plan) => Date.parse(plan.at));
  for (let round = now; round > 1; round -= 1) if (planned(round).some((time) => time <= Date.parse(at))) return round;
  return 1;
}
