// Room on the disk that this phone holds for itself, to be given up when a write finds none: what is typed can then still be
// saved, and the browser can put its log in order (torn-log.js). It lies in a cache of its own, for to delete there takes no
// room; the estimate of the browser does not know how much of it the disk really has.

const CACHE = "tapermark.reserve";
/** A new log takes 7 MB, and some readings have to follow. In pieces, so that a disk with less is left as it was. */
const PIECES = 12;
const PIECE_BYTES = 1_048_576;
/** A browser that gives no cache to this page has not run out of room. */
const NO_CACHE = new Set(["SecurityError", "NotSupportedError", "TypeError", "ReferenceError"]);

export class Reserve {
  #caches;

  /** @param {CacheStorage|undefined} caches */
  constructor(caches) {
    this.#caches = caches;
  }

  /** Makes it where it is not whole. Resolves false where the disk has no room for it, and leaves the disk as it was then. */
  async keep() {
    const made = [];
    let cache = null;
    try {
      cache = await this.#caches?.open(CACHE);
      if (!cache) return true;
      const lacking = PIECES - (await cache.keys()).length;
      const noise = crypto.getRandomValues(new Uint8Array(65_536)); // nothing that a disk could press together
      const piece = new Blob(Array.from({ length: PIECE_BYTES / noise.length }, () => noise));
      for (let k = 0; k < lacking; k += 1) {
        made.push(`/reserve/${crypto.randomUUID()}`);
        await cache.put(made.at(-1), new Response(piece));
      }
      return true;
    } catch (error) {
      if (NO_CACHE.has(error.name)) return true;
      await Promise.all(made.map((name) => cache.delete(name).catch(() => false)));
      return false;
    }
  }

  /** Gives it up. Resolves whether there was any. */
  async release() {
    try {
      const cache = await this.#caches?.open(CACHE);
      const gone = await Promise.all(((await cache?.keys()) ?? []).map((name) => cache.delete(name)));
      return gone.some(Boolean);
    } catch {
      return false;
    }
  }
}
