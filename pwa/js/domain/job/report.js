// What the customer's report of a job says: measured before and after, fitted, replaced, measured with, not done. Pure.
// It never says that a vehicle is roadworthy: nothing of this program can know that.

import { missing, stepsOf, warnings } from "./checklist.js";
import { AXLE, PARTS } from "../numbers/quantities.js";
import { SIDES } from "../numbers/sides.js";
import { KIND } from "./entry.js";
import { boltsOf } from "./fit-request.js";
import { baseOf, windowOf } from "./job.js";
import { fieldOf, settledAt } from "./settled.js";
import { axleOf } from "../choose/axle.js";
import { openIn } from "./checklist-slots.js";
import { lotsOf, sitsAt, takenOut } from "./fitted-now.js";
import { bothSides } from "./readings.js";
import { isWhole, lastCheck, roundsOf } from "./rounds.js";

const FACTS = ["vehicle.registration", "vehicle.description", "vehicle.vin", "vehicle.odometer", "vehicle.complaint"];
/** Warnings that tell the customer of work still to do. */
const TOLD = ["front-not-done", "calibration-due", "complaint-differs", "tyres-unequal", "ride-height-out"];
const MOST_PHOTOS = 6;
const FIRST_PHOTOS = [/witness-line$/, /^finish\./];

/**
 * @param {{checklist: object, fold: object, entries: object[], names: object}} job names of the ring sets by id
 * @returns {object} {facts: {slot: value}, state, stopped: body|null, by: names, first_at, last_at, rows, front,
 *   rounds: as roundsOf, with the sides that are open, fitted: {left, right} as sitsAt, taken_out: sides, engagement_unknown: rings are in and nobody typed what tells how far the bolts hold, replaced, to_order, lots as lotsOf, equipment, wrench, torque, not_done, told, photos}; angles in mdeg, null where not read
 */
export function reportOf({ checklist, fold, entries, names }) {
  const steps = stepsOf(checklist, fold, { names });
  const list = steps.find(({ panel }) => panel === "single-use-list");
  const parts = partsOf(fold);
  const fitted = bothSides((side) => sitsAt(fold, side));
  const times = entries.map(({ at }) => at).sort((a, b) => Date.parse(a) - Date.parse(b)); // entries stand in no order of time
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
    engagement_unknown: SIDES.some((side) => fitted[side] && !isEngagementKnown(boltsOf(fold, side))),
    taken_out: takenOut(fold),
    replaced: replacedIn(fold),
    to_order: list ? list.items.filter((item) => parts[item] === "to-order") : [],
    lots: lotsOf(fold),
    equipment: fieldOf(fold, "base.equipment") ?? null,
    wrench: fieldOf(fold, "fit.wrench") ?? null,
    torque: fieldOf(fold, "fit.torque") ?? null,
    not_done: notDone(steps, fold, missing(checklist, fold, { names })),
    told: [...new Set(warnings(checklist, fold).map(({ code }) => code).filter((code) => TOLD.includes(code)))],
    photos: chosenPhotos(fold.photos),
  };
}

function isEngagementKnown(bolts) {
  return Boolean(bolts?.thread && (bolts.engaged_mm ?? bolts.turns) && (bolts.metal ?? bolts.nut_height_mm));
}

// Later rounds add to the list of the first: a part that was new once is new.
function partsOf(fold) {
  const lists = Object.keys(fold.slots).filter((slot) => slot.endsWith("choose.single-use")).map((slot) => fieldOf(fold, slot) ?? {});
  const items = [...new Set(lists.flatMap(Object.keys))];
  const best = (item) => ["at-hand", "to-order", "not-needed"].find((state) => lists.some((each) => each[item] === state));
  return Object.fromEntries(items.map((item) => [item, best(item)]));
}

/** What was said to have gone in, in any round; what merely lay ready is nothing that was replaced. */
function replacedIn(fold) {
  const lists = Object.keys(fold.slots).filter((slot) => slot.endsWith("fit.parts-used")).map((slot) => Object.keys(fieldOf(fold, slot) ?? {}));
  return [...new Set(lists.flat())];
}

function rowsOf(fold) {
  const before = baseOf(fold, 1);
  const after = lastCheck(fold);
  const wheels = SIDES.flatMap((side) => PARTS.map((part) => ({
    side, quantity: part, window: windowOf(fold, `window.${side}.${part}`), before: before[side][part], after: after?.[side][part] ?? null,
  })));
  const [was, now] = [isWhole(before) ? axleOf(before) : null, after && axleOf(after)];
  const axle = AXLE.map(([quantity, name]) => ({
    side: null, quantity, window: windowOf(fold, `window.${quantity}`), before: was?.[name] ?? null, after: now?.[name] ?? null,
  })).filter(({ quantity, window }) => quantity !== "cross-camber" || window);
  return [...wheels, ...axle];
}

function frontOf(fold) {
  const read = (when, side) => settledAt(fold, `front.${when}.${side}`, KIND.READING_TAKEN)?.body;
  const rows = SIDES.flatMap((side) => PARTS.map((part) => ({
    side, quantity: part, before: read("before", side)?.[part]?.mdeg ?? null, after: read("after", side)?.[part]?.mdeg ?? null,
  })));
  return rows.filter(({ before, after }) => before !== null || after !== null);
}

// What was gone past has its reason; the rest was simply left open.
function notDone(steps, fold, open) {
  const past = steps.filter(({ state }) => state === "overridden").map(({ slot, id, wheel, params }) => {
    const reason = (fold.slots[slot] ?? []).find(({ kind }) => kind === KIND.HOLD_OVERRIDDEN)?.body.reason ?? "";
    return { slot, id, wheel, params, reason };
  });
  const left = open.map(({ slot, id, wheel, params }) => ({ slot, id, wheel, params, reason: null }));
  return [...past, ...left];
}

// Those that prove the position first, and of them those of the last round: they show what sits there now.
function chosenPhotos(photos) {
  const place = ({ body }) => {
    const found = FIRST_PHOTOS.findIndex((pattern) => pattern.test(body.about));
    return found < 0 ? FIRST_PHOTOS.length : found;
  };
  const round = ({ body }) => Number(/^round\.(\d+)\./.exec(body.about)?.[1] ?? 1);
  return [...photos].sort((a, b) => place(a) - place(b) || round(b) - round(a)).slice(0, MOST_PHOTOS);
}
