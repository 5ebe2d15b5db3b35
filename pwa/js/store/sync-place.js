// Up to where this phone has come among the shop's entries, and what the server last said. The place moves in the same
// transaction as the entries that it covers, never before.

import { STATE_KEY, STORE } from "./names.js";

const NO_CURSOR = Object.freeze({
  key: STATE_KEY.CURSOR,
  since: null, // an older program reads it: null, so that it pulls from the beginning rather than believe in holes
  server_time: null, // ms, as the server said at the last sync
  synced_at: null, // ms, by this phone's clock
  high_water: {}, // device -> what the server said it holds without a gap
  backed_up_through: {}, // device -> the same in its newest backup
});

const NO_PLACE = Object.freeze({
  key: STATE_KEY.PLACE,
  since: null, // {epoch, seq, id} of the entry last seen: a whole job has every entry up to there
  // a name for the time since this database was made, or the server began anew: lines of another one count for nothing
  era: null,
  has_lines: true, // whether the server that answered last knows lines
  old_since: null, // where the rule of a server that knows none has led to
  old_from_start: false, // that rule was followed from the beginning, so it brings every job from its first entry
  missing: [], // jobs of which such a server has sent entries, and of which the beginning is not here
  lines_heard: null, // server's time of the last answer that told lines
  lines_through: null, // of the lines that came with these entries, once all of them have
  backed_up_seq: 0, // a backup has every entry up to this seq
});

export async function cursorIn(t) {
  return { ...NO_CURSOR, ...(await t.get(STORE.STATE, STATE_KEY.CURSOR)) };
}

export async function placeIn(t) {
  return { ...NO_PLACE, ...(await t.get(STORE.STATE, STATE_KEY.PLACE)) };
}

/** Where the next pull begins. */
export function sinceOf(place) {
  return place.has_lines ? place.since : place.old_since;
}

/** Whether two places among lines are one, or two among entries. */
export function isSamePlace(one, other) {
  if (!one || !other) return !one && !other;
  return one.epoch === other.epoch && one.seq === other.seq && one.id === other.id && one.at === other.at;
}
