// What the server's answer changes, whole or not at all: verdicts, entries, which jobs are whole now, and the place
// among entries, in one transaction. Lines follow in their own (job-lines.js).
// A whole job has every entry up to the place. So whatever the place passes for a job that the request did not name
// makes it unproved, and it is asked for from its beginning.

import { KIND } from "../domain/job/entry.js";
import { isUuid4 } from "../domain/job/ids.js";
import { catchUp, renameDevice } from "./device.js";
import { enqueue } from "./entries.js";
import { INDEX, STATE_KEY, STORE } from "./names.js";
import { NOT_WANTED, refusePhoto } from "./photos-out.js";
import { cursorIn, isSamePlace, placeIn, sinceOf } from "./sync-place.js";
import { applyPulled, PULL_STORES, pullInParts } from "./pulled-entries.js";
import { touch } from "./summaries.js";
import { dropSettled, matchCopies } from "./unsent-copies.js";
import { wholeIn } from "./whole-jobs.js";

/** The server's reason for what was erased at the desk. */
const ERASED = "erased";
/** With any other verdict, of a later server, the entry stays in the outbox. */
const SETTLED = new Set(["accepted", "already", "parked", "refused"]);
const STORES = [...PULL_STORES, STORE.REFUSED, STORE.PHOTOS, STORE.PHOTO_OUTBOX];

/**
 * @param {{freshId: function(): string, copies: import("./unsent-copies.js").UnsentCopies}} parts
 * @param {object} answer of POST /api/entries, see server/README: Records and sync
 * @param {{request: object, serverTime: number, at: number}} context
 * @returns {Promise<{jobs: string[], settled: number, behind: {device: string, n: number}|null, era: string|null,
 *   isOff: boolean}>} jobs that changed; how many entries left the outbox by a verdict; the last entry of this device
 *   that it has forgotten itself; the era of the lines that came; whether the place could not follow, so that the same
 *   is to be asked for once more
 */
export async function applyAnswer(database, { freshId, copies }, answer, { request, serverTime, at }) {
  const brought = broughtBy(answer, request);
  const { rest, jobs: early } = await pullInParts(database, answer.entries, brought, serverTime);
  const fresh = freshId();
  const outcome = await database.write(STORES, async (t) => {
    const jobs = new Set(early);
    const isSameStore = (await t.get(STORE.STATE, STATE_KEY.DEVICE))?.id === request.device;
    const settled = await applyVerdicts(t, answer.results, request.entries, serverTime, jobs);
    await touch(t, jobs);
    const [cursor, place, whole] = await Promise.all([cursorIn(t), placeIn(t), wholeIn(t)]);
    // made anew, it holds nothing of what came before
    const next = isSameStore ? moved({ answer, request, brought, place, whole, fresh, serverTime }) : place;
    if (!isSameStore) whole.addUnproved(brought);
    await applyPulled(t, rest.filter((entry) => whole.jobs.has(entry?.job)), serverTime, jobs);
    await dropErased(t, answer.lines ?? [], whole, jobs);
    whole.put(t);
    await sendAgain(t, answer, request.device, cursor, at);
    t.put(STORE.STATE, next);
    t.put(STORE.STATE, {
      ...cursor,
      server_time: serverTime,
      synced_at: at,
      high_water: { ...cursor.high_water, [request.device]: answer.high_water },
      backed_up_through: { ...cursor.backed_up_through, [request.device]: answer.backed_up_through },
    });
    const behind = await catchUp(t, request.device, answer.high_water);
    if (answer.new_device) await renameDevice(t, answer.new_device);
    return { jobs: [...jobs], settled, behind, era: next.era, isOff: isSameStore
      && !isSamePlace(sinceOf(next), answer.next) };
  });
  await dropSettled(database, copies, [...request.entries, ...answer.entries].map((entry) => entry?.id));
  if (answer.restart) await matchCopies(database, copies); // much of what was sent waits again
  return outcome;
}

/**
 * Keeps a job that was asked for by itself; the place stays, so it is not known to have all up to there.
 * @param {{job: string, entries: object[], serverTime: number, isWished?: boolean}} found isWished: a person took it
 *   along
 */
export async function keepJob(database, copies, { job, entries, serverTime, isWished = true }) {
  const { rest } = await pullInParts(database, entries, [job], serverTime);
  const outcome = await database.write(PULL_STORES, async (t) => {
    const jobs = new Set();
    const [place, whole] = await Promise.all([placeIn(t), wholeIn(t)]);
    await applyPulled(t, rest.filter((entry) => entry?.job === job), serverTime, jobs);
    whole.addUnproved([job]);
    if (isWished) whole.takeAlong(job, serverTime);
    whole.put(t);
    if (place.missing.includes(job))
      t.put(STORE.STATE, { ...place, missing: place.missing.filter((each) => each !== job) });
    return { jobs: [...jobs] };
  });
  await dropSettled(database, copies, entries.map((entry) => entry?.id));
  return outcome;
}

/** Only what was asked for counts. */
function broughtBy({ lines, whole }, { bring = [] }) {
  return lines ? whole.filter((job) => bring.includes(job)) : [];
}

/** The place after this answer; `whole` is changed with it. */
function moved({ answer, request, brought, place, whole, fresh, serverTime }) {
  const isFromStart = request.since === null || answer.restart;
  if (!answer.lines) return movedByOldRule(answer, isFromStart || isSamePlace(sinceOf(place), request.since),
    isFromStart, place, whole);
  const goesOn = isFromStart || isSamePlace(place.since, request.since);
  const moves = goesOn || place.since === null;
  if (moves) {
    const named = new Set([...(goesOn ? request.whole : []), ...brought]);
    for (const job of whole.jobs) if (!named.has(job)) whole.doubt(job);
    if (isFromStart) for (const job of request.whole) if (whole.jobs.has(job)) whole.prove(job);
  }
  for (const job of brought) whole.prove(job);
  return {
    ...place, since: moves ? answer.next : place.since, era: answer.restart ? fresh : place.era, has_lines: true,
    old_since: null, old_from_start: false, missing: [], lines_heard: serverTime,
    lines_through: moves && !answer.more ? answer.lines_next : null,
    backed_up_seq: answer.backed_up_seq,
  };
}

/**
 * A server that knows no lines sends whatever came for any job that is open or changed within a month. Followed from
 * the beginning that brings all of each; else what is not held whole has to be asked for by itself.
 */
function movedByOldRule({ entries, next }, goesOn, isFromStart, place, whole) {
  const jobs = [...new Set(entries.map((entry) => entry?.job).filter(isUuid4))];
  const fromStart = isFromStart || (!place.has_lines && place.old_from_start);
  if (fromStart) whole.addUnproved(jobs);
  const missing = new Set([...place.missing, ...jobs.filter((job) => !whole.jobs.has(job))]);
  return {
    ...place, has_lines: false, old_since: goesOn ? next : sinceOf(place), old_from_start: fromStart,
    missing: [...missing], lines_through: null,
  };
}

/** Only ids that were in this request count: an answer to something else must not empty the outbox. */
async function applyVerdicts(transaction, results, sent, serverTime, jobs) {
  const sentIds = new Set(sent.map((entry) => entry.id));
  const settling = results.filter(({ id, verdict }) => sentIds.has(id) && SETTLED.has(verdict));
  const records = await Promise.all(settling.map(({ id }) => transaction.get(STORE.ENTRIES, id)));
  for (const [k, { id, verdict, reason, text }] of settling.entries()) {
    const record = records[k];
    if (!record) continue; // the storage was made anew since it was sent
    if (verdict === "refused" && reason === ERASED && record.held_at !== null) {
      transaction.delete(STORE.ENTRIES, id); // sent again to a server that had it, and has erased it
    } else if (verdict === "refused") {
      transaction.put(STORE.REFUSED, { id, reason: reason ?? "", text: text ?? "" });
      if (record.entry.kind === KIND.PHOTO_ATTACHED)
        await refusePhoto(transaction, record.entry.body.sha256, NOT_WANTED);
    } else {
      const isParked = verdict === "parked" || Boolean(record.parked); // "already" does not say
      transaction.put(STORE.ENTRIES, { ...record, held_at: serverTime, ...(isParked && { parked: true }) });
    }
    transaction.delete(STORE.OUTBOX, id);
    jobs.add(record.job);
  }
  return settling.length;
}

/**
 * Puts entries back into the outbox when the server has gone back in time: after a restart all that this phone holds,
 * other phones' too, because theirs may be lost; else its own beyond the high water where that has fallen. What the
 * server still holds it answers with "already".
 */
async function sendAgain(transaction, answer, device, cursor, at) {
  const fell = answer.high_water < (cursor.high_water[device] ?? 0);
  if (!answer.restart && !fell) return;
  const refused = (await transaction.all(STORE.REFUSED)).map((row) => row.id);
  const settled = new Set([...refused, ...answer.results.map((r) => r.id), ...answer.entries.map((entry) => entry.id)]);
  for (const { id, mine, entry } of await transaction.all(STORE.ENTRIES)) {
    const missing = answer.restart || (mine && entry.device === device && entry.n > answer.high_water);
    if (missing && !settled.has(id)) enqueue(transaction, entry, at);
  }
}

/**
 * A job that was erased at the desk: what the server had of it goes from this phone too, photos with it. What was not
 * sent, or was refused, stays and goes out as before, for nobody has seen it yet. `whole` and `jobs` (those that
 * changed) are changed with it.
 * @param {{job: string, state: string}[]} lines of the answer
 */
async function dropErased(t, lines, whole, jobs) {
  for (const { job } of lines.filter(({ state }) => state === "erased")) {
    whole.forget(job);
    const records = await t.allByIndex(STORE.ENTRIES, INDEX.ENTRIES_BY_JOB, job);
    const waiting = new Set([...(await t.keys(STORE.OUTBOX)), ...(await t.keys(STORE.REFUSED))]);
    const gone = records.filter(({ id, held_at: heldAt }) => heldAt !== null && !waiting.has(id));
    for (const { id } of gone) t.delete(STORE.ENTRIES, id);
    await dropPhotos(t, gone.flatMap(({ entry }) => photoOf(entry)));
    if (gone.length === records.length) t.delete(STORE.SUMMARIES, job);
    else {
      await touch(t, [job]);
      whole.addPart(job);
    }
    if (gone.length > 0) jobs.add(job);
  }
}

/** What another entry shows stays. */
async function dropPhotos(t, names) {
  if (names.length === 0) return;
  const shown = new Set((await t.all(STORE.ENTRIES)).flatMap(({ entry }) => photoOf(entry)));
  for (const sha256 of names.filter((name) => !shown.has(name))) {
    for (const store of [STORE.PHOTOS, STORE.PHOTO_OUTBOX]) t.delete(store, sha256);
  }
}

function photoOf({ kind, body }) {
  return kind === KIND.PHOTO_ATTACHED && typeof body?.sha256 === "string" ? [body.sha256] : [];
}
