// What one line of a job sheet's history is: its kinds, its shape, its time. It stores and sends nothing.

import { isUuid4 } from "./ids.js";
import { InputError } from "../numbers/input-error.js";

const ENTRY_FORMAT = 1;

export const KIND = Object.freeze({
  JOB_OPENED: "job-opened",
  FIELD_SET: "field-set",
  READING_TAKEN: "reading-taken",
  PLAN_CHOSEN: "plan-chosen",
  CONSENT_RECORDED: "consent-recorded",
  STEP_DONE: "step-done",
  STEP_UNDONE: "step-undone",
  HOLD_OVERRIDDEN: "hold-overridden",
  PHOTO_ATTACHED: "photo-attached",
  NOTE_WRITTEN: "note-written",
  JOB_STOPPED: "job-stopped",
  JOB_SIGNED: "job-signed",
  JOB_REOPENED: "job-reopened",
});

export const KINDS = new Set(Object.values(KIND));

/** Kinds that stand for themselves: their slot is their own id. */
export const OWN_SLOT_KINDS = new Set([
  KIND.JOB_OPENED, KIND.PHOTO_ATTACHED, KIND.NOTE_WRITTEN, KIND.JOB_STOPPED, KIND.JOB_SIGNED, KIND.JOB_REOPENED,
]);

const SLOT = /^[a-z0-9][a-z0-9.-]{0,119}$/;
const LONGEST_NAME = 200;
const LONGEST_BODY = 100_000; // characters; the server refuses an entry of 256,000 bytes

/**
 * Makes an entry, or refuses what this program may not write: an unknown kind of our own is a bug, not data.
 * @param {object} content {job, kind, slot (null for a kind that stands for itself), after, body, by}
 * @param {object} stamp {id, device, n, at}
 * @throws {InputError} code "entry"
 */
export function makeEntry({ job, kind, slot = null, after = [], body, by }, { id, device, n, at }) {
  const own = OWN_SLOT_KINDS.has(kind);
  check(KINDS.has(kind), "kind", "one of the known kinds", kind);
  check(isUuid4(job), "job", "a UUID", job);
  check(own ? slot === null || slot === id : typeof slot === "string" && SLOT.test(slot), "slot",
    own ? "null" : "a slot name", slot);
  check(Array.isArray(after) && after.every(isUuid4) && (!own || after.length === 0), "after", "ids", after);
  check(isObject(body), "body", "an object", body);
  check(typeof by === "string" && by.trim() !== "" && by.length <= LONGEST_NAME, "by", "a person's name", by);
  const text = JSON.stringify(body);
  check(text.length <= LONGEST_BODY, "body", `at most ${LONGEST_BODY} characters`, `${text.length} characters`);
  const kept = JSON.parse(text); // what is kept is exactly what can be sent
  return { format: ENTRY_FORMAT, id, job, device, n, at, by, kind, slot: own ? id : slot,
    after: [...after], body: kept };
}

/** Writes a moment as local time with its zone: "2026-11-25T07:30:12.045+01:00". `ms` counts from 1970 UTC. */
export function zonedTime(ms, offsetMinutes = -new Date(ms).getTimezoneOffset()) {
  const local = new Date(ms + offsetMinutes * 60_000).toISOString().slice(0, -1);
  const size = Math.abs(offsetMinutes);
  const clock = [Math.floor(size / 60), size % 60].map((part) => String(part).padStart(2, "0")).join(":");
  return `${local}${offsetMinutes < 0 ? "-" : "+"}${clock}`;
}

/** @returns {boolean} whether a part of a body, which any program may have written, is an object and no list */
export function isObject(part) {
  return part !== null && typeof part === "object" && !Array.isArray(part);
}

function check(holds, field, expected, got) {
  if (!holds) throw new InputError("entry", field, expected, got);
}

/** @returns {number} which checklist began a job: 1 on the screens before the sheets, also where nobody said */
export function begunWithIn(entries) {
  return entries.find(({ kind }) => kind === KIND.JOB_OPENED)?.body.checklist ?? 1;
}
