// After a write that failed on the disk itself, as on a full one, Chromium's log of the database may end in half a
// record. What is written behind it is read back as long as the browser runs; at the next start the log is found
// corrupt, and the whole database is dropped, promised or not (google/leveldb issue 1287; measured in
// tests/bench/bench_full_disk.py). So no write is begun on a disk without room, nor while room is taken to see whether
// there is some (storage-guard.js). One that failed all the same is followed by nothing but a new log: by more than the
// browser's write buffer holds. Where there is no room for that, the database is not even opened, for the browser
// writes to it then, and a new log that is broken off itself is what stands behind the torn record.

import { LOCAL, STORE } from "./names.js";
import { StoreError } from "./store-error.js";

/** LevelDB's buffer holds 4 MiB. Values beyond 64 kB would go into files of their own, past the log. */
const PIECES = 110;
const PIECE = 60_000;
/** What Chromium says of a disk that fails; other browsers keep no such log. */
const DISK_FAILURES = /IO error|FILE_ERROR|opening backing store/;

export class TornLog {
  #storage;
  #isTorn = false;

  /** @param {Storage} storage keeps it over a restart, and tells other tabs */
  constructor(storage) {
    this.#storage = storage;
  }

  get isTorn() {
    try {
      return this.#isTorn || this.#storage.getItem(LOCAL.TORN_LOG) !== null;
    } catch {
      return this.#isTorn;
    }
  }

  /** The log may be torn: the disk has failed, or the browser ended before all was on it. */
  note() {
    this.#isTorn = true;
    try {
      this.#storage.setItem(LOCAL.TORN_LOG, "1");
    } catch {
      // this page knows it
    }
  }

  /** Makes the browser begin a new log; `write` is the database's own, without this question. Rejects StoreError. */
  async mend(write) {
    const keys = Array.from({ length: PIECES }, (_, k) => `padding.${k}`);
    const value = "-".repeat(PIECE);
    await write([STORE.DRAFTS], (t) => { for (const key of keys) t.put(STORE.DRAFTS, { key, value }); });
    await write([STORE.DRAFTS], (t) => { for (const key of keys) t.delete(STORE.DRAFTS, key); });
    this.#isTorn = false;
    this.#storage.removeItem(LOCAL.TORN_LOG);
  }
}

/** Whether the disk itself failed under the browser; also of the StoreError that says so. */
export function isDiskFailure(error) {
  return DISK_FAILURES.test(error?.message ?? "");
}

/** The StoreError of such an error; `code` where it is not for want of room. */
export function diskFailure(error, code) {
  return new StoreError(/NO_SPACE/.test(error.message) ? "store-full" : code, error);
}
