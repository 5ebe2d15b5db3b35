// The shop has ended this phone's pairing: what it has and has backed up is no business of this phone any more. What is
// not sent, was refused, or is in no backup that this phone knows of stays, whole job by whole job.
// A job that somebody worked on within the last day and has not closed stays too: a wheel may be off.
// What the shop remembers goes with it: vehicle types, people, counts of rings, history. Of the vehicles of jobs that
// stay open the history stays, for a second pair of rings on top of one is dangerous.

import { PEOPLE } from "../domain/job/people.js";
import { fieldOf } from "../domain/job/slot-values.js";
import { STATE_KEY, STORE } from "./names.js";
import { placeIn } from "./sync-place.js";
import { dropJob, jobIn, newestInBackup, prunePhotos } from "./prune.js";
import { RINGS_PLACE } from "./settings.js";
import { jobsOf } from "./summaries.js";
import { forgetTypes } from "./types.js";
import { wholeIn } from "./whole-jobs.js";

const AT_WORK_MS = 24 * 3600 * 1000;
const STORES = [STORE.STATE, STORE.ENTRIES, STORE.SUMMARIES, STORE.OUTBOX, STORE.PHOTO_OUTBOX, STORE.REFUSED];

/**
 * Lets go of what the shop surely has. Should it be paired again, everything is pulled from the beginning.
 * @param {Database} database
 * @param {Lines} lines
 * @returns {Promise<{gone: string[], kept: number, isNews: boolean}>} jobs that went, and how many stay; `isNews`:
 *   something went
 */
export async function leaveShop(database, lines) {
  const cursor = await database.read([STORE.STATE], (t) => t.get(STORE.STATE, STATE_KEY.CURSOR));
  const summaries = await jobsOf(database);
  const gone = [];
  const vehicles = [];
  if (cursor?.server_time) {
    const newest = newestInBackup(summaries, cursor.backed_up_through);
    for (const { job } of summaries) {
      const { isGone, vehicle } = await leaveJob(database, job, newest).catch(() => ({ isGone: false, vehicle: null }));
      if (isGone) gone.push(job);
      else if (vehicle) vehicles.push(vehicle);
    }
    await prunePhotos(database, newest, cursor.server_time);
  }
  const isForgotten = await forgetSettings(database);
  await lines.keepOnly(vehicles);
  return { gone, kept: summaries.length - gone.length, isNews: isForgotten || gone.length > 0 };
}

/** `vehicle` of a job that stays open: an open job alone may still put rings in. */
function leaveJob(database, job, newest) {
  return database.write(STORES, async (t) => {
    const [{ cursor, records, folded, isOpen, isSafe }, photos, place, whole] = await Promise.all([
      jobIn(t, job, newest), t.all(STORE.PHOTO_OUTBOX), placeIn(t), wholeIn(t),
    ]);
    const isAtWork = isOpen && records.some(({ mine, held_at: heldAt }) => mine
      && heldAt > cursor.server_time - AT_WORK_MS);
    if (isAtWork || !isSafe || photos.some((row) => row.job === job))
      return { isGone: false, vehicle: isOpen ? vehicleOf(folded) : null };
    dropJob(t, job, records, whole);
    t.put(STORE.STATE, { key: place.key, era: place.era }); // from the beginning, should it be paired again
    return { isGone: true, vehicle: null };
  });
}

function vehicleOf(folded) {
  const [registration, vin] = ["registration", "vin"].map((name) => fieldOf(folded, `vehicle.${name}`))
    .map((said) => (typeof said === "string" ? said : ""));
  return { registration, vin };
}

/** @returns {Promise<boolean>} whether there was anything */
function forgetSettings(database) {
  return database.write([STORE.SETTINGS], async (t) => {
    const before = (await t.keys(STORE.SETTINGS)).length;
    for (const name of [PEOPLE, RINGS_PLACE]) t.delete(STORE.SETTINGS, name);
    await forgetTypes(t);
    return (await t.keys(STORE.SETTINGS)).length < before;
  });
}
