// What goes out next: entries that wait, which jobs are held whole, which are wanted so. It sends nothing itself.

import { deviceIn } from "./device.js";
import { MOST_CHARACTERS_SENT, MOST_ENTRIES, MOST_WHOLE, OPEN_TOO_LONG_MS } from "./limits.js";
import { STORE } from "./names.js";
import { cursorIn, placeIn, sinceOf } from "./sync-place.js";
import { adoptOlder, wholeIn } from "./whole-jobs.js";

/** Near the most that the server lets a phone name nothing more is asked for. */
const ROOM_FOR_NEW = 50;

/**
 * Which jobs are wanted whole and are not known to be, those first that somebody waits for; and up to where lines have
 * come.
 * @param {import("./lines.js").Lines} lines
 * @param {number} serverTime ms
 * @param {Map<string, object>} told lines that came just now, for they may not have been kept
 * @returns {Promise<{jobs: string[], lines: object|null, missing: string[], hasLines: boolean}>}
 *   missing: to be asked for one by one, of a server that knows no lines; hasLines: whether the one that answered last
 *   does
 */
export async function wished(database, lines, serverTime, told = new Map()) {
  const { whole, place } = await database.read([STORE.STATE, STORE.SUMMARIES],
    async (t) => ({ whole: await wholeIn(t), place: await placeIn(t) }));
  const known = await lines.jobs.place(place.era);
  const isFull = whole.jobs.size > MOST_WHOLE - ROOM_FOR_NEW;
  const kept = known && !isFull ? await lines.jobs.open() : [];
  const newest = new Map([...kept.map((line) => [line.job, line]), ...told]);
  const open = [...newest.values()].filter(({ state, changed_ms: changedMs }) => state === "open"
    && serverTime - changedMs <= OPEN_TOO_LONG_MS);
  const notHere = [
    ...Object.keys(whole.along), ...place.missing,
    ...open.sort((a, b) => b.changed_ms - a.changed_ms).map(({ job }) => job),
    ...whole.parts,
  ].filter((job) => !whole.jobs.has(job));
  const jobs = isFull ? [] : [...new Set([...notHere, ...whole.unproved])];
  return { jobs, lines: known, missing: place.has_lines ? [] : place.missing, hasLines: place.has_lines };
}

/**
 * The next batch: {device, since, entries, unsent, whole, bring, lines}, entries in the order in which this phone made
 * them; `unsent` wait behind it.
 * @param {{most?: number, without?: Set<string>, bring?: string[], lines?: object|null}} limits at most so many
 *   entries, and none of these ids; jobs wanted whole, and the place among lines
 */
export function outgoing(database, fresh, { most = MOST_ENTRIES, without = new Set(), bring = [], lines = null } = {}) {
  return database.write([STORE.STATE, STORE.OUTBOX, STORE.ENTRIES, STORE.SUMMARIES], async (t) => {
    if ((await cursorIn(t)).since !== null) await adoptOlder(t);
    const [device, place, whole, outbox] =
      await Promise.all([deviceIn(t, fresh), placeIn(t), wholeIn(t), t.all(STORE.OUTBOX)]);
    t.put(STORE.STATE, device); // the server must hear the same device id every time
    if (place.era === null) t.put(STORE.STATE, { ...place, era: fresh });
    whole.put(t); // from now on it is what it says, whatever comes
    const waiting = outbox.sort(byDeviceAndNumber);
    const rows = waiting.filter((row) => !without.has(row.id)).slice(0, Math.min(most, MOST_ENTRIES));
    const records = await Promise.all(rows.map((row) => t.get(STORE.ENTRIES, row.id)));
    const entries = firstThatFit(records.map((record) => record.entry));
    return {
      device: device.id, since: sinceOf(place), entries, unsent: waiting.length - entries.length,
      whole: named(whole, entries), bring, lines: sinceOf(place) === null ? null : lines,
    };
  });
}

/** Those of the batch, then those that would lose most by not being named. */
function named({ jobs, unproved }, entries) {
  const proved = [...jobs].filter((job) => !unproved.has(job));
  return [...new Set([...entries.map(({ job }) => job), ...proved, ...unproved])].slice(0, MOST_WHOLE);
}

/** At least one entry goes, however large: the server then refuses it by itself. */
function firstThatFit(entries) {
  let characters = 0;
  const end = entries.findIndex((entry, k) => {
    characters += JSON.stringify(entry).length;
    return k > 0 && characters > MOST_CHARACTERS_SENT;
  });
  return end < 0 ? entries : entries.slice(0, end);
}

function byDeviceAndNumber(a, b) {
  if (a.device !== b.device) return a.device < b.device ? -1 : 1;
  return a.n - b.n;
}
