// Finds out that this phone had stored jobs and has them no more, keeps that on record until the person has read it,
// and brings back what has a second copy. A witness outside the database says how much was stored.

import { addOwn, OWN_STORES } from "./entries.js";
import { LOCAL, STATE_KEY, STORE } from "./names.js";
import { setSetting, settingOf } from "./settings.js";
import { matchCopies } from "./unsent-copies.js";
import { wholeIn } from "./whole-jobs.js";

/** The setting that says that a loss which only the server knew of was read. */
const LOSS_READ = "loss-read";
const RESTORING = [...OWN_STORES, STORE.PHOTO_OUTBOX];

export class StorageLoss {
  #database;
  #storage;
  #copies;
  #freshId;
  #isFirstLook = true;
  #last = null; // the witness as this page knows it: localStorage may be emptied together with the database

  /**
   * @param {{database: Database, storage: Storage, copies: UnsentCopies, freshId: function, onFound: function}} parts
   */
  constructor({ database, storage, copies, freshId, onFound }) {
    this.#database = database;
    this.#storage = storage;
    this.#copies = copies;
    this.#freshId = freshId;
    let isLoss = false;
    database.onCreated = {
      fill: (transaction) => { isLoss = this.#fill(transaction); },
      filled: () => { if (isLoss) onFound(); },
    };
  }

  /**
   * Until it is read {device, n, unsent, photos, restored}, or null: as that device the phone had made n entries; so
   * many that waited, and so many photos, are gone, and so many entries are back.
   */
  async look() {
    const seen = this.#witness(); // before the database, which is written first and so never behind it
    const [device, loss] = await this.#database.read([STORE.STATE], (t) =>
      Promise.all([t.get(STORE.STATE, STATE_KEY.DEVICE), t.get(STORE.STATE, STATE_KEY.LOSS)]));
    if (this.#isFirstLook && isAhead(seen, device)) this.#database.tornLog?.note();
    this.#isFirstLook = false;
    if (loss) return told(loss);
    return isBehind(seen, device) ? this.#record(seen) : null;
  }

  /** Brings back entries that only have a copy; resolves as `look` does. */
  async restore() {
    const seen = this.#witness();
    const missing = await matchCopies(this.#database, this.#copies);
    return missing.length > 0 ? this.#record(seen) : null;
  }

  /**
   * Notes outside the database what it holds now; failing is harmless. The witness of another device, or of a higher
   * number, says that something is gone: it stays, and false is the answer.
   * @param {{id: string, n: number, former: string[]}} device
   */
  remember(device, { entries, photos }) {
    if (isBehind(this.#witness(), device)) return false;
    this.#last = { device: device.id, n: device.n, unsent: entries, photos };
    try {
      this.#storage.setItem(LOCAL.STORED_JOBS, JSON.stringify(this.#last));
    } catch {
      // no localStorage: only this page then knows
    }
    return true;
  }

  /**
   * The server has had so many entries from this phone. A store that was never in contact with it, and has made fewer,
   * is a new one: the browser has emptied everything but the cookie, all traces too. Resolves as `look` does.
   */
  async compareWithServer(sent) {
    if (sent === 0 || (await settingOf(this.#database, LOSS_READ))) return null;
    const [device, cursor] = await this.#database.read([STORE.STATE], (t) =>
      Promise.all([STATE_KEY.DEVICE, STATE_KEY.CURSOR].map((key) => t.get(STORE.STATE, key))));
    const isNew = !cursor?.synced_at && !device?.former.length && sent > (device?.n ?? 0);
    return isNew ? { device: null, n: sent, unsent: 0, photos: 0, restored: 0 } : null;
  }

  /** The person has read it. */
  async forget() {
    await this.#database.write([STORE.STATE], (t) => t.delete(STORE.STATE, STATE_KEY.LOSS));
    await setSetting(this.#database, LOSS_READ, true);
    this.#last = null;
    try {
      this.#storage.removeItem(LOCAL.STORED_JOBS);
    } catch {
      // nothing was kept
    }
  }

  /** In the transaction that makes an empty database; true if it takes the place of one that held something. */
  #fill(transaction) {
    const [seen, copies] = [this.#witness(), this.#whole()];
    if (copies.length === 0 && !isBehind(seen, undefined)) return false;
    // restore tries again
    putLoss(transaction, { seen, copies, missing: copies, freshId: this.#freshId() }).catch(() => {});
    return true;
  }

  /** The same in a database that is there: it may be an older state of itself. */
  async #record(seen) {
    const [copies, freshId] = [this.#whole(), this.#freshId()];
    const made = await this.#database.write(RESTORING, async (t) => {
      const [device, loss] = await Promise.all([STATE_KEY.DEVICE, STATE_KEY.LOSS]
        .map((key) => t.get(STORE.STATE, key)));
      const records = await Promise.all(copies.map(({ entry }) => t.get(STORE.ENTRIES, entry.id)));
      const missing = copies.filter((_, k) => !records[k]);
      if (missing.length === 0 && !isBehind(seen, device)) return loss; // another tab was first
      return putLoss(t, { device, loss, seen, copies, missing, freshId,
        photosHere: await t.count(STORE.PHOTO_OUTBOX) });
    });
    return made ? told(made) : null;
  }

  #whole() {
    return this.#copies.ids().map((id) => this.#copies.get(id)).filter(Boolean);
  }

  #witness() {
    try {
      return JSON.parse(this.#storage.getItem(LOCAL.STORED_JOBS)) ?? this.#last;
    } catch {
      return this.#last;
    }
  }
}

/** The database holds less than what was seen: another device's, none at all, or an older state of the same. */
function isBehind(seen, device) {
  if (!seen || seen.n === 0) return false;
  if (![device?.id, ...(device?.former ?? [])].includes(seen.device)) return true;
  return device.id === seen.device && device.n < seen.n;
}

/** The database holds more than the witness, which follows every save: the browser ended before all was on the disk. */
function isAhead(seen, device) {
  return Boolean(device) && device.n > 0 && (!seen || (seen.device === device.id && seen.n < device.n));
}

/**
 * Puts the missing entries back under their ids, and the loss on record. The phone goes on as another device: the
 * numbers of the one before may have been given away already, and none may be given twice.
 */
async function putLoss(transaction, { device, loss, seen, copies, missing, freshId, photosHere = 0 }) {
  const whole = await wholeIn(transaction);
  whole.addUnproved(missing.map(({ entry }) => entry.job)); // work goes on in them
  whole.put(transaction);
  for (const { entry, queued_at: queuedAt } of missing) await addOwn(transaction, entry, queuedAt);
  const devices = [...(device?.former ?? []), device?.id, seen?.device, ...missing.map(({ entry }) => entry.device)];
  transaction.put(STORE.STATE, { key: STATE_KEY.DEVICE, id: freshId, n: 0,
    former: [...new Set(devices.filter(Boolean))] });
  const made = loss ?? {
    key: STATE_KEY.LOSS,
    device: seen?.device ?? missing[0].entry.device,
    n: seen?.n ?? missing.length,
    // each that waited had a copy, while there was room for it
    unsent: Math.max(0, (seen?.unsent ?? 0) - copies.length),
    photos: Math.max(0, (seen?.photos ?? 0) - photosHere),
    restored: 0,
  };
  const withThese = { ...made, restored: made.restored + missing.length };
  transaction.put(STORE.STATE, withThese);
  return withThese;
}

function told({ device, n, unsent, photos, restored }) {
  return { device, n, unsent, photos, restored };
}
