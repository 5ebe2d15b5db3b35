// Folds the entries of one job into its state. The same rule runs on the server; fixtures/golden/fold.json binds them.
// Nothing here looks at a clock: only `after` says what supersedes what.

import { isObject, KIND, KINDS, OWN_SLOT_KINDS } from "./entry.js";

/**
 * Returns the state of one job.
 * @param {object[]} entries of that job, in any order; a second entry of the same id is ignored
 * @returns {{slots: Object<string, object[]>, photos: object[], notes: object[], state: "open"|"stopped"|"signed",
 *   signed: object[], stopped: object[], conflicts: string[], after_signing: string[], unknown: object[], plans:
 *   object[]}} All lists are sorted by id. `slots` holds the live entries of known kinds; an unknown kind may supersede
 *   one. `plans`, on the phone alone: every plan that was ever chosen, for a consent names one that may be superseded
 *   by its like.
 */
export function fold(entries) {
  const all = sortedById(entries);
  const live = liveOf(all);
  const ofKind = (kind) => live.filter((entry) => entry.kind === kind);
  const slots = slotsOf(live);
  const reopened = new Set(ofKind(KIND.JOB_REOPENED).flatMap((entry) => listed(entry.body?.reopens)));
  const inForce = (kind) => ofKind(kind).filter((entry) => !reopened.has(entry.id));
  const signed = inForce(KIND.JOB_SIGNED);
  const stopped = inForce(KIND.JOB_STOPPED);
  return {
    slots,
    photos: ofKind(KIND.PHOTO_ATTACHED),
    notes: ofKind(KIND.NOTE_WRITTEN),
    state: signed.length > 0 ? "signed" : stopped.length > 0 ? "stopped" : "open",
    signed,
    stopped,
    conflicts: Object.keys(slots).filter((slot) => isConflict(slots[slot])).sort(),
    after_signing: afterSigning(live, signed),
    unknown: all.filter((entry) => !KINDS.has(entry.kind)),
    plans: all.filter((entry) => entry.kind === KIND.PLAN_CHOSEN),
  };
}

/** Same kind, same body whatever the order of its keys; a field says the same wherever its answer was taken from. */
export function sameMeaning(a, b) {
  return a.kind === b.kind && canonical(saidIn(a)) === canonical(saidIn(b));
}

function saidIn({ kind, body }) {
  if (kind !== KIND.FIELD_SET || !isObject(body)) return body;
  const { from: _from, ...said } = body;
  return said;
}

/** Ids of every live entry of a folded job: what a signature given now covers. Sorted. */
export function liveIds(entries) {
  return liveOf(sortedById(entries)).map((entry) => entry.id);
}

function sortedById(entries) {
  const byId = new Map();
  for (const entry of entries) if (!byId.has(entry.id)) byId.set(entry.id, entry);
  return [...byId.values()].sort((a, b) => (a.id < b.id ? -1 : 1));
}

function liveOf(entries) {
  const superseded = new Set();
  for (const entry of entries) {
    for (const id of listed(entry.after)) if (id !== entry.id) superseded.add(keyOf(entry.slot, id));
  }
  return entries.filter((entry) => !superseded.has(keyOf(entry.slot, entry.id)));
}

/** `after` counts only within one slot, so the slot is part of what is superseded. */
function keyOf(slot, id) {
  return `${slot}\n${id}`;
}

/** A Map first: a slot that came from elsewhere may be called "constructor". */
function slotsOf(live) {
  const slots = new Map();
  for (const entry of live) {
    if (!KINDS.has(entry.kind) || OWN_SLOT_KINDS.has(entry.kind)) continue;
    if (!slots.has(entry.slot)) slots.set(entry.slot, []);
    slots.get(entry.slot).push(entry);
  }
  return Object.fromEntries(slots);
}

function isConflict(entries) {
  return entries.some((entry) => !sameMeaning(entry, entries[0]));
}

function afterSigning(live, signed) {
  if (signed.length === 0) return [];
  const covered = new Set(signed.flatMap((entry) => listed(entry.body?.covers)));
  return live.filter((entry) => entry.kind !== KIND.JOB_SIGNED && !covered.has(entry.id)).map((entry) => entry.id);
}

/** An entry of another program may lack a list, or hold something else in its place. */
function listed(ids) {
  return Array.isArray(ids) ? ids : [];
}

/**
 * @param {*} value a body, or part of one
 * @returns {string} 16 characters that differ where the meaning does: FNV-1a twice, enough to see that something
 *   changed, no secret
 */
export function fingerprint(value) {
  const text = canonical(value);
  return [0x811c9dc5, 0x01000193].map((start) => {
    let hash = start;
    for (let k = 0; k < text.length; k += 1) hash = Math.imul(hash ^ text.charCodeAt(k), 0x01000193);
    return (hash >>> 0).toString(16).padStart(8, "0");
  }).join("");
}

/** @returns {string} the same for values that are alike whatever the order of their keys */
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join()}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value) ?? "null";
  const pairs = Object.keys(value).sort().map((key) => `${JSON.stringify(key)}:${canonical(value[key])}`);
  return `{${pairs.join()}}`;
}
