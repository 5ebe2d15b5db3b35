/**
 * The living Job of the one job that is open here: read from the store once, then moved on by one entry at a time,
 * whether it was saved here, in another tab, or came by sync. It reads the store again only when somebody else has
 * written.
 */

export class OpenJob {
  #phone;
  #make;
  #job = null;
  #known = new Set();
  #isBehind = false;
  #reading = null;
  #held = { id: null, release() {} };

  /** @param {{phone: Phone, make: function({id: string, entries: Object[], names: Object}): Promise<Job>}} parts */
  constructor({ phone, make }) {
    this.#phone = phone;
    this.#make = make;
  }

  /** @returns {Job|null} the job if it is the one that is open, without asking anybody */
  kept(id) {
    return this.#job?.id === id ? this.#job : null;
  }

  /** Whether nobody else has written into it, or taken it away, since it was read. */
  isCurrent(id) {
    return Boolean(this.kept(id)) && !this.#isBehind && !this.#reading;
  }

  /**
   * A job that begins here: nothing of it has to be read.
   * @param {string} id
   * @param {Promise<Object|null>} saving its first entry; null where it could not be saved
   */
  async begin(id, saving) {
    while (this.#reading) await this.#reading;
    this.#reading = this.#begin(id, saving).finally(() => { this.#reading = null; });
    await this.#reading;
  }

  /** @returns {Promise<Job>} the job with every entry held here; the same object for as long as it is open */
  async job(id) {
    while (this.#reading) await this.#reading;
    if (!this.kept(id) || this.#isBehind) {
      this.#reading = this.#read(id).finally(() => { this.#reading = null; });
      await this.#reading;
    }
    return this.#job;
  }

  /** An entry that was just saved here. */
  apply(entry) {
    if (this.#reading) this.#isBehind = true; // what is being read may lack it
    if (this.kept(entry.job)) this.#take([entry]);
  }

  /** Hears what has changed in the store; what was saved here comes by `apply`. */
  heard({ jobs, cause, elsewhere }) {
    if (cause === "saved" && !elsewhere) return;
    if (this.#reading || jobs.length === 0 || jobs.some((job) => this.kept(job))) this.#isBehind = true;
  }

  async #begin(id, saving) {
    this.#isBehind = false; // what is heard from now on is later than what is read
    try {
      const [entry, names] = await Promise.all([saving, this.#phone.ringSetNames(), this.#hold(id)]);
      if (entry) await this.#takeUp(id, [entry], names);
    } finally {
      if (!this.kept(id)) await this.#stayWithOpen();
    }
  }

  /** It was not held for a moment. */
  async #stayWithOpen() {
    this.#isBehind = true;
    if (this.#job) await this.#hold(this.#job.id);
  }

  async #read(id) {
    await this.#hold(id);
    this.#isBehind = false;
    const [entries, names] = await Promise.all([this.#phone.entries(id), this.#phone.ringSetNames()]);
    const goesOn = this.kept(id) && entries.length >= this.#known.size
      && JSON.stringify(names) === JSON.stringify(this.#job.names);
    // else another job, one that was erased, or ring sets with other names
    if (goesOn) this.#take(entries);
    else await this.#takeUp(id, entries, names);
  }

  async #takeUp(id, entries, names) {
    this.#job = await this.#make({ id, entries, names });
    this.#known = new Set(entries.map((entry) => entry.id));
  }

  /** While it is open it does not leave this phone. */
  async #hold(id) {
    if (this.#held.id === id) return;
    const release = await this.#phone.holdJob(id);
    this.#held.release();
    this.#held = { id, release };
  }

  #take(entries) {
    for (const entry of entries) {
      if (this.#known.has(entry.id)) continue;
      this.#known.add(entry.id);
      this.#job.apply(entry);
    }
  }
}
