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

  async #read(id) {
    await this.#hold(id);
    this.#isBehind = false;
    const [entries, names] = await Promise.all([this.#phone.entries(id), this.#phone.ringSetNames()]);
    const goesOn = this.kept(id) && entries.length >= this.#known.size
      && JSON.stringify(names) === JSON.stringify(this.#job.names);
    if (goesOn) return this.#take(entries);
    // another job, one that was erased, or ring sets with other names
    this.#job = await this.#make({ id, entries, names });
    this.#known = new Set(entries.map((entry) => entry.id));
    return undefined;
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
