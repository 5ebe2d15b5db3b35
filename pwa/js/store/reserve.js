// Room on the disk that this phone holds for itself, to be given up when a write would find none: what is typed can
// then still be saved, and the browser can put its log in order (torn-log.js). It lies in a cache of its own, for to
// delete there takes no room. Whether the disk has room is found out by taking some: the estimate of the browser names
// the same on a full disk.

import { StoreError } from "./store-error.js";

const CACHE = "tapermark.reserve";
/** What is taken only to see whether it can be; apart, for it is not held. */
const PROOF = "tapermark.reserve.proof";
/** A new log takes 7 MB, and some readings have to follow. In pieces, so that a disk with less is left as it was. */
const PIECES = 12;
const PIECE_BYTES = 1_048_576;
/** So long a cache may take. One that says nothing tells neither that there is room nor that there is none. */
const LIMIT_MS = 10_000;
/** A browser that gives no cache to this page has not run out of room. */
const NO_CACHE = new Set(["SecurityError", "NotSupportedError", "TypeError", "ReferenceError"]);

export class Reserve {
  /** What `hasRoomFor` counts in. */
  pieceBytes = PIECE_BYTES;
  #caches;
  #piece = null;
  #opened = null;
  #proving = null;

  /** @param {CacheStorage|undefined} caches */
  constructor(caches) {
    this.#caches = caches;
  }

  /**
   * Has the browser open both caches before anybody waits for them: the first time in a page it takes longer than to
   * put a piece. Held, they stay open. Never rejects.
   */
  open() {
    const opening = async () => (await this.#caches?.open(CACHE))?.keys();
    this.#opened ??= Promise.allSettled([opening(), this.#proofCache()]);
    return this.#opened;
  }

  /** Whether all of it is held. */
  isWhole() {
    return answerOf(this.#missing().then((pieces) => pieces === 0)).catch(() => false);
  }

  /**
   * Makes it where it is not whole. Resolves false where the disk has no room for it and for the next write beside it,
   * and leaves the disk as it was then.
   */
  keep() {
    return answerOf(this.#keep()).catch(() => false);
  }

  /**
   * Whether the disk has room for so many pieces beside it: takes them, and gives them back at once. What the browser
   * refuses by its own count breaks no write off: that is for the write itself to hear, for then older jobs can make
   * room. Rejects StoreError store-cannot-write where the browser does not say.
   */
  hasRoomFor(pieces) {
    return answerOf(this.#prove(pieces));
  }

  /** Gives it up. Resolves whether there was any. */
  release() {
    return answerOf(this.#release()).catch(() => false);
  }

  async #keep() {
    const { isRoom, isNew, giveBack } = await this.#take(this.#caches?.open(CACHE), () => this.#missing());
    const isKept = isRoom && (!isNew || (await this.#prove(1)));
    if (!isKept) await giveBack();
    return isKept;
  }

  async #prove(pieces) {
    const held = this.#proving;
    let took = await this.#take(this.#proofCache(), () => pieces);
    await took.giveBack();
    if (held && !took.isRoom && !took.isCounted) { // it may be gone from under us, as where the browser cleared it
      this.#proving = null;
      took = await this.#take(this.#proofCache(), () => pieces);
      await took.giveBack();
    }
    return took.isRoom || took.isCounted;
  }

  /** Opened once a page, for every save waits for it; emptied then of what a page left that ended in between. */
  #proofCache() {
    this.#proving ??= this.#openProof();
    return this.#proving;
  }

  async #openProof() {
    try {
      const cache = await this.#caches?.open(PROOF);
      for (const left of (await cache?.keys()) ?? []) await cache.delete(left);
      return cache;
    } catch (error) {
      this.#proving = null;
      throw error;
    }
  }

  async #missing() {
    const cache = await this.#caches?.open(CACHE);
    return cache ? PIECES - (await cache.keys()).length : 0;
  }

  async #release() {
    try {
      const cache = await this.#caches?.open(CACHE);
      const gone = await Promise.all(((await cache?.keys()) ?? []).map((name) => cache.delete(name)));
      return gone.some(Boolean);
    } catch {
      return false;
    }
  }

  async #take(opening, countPieces) {
    const made = [];
    let cache = null;
    const giveBack = () => Promise.all(made.map((address) => cache.delete(address).catch(() => false)));
    try {
      cache = await opening;
      if (!cache) return { isRoom: true, giveBack };
      const count = await countPieces();
      this.#piece ??= noise(); // made once: to make it takes longer than to put it
      for (let k = 0; k < count; k += 1) {
        made.push(`/reserve/${crypto.randomUUID()}`);
        await cache.put(made.at(-1), new Response(this.#piece));
      }
      return { isRoom: true, isNew: made.length > 0, giveBack };
    } catch (error) {
      return { isRoom: NO_CACHE.has(error.name), isCounted: error.name === "QuotaExceededError", giveBack };
    }
  }
}

/** Nothing that a disk could press together. */
function noise() {
  const bytes = crypto.getRandomValues(new Uint8Array(65_536));
  return new Blob(Array.from({ length: PIECE_BYTES / bytes.length }, () => bytes));
}

/** What is still on its way is given back when it comes. */
function answerOf(work) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new StoreError("store-cannot-write")), LIMIT_MS);
    work.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
