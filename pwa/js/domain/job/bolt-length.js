// Whether the hub bolts that close a wheel hold: how far they are screwed in with these rings, and whether one touches
// the bottom of its hole. Pure. It starts from the bolts that are really in: turns counted at the wheel beat what was
// typed before, and in a later round "longer by" starts from the bolts of the round before. What cannot be computed is
// measured at the wheel. It offers no bolt.
//
// Slot fit.<side>.bolt-length. What holds is a step-done with {"length": record}; what does not is a field-set whose
// value is the record, so that every phone of the shop sees why the job stands. A record: {"new", "length_mm",
// "was_mm", "class", "class_unread", "measured_mm", "outcome", "codes", "least_mm", "wanted_mm", "bare_mm": [low,
// high], "from"}. `class_unread`: true where somebody said that the class on the new bolts cannot be read.
// `bare_mm` is how far the bolts that are now in would be screwed in without rings; `from` names what it was computed
// from: where that changes, the hold is open again.

import { fingerprint } from "./fold.js";
import { commonLength, engagementAtBolt, wantedMm } from "../fit/engagement.js";
import { fit } from "../fit/fit.js";
import { InputError } from "../numbers/input-error.js";
import { plannedPairAt } from "./checklist-slots.js";
import { stackAt } from "../rings/placement.js";
import { fitInputOf } from "./fit-request.js";
import { BOLT_LENGTH_MM } from "./hub-bolts.js";
import { fitSlot } from "./round-work.js";
import { fieldOf } from "./slot-values.js";
import { KIND } from "./entry.js";
import { toDecimals } from "../numbers/arithmetic.js";
import { SIDES } from "../numbers/sides.js";

/** Outcomes after which the hub may close. */
export const HOLDS = ["fits", "measured"];
const ENGAGED_MM = [0.5, 200];

/**
 * What is known of the bolts of a wheel before anything is typed at the hold.
 * @param {object} fold of the job
 * @param {number} round
 * @param {"left"|"right"} side
 * @returns {{bolts: object|null, counted_turns: number|null, before: object|null, old: object|null, pair: object|null,
 *   was_mm: number|null, from: string}} `before`: the record of the newest round in which bolts were fitted here;
 *   `old`: the pair that sat here before this round
 */
export function boltFacts(fold, round, side) {
  const typed = fieldOf(fold, "vehicle.bolts") ?? null;
  const bolts = typed?.bolts ?? null;
  const turns = fieldOf(fold, fitSlot(round, "bolt-turns", side))?.number ?? null;
  const before = recordBefore(fold, round, side);
  const facts = {
    bolts, counted_turns: turns, before,
    old: plannedPairAt(fold, side, round - 1), pair: plannedPairAt(fold, side, round),
    was_mm: before ? before.length_mm ?? null : typed?.length_mm ?? null,
  };
  return { ...facts, round, from: fingerprint(facts) };
}

/** A wheel closed bare got the bolts of the bare stack: nobody wrote down how long those are. */
function recordBefore(fold, round, side) {
  for (let n = round - 1; n >= 0; n -= 1) {
    if (isDone(fold, fitSlot(n, "bare-bolts", side))) return { unknown: true };
    const record = recordIn(fold, fitSlot(n, "bolt-length", side));
    if (record) return record;
    if (n > 0 && isDone(fold, fitSlot(n, "tightened", side))) return { unknown: true }; // an older program closed it
  }
  return null;
}

function isDone(fold, slot) {
  return (fold.slots[slot] ?? []).some(({ kind }) => kind === KIND.STEP_DONE);
}

/** What the hold refuses with, by outcome; "gate" refuses with the gate's own code. */
const REFUSALS = {
  "short": "bolts-short", "bottoms": "bolts-too-long", "no-length": "bolts-bottom", "weaker": "bolts-weaker",
};

/**
 * @param {object} fold of the job
 * @param {{slot: string, round: number, wheel: string}} row of the hold
 * @returns {{holds: boolean, refusal: string|null}} whether what is recorded still follows from what is known now; else
 *   the hold is open
 */
export function recordedLength(fold, { slot, round, wheel }) {
  const record = recordIn(fold, slot);
  if (!record || record.from !== boltFacts(fold, round, wheel).from) return { holds: false, refusal: null };
  const holds = HOLDS.includes(record.outcome);
  return { holds, refusal: holds ? null : REFUSALS[record.outcome] ?? record.codes[0] };
}

/** @returns {object|null} the record that holds in a slot */
export function recordIn(fold, slot) {
  const entry = fold.conflicts.includes(slot) ? null : fold.slots[slot]?.[0];
  if (entry?.kind === KIND.STEP_DONE) return entry.body.length ?? null;
  return entry?.kind === KIND.FIELD_SET ? entry.body.value ?? null : null;
}

/**
 * Judges the bolts.
 * @param {object} fold of the job
 * @param {object} facts of boltFacts
 * @param {"left"|"right"} side
 * @param {{ringSet: object|null, oldSet?: object|null}} sets of the pair that goes in, and of the one that sat there
 *   before this round
 * @param {{new: boolean|null, length_mm?: number|null, was_mm?: number|null, class?: string|null, class_unread?:
 *   boolean, measured_mm?: number|null}} typed
 * @returns {{outcome: "ask"|"measure"|"fits"|"measured"|"short"|"bottoms"|"no-length"|"weaker"|"gate", codes: string[],
 *   missing: string[], bolts: object[], least_mm, wanted_mm, bare_mm, longer_by_mm, longer: {at_least_mm, less_than_mm,
 *   possible}|null, clashes: boolean}} ask: something has still to be typed; measure: it cannot be computed, so how far
 *   the bolts are in is measured. bolts: {number, stack_mm, left_mm, bottoms_at_mm}. `longer`: by how much bolts must
 *   be longer than those that are in. `codes`: what the gate refuses
 * @throws {InputError} for a typed number that cannot be meant
 */
export function boltLength(fold, facts, side, { ringSet, oldSet = null }, typed) {
  const { bolts, pair } = facts;
  const codes = gateCodes(fold, facts, side, ringSet, typed);
  const bare = bareEngagement(facts, oldSet);
  const want = wantedOf(bolts);
  const missing = missingOf(facts, { ringSet, bare, want });
  const stacks = ringSet && pair && bolts?.at ? bolts.at.map((place) => stackAt(ringSet, pair.pair, place)) : null;
  const longerBy = typed.new ? lengthened(typed, facts) : 0;
  const found = {
    codes, missing, bare_mm: null, wanted_mm: want, longer_by_mm: longerBy, bolts: [], least_mm: null, longer: null,
    clashes: bare?.clashes ?? false,
  };
  if (missing.length > 0) return { ...found, ...measured({ bolts, want, bare, stacks, longerBy }, typed, codes) };
  const now = stacks.map((stack) => ends(stack, bare, want, bolts.blind_depth_mm ?? null, 0));
  const longer = commonLength(now);
  if (typed.new === null || longerBy === null) {
    const outcome = longer.possible ? "ask" : "no-length";
    return { ...found, bare_mm: [bare.low, bare.high], longer, outcome, bolts: rows(stacks, now) };
  }
  const after = stacks.map((stack) => ends(stack, bare, want, bolts.blind_depth_mm ?? null, longerBy));
  return {
    ...found, longer, bolts: rows(stacks, after), least_mm: Math.min(...after.map(({ left_mm }) => left_mm)),
    bare_mm: [bare.low + longerBy, bare.high + longerBy].map((mm) => toDecimals(mm, 2)),
    outcome: outcomeOf(after, longer, codes, typed, bolts),
  };
}

/**
 * How much longer than those that are in the hub bolts have to be with the rings of a plan, as far as that is known
 * before anything is opened.
 * @param {object} fold of the job
 * @param {number} round
 * @param {object} plan
 * @param {function(string): object} setOf ring set by id
 * @returns {{side: string, longer: {at_least_mm, less_than_mm, possible}|null, was_mm: number|null}[]} of the wheels
 *   that get rings; `longer` null: nobody can compute it yet
 */
export function longerBolts(fold, round, plan, setOf) {
  return SIDES.filter((side) => plan[side]).map((side) => {
    const facts = { ...boltFacts(fold, round, side), pair: plan[side] };
    const { longer } = boltLength(fold, facts, side, { ringSet: setOf(plan[side].ring_set) ?? null }, { new: null });
    return { side, longer, was_mm: facts.was_mm };
  });
}

/**
 * @param {object} plan that is about to be taken; the others as in longerBolts
 * @returns {string[]} parts that this plan needs whatever somebody will say: "hub-bolts" where those that are in would
 *   be too short at some wheel
 */
export function neededBy(fold, round, plan, setOf) {
  return longerBolts(fold, round, plan, setOf).some(({ longer }) => longer?.at_least_mm > 0) ? ["hub-bolts"] : [];
}

/** Too little is judged by the least that the bolts may be in, touching the bottom by the most. */
function ends(stack, { low, high }, want, depth, longerBy) {
  const least = engagementAtBolt(stack, low + longerBy, want, depth);
  const most = engagementAtBolt(stack, high + longerBy, want, depth);
  return { ...least, bottoms_at_mm: most.bottoms_at_mm };
}

function rows(stacks, engagements) {
  return engagements.map(({ left_mm, bottoms_at_mm }, k) => {
    return { number: k + 1, stack_mm: toDecimals(stacks[k], 2), left_mm, bottoms_at_mm };
  });
}

function outcomeOf(after, longer, codes, typed, bolts) {
  if (isWeaker(typed, bolts)) return "weaker";
  if (!longer.possible) return "no-length";
  if (after.some(({ bottoms_at_mm: limit }) => limit !== null && limit <= 0)) return "bottoms";
  if (after.some(({ longer_by_mm: short }) => short > 0)) return "short";
  if (codes.length > 0) return "gate";
  return isUnsaid(typed) ? "ask" : "fits";
}

/** New bolts of which nobody said how long they are, or what stands on their heads. */
function isUnsaid(typed) {
  return Boolean(typed.new && !((typed.length_mm ?? null) !== null && (typed.class || typed.class_unread)));
}

/** Bolts of a lower class than those that the maker put in hold less, however long they are. */
function isWeaker(typed, bolts) {
  return Boolean(typed.new && typed.class && bolts?.class && Number(typed.class) < Number(bolts.class));
}

/** What was measured with the rings in counts as it is; where nobody knows what is wanted, the report says so. */
function measured({ bolts, want, bare, stacks, longerBy }, typed, codes) {
  if (isWeaker(typed, bolts)) return { outcome: "weaker" };
  const depth = bolts?.blind_depth_mm ?? null;
  const known = bare && stacks && depth !== null ? bottoming({ bare, stacks, depth, want, longerBy }, typed) : null;
  if (known) return { outcome: known };
  const mm = checked(typed.measured_mm, "measured_mm", ENGAGED_MM);
  if (typed.new === null || mm === null) return { outcome: "measure" };
  const most = stacks ? Math.max(...stacks) : null; // it is measured at the bolt that is screwed in least
  const bareMm = most === null ? null : toDecimals(mm + most, 2);
  const found = { least_mm: mm, bare_mm: bareMm === null ? null : [bareMm, bareMm] };
  const deepest = most === null ? mm : bareMm - Math.min(...stacks);
  if (depth !== null && deepest >= depth) return { ...found, outcome: "bottoms" };
  if (want !== null && mm < want) return { ...found, outcome: "short" };
  if (codes.length > 0) return { ...found, outcome: "gate" };
  return { ...found, outcome: isUnsaid(typed) ? "ask" : "measured" };
}

/** What a hole's depth refuses, also where nobody knows how far in is enough. */
function bottoming({ bare, stacks, depth, want, longerBy }, typed) {
  const by = (mm) => stacks.map((stack) => ends(stack, bare, want ?? 0, depth, mm));
  if (!commonLength(by(0)).possible) return "no-length";
  const isJudged = typed.new !== null && longerBy !== null;
  return isJudged && by(longerBy).some(({ bottoms_at_mm: limit }) => limit <= 0) ? "bottoms" : null;
}

/**
 * How far the bolts that are in now would be screwed in without rings.
 * @returns {{low: number, high: number, clashes: boolean}|null} a span where turns were counted with rings in, for
 *   nobody knows at which bolt
 */
function bareEngagement(facts, oldSet) {
  const counted = countedBare(facts, oldSet);
  const known = knownBare(facts);
  if (!counted) return known && { ...known, clashes: false };
  const pitch = facts.bolts.thread.pitch_mm;
  const isApart = known !== null && (known.high < counted.low - pitch || known.low > counted.high + pitch);
  return { ...counted, clashes: isApart };
}

function countedBare({ bolts, counted_turns: turns, old, round }, oldSet) {
  if (!turns || !bolts?.thread) return null;
  const mm = turns * bolts.thread.pitch_mm;
  if (!old) return round === 0 ? null : { low: mm, high: mm }; // rings that nobody knows were in
  if (!oldSet || !bolts.at) return null;
  const stacks = bolts.at.map((place) => stackAt(oldSet, old.pair, place));
  return { low: mm + Math.min(...stacks), high: mm + Math.max(...stacks) };
}

function knownBare({ bolts, before }) {
  if (before) return before.bare_mm ? { low: before.bare_mm[0], high: before.bare_mm[1] } : null;
  const mm = bolts?.engaged_mm ?? (bolts?.turns && bolts.thread ? bolts.turns * bolts.thread.pitch_mm : null);
  return mm === null ? null : { low: mm, high: mm };
}

function wantedOf(bolts) {
  if (!bolts?.thread || !(bolts.metal || bolts.nut_height_mm)) return null;
  return wantedMm(bolts.thread, bolts.metal ?? null, bolts.nut_height_mm ?? null);
}

function missingOf({ bolts, pair }, { ringSet, bare, want }) {
  return [
    !(ringSet && pair) && "ring-set", !bolts?.at && "places", !bolts?.thread && "thread",
    want === null && bolts?.thread && "metal", !bare && "engagement",
  ].filter(Boolean);
}

/** @returns {number|null} by how much the new bolts are longer than the old; null while one of the two is not typed */
function lengthened(typed, facts) {
  const now = checked(typed.length_mm, "length_mm", BOLT_LENGTH_MM);
  const was = checked(typed.was_mm ?? facts.was_mm, "was_mm", BOLT_LENGTH_MM);
  return now === null || was === null ? null : toDecimals(now - was, 2);
}

function checked(number, field, [low, high]) {
  if ((number ?? null) === null) return null;
  if (number >= low && number <= high) return number;
  throw new InputError("bolts-number", field, `${low} to ${high}`, number, { low, high });
}

/** The gate is run again with the bolts that go in: what refuses there, refuses here. */
function gateCodes(fold, { bolts, pair }, side, ringSet, typed) {
  if (!ringSet || !pair) return [];
  // how far they are in is judged above
  const { engaged_mm: _engaged, turns: _turns, blind_depth_mm: _depth, class: was, ...others } = bolts ?? {};
  const isOf = typed.new ? typed.class : was; // the class of the old bolts says nothing of new ones
  const fitted = bolts?.at ? { ...others, ...(isOf && { class: isOf }) } : null;
  const { gate } = fit({ ...fitInputOf(fold, side, { ringSet, pair: pair.pair }), bolts: fitted });
  return gate.refusals.map(({ code }) => code);
}

/**
 * The entry that says what was found.
 * @param {object} facts of boltFacts
 * @param {object} typed as in boltLength
 * @param {object} verdict of boltLength
 * @returns {{kind: string, body: object}|null} null while there is nothing to say yet
 */
export function boltLengthEntry(facts, typed, verdict) {
  if (["ask", "measure"].includes(verdict.outcome)) return null;
  const { outcome, codes, missing, least_mm, wanted_mm, bare_mm } = verdict;
  const record = {
    ...boltsTyped(facts, typed), ...(outcome === "measured" && { measured_mm: typed.measured_mm, missing }),
    outcome, codes, least_mm, wanted_mm, bare_mm, from: facts.from,
  };
  if (HOLDS.includes(outcome)) return { kind: KIND.STEP_DONE, body: { length: record } };
  return { kind: KIND.FIELD_SET, body: { value: record } };
}

/** @returns {object} what was typed at the hold, as boltLength takes it, from the record that was made of it */
export function typedOf({ new: isNew, length_mm, was_mm, class: onHead, class_unread = false, measured_mm }) {
  return { new: isNew, ...(isNew && { length_mm, was_mm, class: onHead, class_unread }), measured_mm };
}

function boltsTyped({ was_mm: was }, typed) {
  if (!typed.new) return { new: false, length_mm: was };
  const { length_mm, class: onHead = null, class_unread: isUnread } = typed;
  return {
    new: true, length_mm: length_mm ?? null, was_mm: typed.was_mm ?? was, class: onHead,
    ...(isUnread && { class_unread: true }),
  };
}
