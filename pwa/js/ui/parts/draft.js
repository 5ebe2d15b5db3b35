/**
 * What is typed but not yet kept, written at every key so that a killed page loses nothing. The phone's store
 * holds it; localStorage holds it too while the store is slow or failing.
 */

const MIRROR = "tapermark.draft.";

export class Draft {
  #phone;
  #key;
  #written = Promise.resolve();

  constructor(phone, key) {
    this.#phone = phone;
    this.#key = key;
  }

  /** @returns {Promise<*|null>} what was typed before, or null */
  async read() {
    const mirrored = localStorage.getItem(MIRROR + this.#key);
    if (mirrored) return JSON.parse(mirrored);
    return (await this.#phone.draft(this.#key).catch(() => null)) ?? null;
  }

  write(typed) {
    mirror(this.#key, typed);
    this.#written = this.#written
      .then(() => this.#phone.saveDraft(this.#key, typed))
      .then(() => this.#unmirror(typed), () => {});
    return this.#written;
  }

  async drop() {
    localStorage.removeItem(MIRROR + this.#key);
    await this.#written;
    localStorage.removeItem(MIRROR + this.#key);
    await this.#phone.dropDraft(this.#key).catch(() => {});
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
