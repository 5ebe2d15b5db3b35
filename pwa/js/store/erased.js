// A job that was erased at the desk: what the server had of it goes from this phone too, photos with it. What was not
// sent, or was refused, stays and goes out as before, for nobody has seen it yet.

import { KIND } from "../domain/job/entry.js";
import { INDEX, STORE } from "./names.js";
import { touch } from "./summaries.js";

/**
 * In the transaction that applies an answer. `whole` and `jobs` (those that changed) are changed with it.
 * @param {{job: string, state: string}[]} lines of the answer
 */
export async function dropErased(t, lines, whole, jobs) {
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
