// What the shop tells of all jobs, all vehicles and of itself, in a database of its own: a line of each job
// (job-lines.js), what is fitted in each vehicle, and small lists that come whole (rings at hand, rechecks). It proves
// nothing, is never sent, and may be dropped at any time: where it cannot be read it is as if nothing had come yet. Of
// what is fitted, vehicles stand there under digests of registration and VIN: a lost phone lists no customers but those
// of open jobs, of a month's closed ones, and of fasteners to be rechecked.

import { lettersAndDigits } from "../domain/job/summary.js";
import { Database } from "./database.js";
import { JobLines } from "./job-lines.js";
import { packedId, unpackedId } from "./packed-id.js";
import { FITTINGS_PLACE, LINES_INDEX, LINES_NAME, LINES_STORE } from "./names.js";
import { shortDigest } from "./photos.js";
import { isDiskFailure } from "./torn-log.js";

const { FITTINGS, LINES, STATE } = LINES_STORE;
/**
 * Fittings in one transaction: a page of 5,000 comes near the time that a slow phone has for one. They come in the
 * order of `at`.
 */
const TOGETHER = 1000;

/** An older program that finds version 2 takes it away and makes its own; it all comes again. */
const SCHEMA = Object.freeze({
  version: 2,
  upgrade(database, _transaction, oldVersion) {
    if (oldVersion > 0) for (const store of [FITTINGS, STATE]) database.deleteObjectStore(store); // ids were text
    database.createObjectStore(FITTINGS, { keyPath: "job" }).createIndex(LINES_INDEX.FITTINGS_BY_KEY,
      LINES_INDEX.FITTINGS_BY_KEY, { multiEntry: true });
    database.createObjectStore(STATE, { keyPath: "key" });
    database.createObjectStore(LINES, { keyPath: "job" }).createIndex(LINES_INDEX.LINES_BY_STATE,
      LINES_INDEX.LINES_BY_STATE);
  },
});

export class Lines {
  /** @type {JobLines} */
  jobs;
  #database;

  /** @param {{factory?: IDBFactory, name?: string, protect?: function(Database)}} parts protect: see StorageGuard */
  constructor({ factory, name = LINES_NAME, protect = () => {} } = {}) {
    this.#database = new Database({ factory, name, schema: SCHEMA });
    protect(this.#database);
    this.jobs = new JobLines({ read: (...what) => this.#read(...what), write: (...what) => this.#write(...what) });
  }

  /** @returns {Promise<{epoch: string, at: number}>} up to where fittings have come; an empty epoch where none have */
  async position() {
    const { epoch = "", at = 0 } = (await this.#read([STATE], (t) => t.get(STATE, FITTINGS_PLACE))) ?? {};
    return { epoch, at };
  }

  /** Takes a page of `GET /api/fittings`; another epoch than before empties what there was. */
  async takeFittings({ fittings, next }) {
    for (let start = 0; start === 0 || start < fittings.length; start += TOGETHER) {
      const part = fittings.slice(start, start + TOGETHER);
      const isLast = start + TOGETHER >= fittings.length;
      await this.#takePart(part, { epoch: next.epoch, at: isLast ? next.at : part.at(-1).at });
    }
  }

  #takePart(fittings, { epoch, at: upTo }) {
    return this.#write([FITTINGS, STATE], async (t) => {
      const before = await t.get(STATE, FITTINGS_PLACE);
      if (before?.epoch !== epoch) t.clear(FITTINGS);
      for (const { job, at, keys, left, right, day } of fittings) {
        if (keys.length === 0) t.delete(FITTINGS, packedId(job)); // it counts no more
        else t.put(FITTINGS, { job: packedId(job), at, keys: keys.map(packedId), left, right, day });
      }
      t.put(STATE, { key: FITTINGS_PLACE, epoch, at: upTo });
    });
  }

  /**
   * @param {{registration: string, vin: string}} vehicle as typed
   * @returns {Promise<object[]>} what the shop says is in it, what was found by the VIN first, then the newest
   */
  async fittingsOf(vehicle) {
    return (await this.#rowsOf(vehicle))
      .map(({ job, at, left, right, day }) => ({ job: unpackedId(job), at, left, right, day }));
  }

  async #rowsOf(vehicle) {
    const { epoch } = await this.position();
    const asked = ["vin", "registration"].map((what) => [what, lettersAndDigits(vehicle[what])])
      .filter(([, key]) => key !== "");
    if (epoch === "" || asked.length === 0) return [];
    const digests = await Promise.all(asked.map(([what, key]) => vehicleDigest(epoch, what, key)));
    const found = (await this.#read([FITTINGS],
      (t) => Promise.all(digests.map((digest) => t.allByIndex(FITTINGS, LINES_INDEX.FITTINGS_BY_KEY,
        packedId(digest)))))) ?? [];
    // each has its own `at`
    const rows = new Map(found.flatMap((each) => each.sort((a, b) => b.at - a.at)).map((row) => [row.at, row]));
    return [...rows.values()];
  }

  /** @returns {Promise<*>} a list that came whole; null where it has not come */
  async list(name) {
    return (await this.#read([STATE], (t) => t.get(STATE, `list.${name}`)))?.value ?? null;
  }

  /** @returns {Promise<boolean>} whether it is another than before */
  keepList(name, value) {
    return this.#write([STATE], async (t) => {
      const before = (await t.get(STATE, `list.${name}`))?.value ?? null;
      if (JSON.stringify(before) === JSON.stringify(value)) return false;
      t.put(STATE, { key: `list.${name}`, value });
      return true;
    });
  }

  /**
   * The shop has ended the pairing: of what it told nothing stays but what is in these vehicles. Fittings come from the
   * beginning where the phone is paired again.
   * @param {{registration: string, vin: string}[]} vehicles as typed
   */
  async keepOnly(vehicles) {
    const { epoch } = await this.position();
    const rows = (await Promise.all(vehicles.map((vehicle) => this.#rowsOf(vehicle)))).flat();
    if (rows.length === 0) return this.#database.dropAll();
    return this.#write([FITTINGS, LINES, STATE], (t) => {
      for (const store of [FITTINGS, LINES, STATE]) t.clear(store);
      for (const row of rows) t.put(FITTINGS, row);
      t.put(STATE, { key: FITTINGS_PLACE, epoch, at: 0 });
    });
  }

  #read(stores, body) {
    return this.#database.read(stores, body).catch(() => null);
  }

  /**
   * What cannot be written to is taken away and made anew; it comes again with the next sync. Not where the disk is to
   * blame: to take it away is a write too, into the log that holds the entries (torn-log.js).
   */
  async #write(stores, body) {
    try {
      return await this.#database.write(stores, body);
    } catch (error) {
      if (error.code !== "store-full" && !isDiskFailure(error)) await this.#database.dropAll();
      throw error;
    }
  }
}

/** @returns {Promise<string>} how a vehicle is called there; the twin of vehicle_digest in server/api/fittings.py */
function vehicleDigest(epoch, what, key) {
  return shortDigest(`${epoch}:${what}:${key}`);
}
