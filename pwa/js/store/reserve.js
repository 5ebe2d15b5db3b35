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
  /** Promise of the cache of the proof: opened once a page, for every save waits for it. */
  #proof = null;
  /** What is to be taken out of it before the next proof; null: whatever a page left there that ended in between. */
  #left = null;

  /** @param {CacheStorage|undefined} caches */
  constructor(caches) {
    this.#caches = caches;
  }

  /**
   * Has the browser open both caches before anybody waits for them: the first time in a page it takes longer than to
   * put a piece. Held, they stay open. Never rejects.
   */
  open() {
    const looked = async (opening) => {
      const cache = await opening;
      await cache?.keys();
      return cache;
    };
    this.#opened ??= Promise.allSettled([looked(this.#open(CACHE)), looked(this.#proof ?? this.#openProof())]);
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
    return answerOf(this.#keep()).catch(() => {
      this.#dropProof(this.#proof);
      return false;
    });
  }

  /**
   * Whether the disk has room for so many pieces beside it: takes them, and gives them back at once. What the browser
   * refuses by its own count breaks no write off: that is for the write itself to hear, for then older jobs can make
   * room. Rejects StoreError store-cannot-write where the browser does not say.
   */
  hasRoomFor(pieces) {
    const proving = answerOf(this.#prove(pieces));
    proving.catch(() => this.#dropProof(this.#proof)); // one that hangs is not asked again
    return proving;
  }

  /** Gives it up. Resolves whether there was any. */
  release() {
    return answerOf(this.#release()).catch(() => false);
  }

  async #keep() {
    const { isRoom, isNew, giveBack } = await this.#take(this.#open(CACHE), () => this.#missing());
    const isKept = isRoom && (!isNew || (await this.#prove(1)));
    if (!isKept) await giveBack();
    return isKept;
  }

  async #prove(pieces) {
    const held = this.#proof;
    let took = await this.#takeProof(held ?? this.#openProof(), pieces);
    if (held && took.hasFailed && !took.isCounted && this.#proof === held) { // the browser may have cleared it since
      this.#dropProof(held);
      took = await this.#takeProof(this.#openProof(), pieces);
    }
    return took.isRoom || took.isCounted;
  }

  async #takeProof(opening, pieces) {
    const took = await this.#take(opening, async (cache) => {
      const left = this.#left ?? await cache.keys();
      this.#left = [];
      for (const address of left) await cache.delete(address);
      return pieces;
    });
    const stuck = await took.giveBack();
    if (took.hasFailed) this.#left = null; // another tab may have left something, and there is no room to spare
    else this.#left?.push(...stuck);
    return took;
  }

  #openProof() {
    const opening = this.#open(PROOF);
    this.#proof = opening;
    opening.catch(() => this.#dropProof(opening));
    return opening;
  }

  #dropProof(opening) {
    if (this.#proof === opening) [this.#proof, this.#left] = [null, null];
  }

  async #open(name) {
    return this.#caches?.open(name);
  }

  async #missing() {
    const cache = await this.#open(CACHE);
    return cache ? PIECES - (await cache.keys()).length : 0;
  }

  async #release() {
    try {
      const cache = await this.#open(CACHE);
      const gone = await Promise.all(((await cache?.keys()) ?? []).map((name) => cache.delete(name)));
      return gone.some(Boolean);
    } catch {
      return false;
    }
  }

  /** giveBack resolves the addresses that could not be taken out. */
  async #take(opening, countIn) {
    const made = [];
    let cache = null;
    const goneOf = (address) => cache.delete(address).then(() => [], () => [address]);
    const giveBack = async () => (await Promise.all(made.map(goneOf))).flat();
    try {
      cache = await opening;
      if (!cache) return { isRoom: true, giveBack };
      const count = await countIn(cache);
      this.#piece ??= noise(); // made once: to make it takes longer than to put it
      for (let k = 0; k < count; k += 1) {
        made.push(`/reserve/${crypto.randomUUID()}`);
        await cache.put(made.at(-1), new Response(this.#piece));
      }
      return { isRoom: true, isNew: made.length > 0, giveBack };
    } catch (error) {
      const isCounted = error.name === "QuotaExceededError";
      return { isRoom: NO_CACHE.has(error.name), isCounted, hasFailed: true, giveBack };
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
