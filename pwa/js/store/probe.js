// Writes and reads back a record before a job starts: in a private window or with storage off this fails, and the
// person must know it before the first reading, not after.

import { STATE_KEY, STORE } from "./names.js";
import { StoreError } from "./store-error.js";
import { adoptOlder } from "./whole-jobs.js";

/**
 * A program that knows no lines leaves its probe without `lines`: so it is noticed that one was at work here.
 * Resolves if a written value can be read back; rejects StoreError. `token` must differ from call to call. Another tab
 * may write its own token in between: what must not be read back is what stood there before.
 */
export async function probe(database, token) {
  const before = await database.write([STORE.STATE, STORE.SUMMARIES], async (t) => {
    const earlier = await t.get(STORE.STATE, STATE_KEY.PROBE);
    if (!earlier?.lines) await adoptOlder(t);
    t.put(STORE.STATE, { key: STATE_KEY.PROBE, token, lines: true });
    return earlier?.token;
  });
  const back = await database.read([STORE.STATE], (t) => t.get(STORE.STATE, STATE_KEY.PROBE));
  if (back === undefined || back.token === before) throw new StoreError("store-cannot-write");
}
