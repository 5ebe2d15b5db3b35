// The shop has ended this phone's pairing: what it has and has backed up is no business of this phone any more. What is not
// sent, was refused, or is in no backup that this phone knows of stays, whole job by whole job.
// A job that somebody worked on within the last day and has not closed stays too: a wheel may be off.

import { STATE_KEY, STORE } from "./names.js";
import { dropJob, jobIn, newestInBackup, prunePhotos } from "./prune.js";
import { jobsOf } from "./summaries.js";

const AT_WORK_MS = 24 * 3600 * 1000;
const STORES = [STORE.STATE, STORE.ENTRIES, STORE.SUMMARIES, STORE.OUTBOX, STORE.PHOTO_OUTBOX, STORE.REFUSED];

/**
 * Lets go of what the shop surely has. Should it be paired again, everything is pulled from the beginning.
 * @returns {Promise<{gone: string[], kept: number}>} jobs that went, and how many stay
 */
export async function leaveShop(database) {
  const cursor = await database.read([STORE.STATE], (t) => t.get(STORE.STATE, STATE_KEY.CURSOR));
  const summaries = await jobsOf(database);
  if (!cursor?.server_time) return { gone: [], kept: summaries.length };
  const newest = newestInBackup(summaries, cursor.backed_up_through);
  const gone = [];
  for (const { job } of summaries) if (await isGone(database, job, newest).catch(() => false)) gone.push(job);
  await prunePhotos(database, newest, cursor.server_time);
  return { gone, kept: summaries.length - gone.length };
}

function isGone(database, job, newest) {
  return database.write(STORES, async (t) => {
    const [{ cursor, records, isOpen, isSafe }, photos] = await Promise.all([jobIn(t, job, newest), t.all(STORE.PHOTO_OUTBOX)]);
    const isAtWork = isOpen && records.some(({ mine, held_at: heldAt }) => mine && heldAt > cursor.server_time - AT_WORK_MS);
    if (isAtWork || !isSafe || photos.some((row) => row.job === job)) return false;
    dropJob(t, job, records);
    t.put(STORE.STATE, { ...cursor, since: null });
    return true;
  });
}
