/**
 * The shop's vehicle types as widgets ask for them: read once, and again after what came from the server or from
 * another tab.
 */

const all = new WeakMap();

/** @returns {KeptTypes} the one of this phone */
export function keptTypes(phone) {
  if (!all.has(phone)) all.set(phone, new KeptTypes(phone));
  return all.get(phone);
}

class KeptTypes {
  #phone;
  #rows = null;
  /** what a job names -> {now, isStale, reading} */
  #named = new Map();

  constructor(phone) {
    this.#phone = phone;
    phone.onChange(({ jobs }) => {
      if (jobs.length > 0) return;
      this.#rows = null;
      for (const each of this.#named.values()) each.isStale = true;
    });
  }

  /** @returns {Promise<object[]>} rows as find-type.js takes them */
  rows() {
    this.#rows ??= this.#phone.typeRows().catch(() => { this.#rows = null; return []; });
    return this.#rows;
  }

  /**
   * @param {Job} job
   * @param {function(): void} onCome called once what is not here yet is
   * @returns {object|null} the type that was chosen for the job, as it is now (typeNow of store/types.js); null where
   *   none is, or until it comes
   */
  chosen(job, onCome) {
    const ref = job.field("vehicle.type");
    if (!ref?.type) return null;
    const key = `${ref.type} ${ref.revision}`;
    const kept = this.#named.get(key) ?? { now: null, isStale: true, reading: null };
    this.#named.set(key, kept);
    if (kept.isStale) {
      kept.isStale = false;
      kept.reading = this.#phone.typeNow(ref).then((now) => { kept.now = now; }, () => { kept.isStale = true; });
      kept.reading.then(onCome);
    } else if (!kept.now) kept.reading?.then(onCome);
    return kept.now;
  }
}
