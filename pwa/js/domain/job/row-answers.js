// What the entries say about one row of a sheet: done, gone past, answered with what. Pure; it locks nothing and shows
// nothing.

import { agreedTo, isOfSamePair } from "./agreed-plan.js";
import { KIND } from "./entry.js";
import { isTicked, planOf } from "./checklist-slots.js";
import { recordedLength } from "./bolt-length.js";
import { BOLTS_STAY, isBoltMeasured } from "./hub-bolts.js";
import { isReadBack, isSpaced, isTightened } from "./holds.js";
import { isOfPlanNow, readingOf } from "./picture-reading.js";
import { partsAsked, partsMissing, stalePlan } from "./plan-still-holds.js";
import { disagreeingReadings, struckSlot } from "./readings.js";
import { oldRingsAt } from "./round-work.js";
import { fieldOf } from "./slot-values.js";
import { SIDES } from "../numbers/sides.js";

/**
 * Writes into a row what the entries say about it: done, overridden, conflict, value, entry, refusal, warning.
 * While people differ about a row it is not done; an answer that refuses counts even then, because that is the safe
 * side.
 * @param {object} row of sheets.js; with `isOfPair`, what was said of a pair holds for no other
 * @param {object} fold of the job
 * @param {{photos: Map<string, object[]>, begunWith: number}} known photos by the slot that they are about; which
 *   checklist began the job
 */
export function answerInto(row, fold, { photos, begunWith }) {
  const { slot, card } = row;
  const live = fold.slots[slot] ?? NOTHING;
  const set = live === NOTHING ? NOTHING : live.filter(({ kind }) => kind === KIND.FIELD_SET);
  const values = set.map(({ body }) => body.value ?? null);
  const chosen = values.length > 0 && row.options ? row.options.filter(({ id }) => values.includes(id)) : NOTHING;
  const ofThisPair = ({ body }) => !row.isOfPair || isOfSamePair(fold, row.round, row.wheel, body.plan);
  const answer = { live, values, begunWith, photos: (photos.get(slot) ?? NOTHING).filter(ofThisPair) };
  row.conflict = live.length > 1 && fold.conflicts.includes(slot);
  const refused = live === NOTHING ? null : CARD_REFUSAL[card]?.(fold, row) ?? null;
  row.refusal = chosen.find(({ refuse }) => refuse)?.refuse ?? refused;
  row.done = !row.conflict && row.refusal === null && live.every(ofThisPair) && isDone(fold, row, answer);
  const isCovered = () => REASON_COVERS[card]?.(fold, row, answer) ?? true;
  row.overridden = isOverridden(live) && mayBePassed(row, begunWith) && isCovered();
  row.value = row.conflict ? null : values[0] ?? null;
  row.entry = row.conflict ? null : live[0] ?? null;
  row.warning = chosen.find(({ warn }) => warn)?.warn ?? CARD_WARNING[card]?.(fold, row, answer)
    ?? doubtOf(fold, row, values) ?? pictureDoubt(fold, row, answer);
}

const NOTHING = Object.freeze([]);

/** Two people who both let the work go on differ in words only; one of them who took it back does not. */
function isOverridden(live) {
  return live.some(({ kind }) => kind === KIND.HOLD_OVERRIDDEN) && live.every(({ kind }) => kind !== KIND.STEP_UNDONE);
}

function isDone(fold, row, answer) {
  if (row.type === "card") return (CARD_IS_DONE[row.card] ?? isGivenOrTicked)(fold, row, answer);
  return IS_DONE[row.type](fold, row, answer);
}

const isGivenValue = (fold, row, { values }) => values.length > 0 && values.every(isGiven);

/** What can kill is not gone past; a job that was begun where that was still possible keeps what was said then. */
function mayBePassed({ hold, passable }, begunWith) {
  return !hold || passable || begunWith < 2;
}

/** Whether the reason for going past still speaks of what is so now. */
const REASON_COVERS = {
  "old-rings": (fold, row, { values }) => isOldPairRead(fold, values[0]),
  "consent": (fold, row, { live }) => agreedTo(fold, row.round, live) === "plan",
  "plan-stands": (fold, row, { live }) => live.every(({ body }) => body.found === stalePlan(fold, row.round)?.code),
  "parts-missing": (fold, row, { live }) => {
    return missingNow(fold, row).every((item) => live.every(({ body }) => body.found?.includes(item)));
  },
};

function missingNow(fold, { round }) {
  const inRound = round === 1 ? "" : `round.${round}.`;
  return partsMissing(fold, round, { value: fieldOf(fold, `${inRound}choose.single-use`) });
}

const isConfirmed = (fold, row) => isTicked(fold, row.slot);

/** A job that was begun before there were sheets may have ticked by other names what one row stands for now. */
const isTickedAs = (fold, row, { live, begunWith }) => {
  if (begunWith > 1 || live.length > 0 || row.alsoSlots.length === 0) return isConfirmed(fold, row);
  return row.alsoSlots.every((slot) => isTicked(fold, slot));
};

const isGivenOrTicked = (fold, row, answer) => isGivenValue(fold, row, answer) || isConfirmed(fold, row);

const IS_DONE = {
  tick: isTickedAs,
  choice: (fold, row, { values }) => row.options.some(({ id }) => id === values[0]),
  text: isGivenValue,
  number: isGivenValue,
  torque: isGivenValue,
  photo: (fold, row, { photos }) => photos.length > 0,
};

function isGiven(value) {
  return (value ?? null) !== null && (typeof value !== "string" || value.trim() !== "");
}

/** What only shows something is never done and never asked for; it is not required in the data. */
const onlyShows = () => false;

const CARD_REFUSAL = {
  "bolt-length": (fold, row) => recordedLength(fold, row).refusal,
};

/** A plain tick of an older program: it knew no record, and a job that it began keeps what it ticked. */
const isPlainTick = ({ begunWith }, { body }, record) => begunWith < 2 && body[record] === undefined;

const CARD_IS_DONE = {
  "verdict": onlyShows, // derived by sheets.js from the questions of the gate
  "vehicle-history": onlyShows, "reading-maps": onlyShows, "as-found": onlyShows, "plan-maps": onlyShows,
  "other-plans": onlyShows, "bench-rings": onlyShows,
  "type-group": onlyShows, "fitting-needs": onlyShows, "next-round": onlyShows,
  "windows-table": (fold) => windowSlots(fold).some((slot) => isGiven(fieldOf(fold, slot))),
  "readings-table": (fold, { id, round }) => {
    return isReadAtBothWheels(fold, id === "check.readings" ? `round.${round}.check` : "base");
  },
  "result": (fold, row) => {
    return isReadAtBothWheels(fold, `round.${row.round}.check`)
      && disagreeingReadings(fold, `round.${row.round}.check`).length === 0;
  },
  "advice": (fold, row, { values }) => isAdviceAnswered(planOf(fold, row.round)?.advice, values),
  "plan": (fold, row) => planOf(fold, row.round) !== null,
  "consent": (fold, row, { live }) => {
    return live.some(({ kind }) => kind === KIND.CONSENT_RECORDED) && agreedTo(fold, row.round, live) === "plan";
  },
  // asked since checklist 3; before, whatever was told of the bolts was enough
  "bolts": (fold, row, answer) => {
    if (!row.required) return isGivenOrTicked(fold, row, answer);
    return isGiven(fieldOf(fold, BOLTS_STAY)) || (answer.values.length > 0 && answer.values.every(isBoltMeasured));
  },
  "parts": (fold, row, { values }) => partsAsked(fold, row.items).every((item) => isGiven(values[0]?.[item])),
  "front-readings": (fold) => {
    return SIDES.every((side) => readingsIn(fold, `front.after.${side}`).some(({ toe }) => toe !== null));
  },
  // there only while they hold: they are gone past, or what they say is put right
  "plan-stands": onlyShows, "parts-missing": onlyShows,
  "read-back": (fold, row, { live }) => {
    const planned = planOf(fold, row.round)?.plan[row.wheel];
    return isConfirmed(fold, row) && live.every(({ body }) => isReadBack(body.read, row.wheel, planned));
  },
  "bolt-length": (fold, row) => isConfirmed(fold, row) && recordedLength(fold, row).holds,
  "bolt-mode": (fold, row, answer) => {
    const isWhole = (entry) => isPlainTick(answer, entry, "bolts") || isTightened(fold, row.wheel, entry.body);
    return isConfirmed(fold, row) && answer.live.every(isWhole);
  },
  "spacers": (fold, row, { live }) => isConfirmed(fold, row) && live.every(({ body }) => isSpaced(body)),
  // a slip that was ticked where nobody asked for the distance
  "recheck": (fold, row, answer) => {
    return answer.live.length > 0 ? isGivenValue(fold, row, answer)
      : row.alsoSlots.some((slot) => isTicked(fold, slot));
  },
  "sign": (fold) => fold.state === "signed",
};

/** Each code that the plan was chosen under has its answer; a plan without advice asks for none. */
function isAdviceAnswered(codes, values) {
  if (codes) return codes.every((code) => isGiven(values[0]?.[code]));
  return values.length > 0 && values.every(isGiven);
}

/** Both marks of every old pair, or that they cannot be read; an older program kept plain words. */
function isOldPairRead(fold, marks) {
  if (typeof marks !== "object") return isGiven(marks);
  return Boolean(marks?.unreadable) || oldRingsAt(fold)
    .every((side) => isGiven(marks?.[side]?.inner) && isGiven(marks[side].outer));
}

/** An answer that another answer makes doubtful: it stands, and is questioned. */
function doubtOf(fold, { id }, values) {
  const isDriven = () => fieldOf(fold, "vehicle.mounting") === "driven";
  return id === "vehicle.axle-nut" && values.includes("no") && isDriven() ? "driven-no-nut" : null;
}

/**
 * A picture of the pair as it is planned now that does not agree with it. Only a later one of the same ring that agrees
 * takes the doubt away: the other ring's says nothing of this one, and an earlier one nothing of what came after.
 */
function pictureDoubt(fold, { type, wheel }, { photos }) {
  if (type !== "photo" || !wheel) return null;
  const read = photos.flatMap((photo) => {
    const found = readingOf(fold, photo);
    return found && isOfPlanNow(fold, photo, found) ? [{ at: Date.parse(photo.at), ...found }] : [];
  });
  const saying = (verdict) => read.filter(({ said }) => said.verdict === verdict);
  const isCleared = ({ ring, at }) => saying("agrees").some((other) => other.ring === ring && other.at > at);
  return saying("differs").every(isCleared) ? null : "picture-differs";
}

const CARD_WARNING = {
  bolts: (fold, { required }, { values }) => (required && isGiven(fieldOf(fold, BOLTS_STAY))
    && !(values.length > 0 && values.every(isBoltMeasured)) ? "bolts-stay" : null),
  // a part that has to be ordered does not stop the choosing, but it must be in sight before anything is taken apart
  parts: (fold, row, { values }) => (partsAsked(fold, row.items).some((item) => values[0]?.[item] === "to-order")
    ? "part-to-order" : null),
  consent: (fold, row, { live }) => {
    return { anew: "consent-anew", wheels: "consent-other-plan" }[agreedTo(fold, row.round, live)] ?? null;
  },
};

function isReadAtBothWheels(fold, prefix) {
  return SIDES.every((side) =>
    Object.keys(fold.slots).some((slot) =>
      slot.startsWith(`${prefix}.${side}.`) && !fieldOf(fold, struckSlot(slot)) &&
      readingsIn(fold, slot).some(({ camber, toe }) => camber !== null && toe !== null)));
}

function readingsIn(fold, slot) {
  return (fold.slots[slot] ?? NOTHING).filter(({ kind }) => kind === KIND.READING_TAKEN).map(({ body }) => body);
}

function windowSlots(fold) {
  return Object.keys(fold.slots).filter((slot) => slot.startsWith("window.") && slot !== "window.source");
}
