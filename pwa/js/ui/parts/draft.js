/**
 * What is typed but not yet kept. localStorage mirrors every key at once, so that a killed page loses nothing; the
 * phone's store gets it when the typing rests, or when the program goes to the background. What is kept before that
 * never becomes a draft in the store.
 */

const MIRROR = "tapermark.draft.";
const REST_MS = 400;

/** Drafts whose last key the store does not hold yet. */
const resting = new Set();

for (const [target, event] of [[document, "visibilitychange"], [globalThis, "pagehide"]]) {
  target.addEventListener(event, () => { for (const draft of resting) draft.flush(); });
}

export class Draft {
  #phone;
  #key;
  #timer = null;
  #waiting = [];
  #writing = null;
  #count = 0;
  #isInStore = true; // until the store has said that it is not

  constructor(phone, key) {
    this.#phone = phone;
    this.#key = key;
  }

  /** @returns {Promise<*|null>} what was typed before, or null */
  async read() {
    const mirrored = localStorage.getItem(MIRROR + this.#key);
    if (mirrored) return JSON.parse(mirrored);
    const stored = (await this.#phone.draft(this.#key).catch(() => null)) ?? null;
    this.#isInStore = stored !== null;
    return stored;
  }

  write(typed) {
    this.#count += 1;
    mirror(this.#key, typed);
    this.#waiting = [typed];
    resting.add(this);
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.flush(), REST_MS);
  }

  /** Gives the store what it lacks. @returns {Promise<void>} once it holds it, or has failed: then the mirror does */
  flush() {
    clearTimeout(this.#timer);
    this.#writing ??= this.#writeAll().finally(() => { this.#writing = null; });
    return this.#writing;
  }

  /** What is typed anew meanwhile stays. */
  async drop() {
    const count = this.#count;
    this.#waiting = [];
    clearTimeout(this.#timer);
    localStorage.removeItem(MIRROR + this.#key);
    await this.#writing;
    if (this.#count !== count) return;
    resting.delete(this);
    localStorage.removeItem(MIRROR + this.#key);
    if (!this.#isInStore) return;
    await this.#phone.dropDraft(this.#key).then(() => { this.#isInStore = false; }, () => {});
  }

  async #writeAll() {
    while (this.#waiting.length > 0) {
      const [typed] = this.#waiting.splice(0);
      this.#isInStore = true;
      await this.#phone.saveDraft(this.#key, typed).then(() => this.#unmirror(typed), () => {});
    }
    resting.delete(this);
  }

  /** Only what the store now holds leaves the mirror: a later key may have been mirrored since. */
  #unmirror(typed) {
    if (localStorage.getItem(MIRROR + this.#key) === JSON.stringify(typed)) localStorage.removeItem(MIRROR + this.#key);
  }
}

/** A full localStorage must not stop the typing. */
function mirror(key, typed) {
  try {
    localStorage.setItem(MIRROR + key, JSON.stringify(typed));
  } catch {
    // The store's own draft remains.
  }
}
