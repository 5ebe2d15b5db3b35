// The storage side of sync, as sync/ alone sees it. What it does comes with the rest of the program, for the first
// screen does without: next-request.js says what goes out, take-answer.js what the server's answer changes,
// photos-out.js is about photos.

import { STORE } from "./names.js";
import { cursorIn, placeIn, sinceOf } from "./sync-place.js";
import { planTablesOf } from "./tables.js";

export class SyncStore {
  #database;
  #parts;

  /**
   * @param {import("./database.js").Database} database
   * @param {{freshId: function(): string, copies: import("./unsent-copies.js").UnsentCopies, bringRest: function():
   *   Promise<object>}} parts
   */
  constructor(database, parts) {
    this.#database = database;
    this.#parts = parts;
  }

  /** What the server last said, the pull position as `since`, whether it tells lines and when it last did. */
  cursor() {
    return this.#database.read([STORE.STATE], async (t) => {
      const [cursor, place] = await Promise.all([cursorIn(t), placeIn(t)]);
      return { ...cursor, since: sinceOf(place), has_lines: place.has_lines, lines_heard: place.lines_heard };
    });
  }

  async wished(lines, serverTime, told) {
    return (await this.#parts.bringRest()).wished(this.#database, lines, serverTime, told);
  }

  async outgoing(limits) {
    return (await this.#parts.bringRest()).outgoing(this.#database, this.#parts.freshId(), limits);
  }

  async apply(answer, context) {
    return (await this.#parts.bringRest()).applyAnswer(this.#database, this.#parts, answer, context);
  }

  async keepJob(job, entries, serverTime, options) {
    return (await this.#parts.bringRest()).keepJob(this.#database, this.#parts.copies,
      { job, entries, serverTime, ...options });
  }

  async photosToSend(wanted) {
    return (await this.#parts.bringRest()).photosToSend(this.#database, wanted);
  }

  async photoHeld(sha256, serverTime) {
    return (await this.#parts.bringRest()).photoHeld(this.#database, sha256, serverTime);
  }

  async photoRefused(sha256, reason) {
    return (await this.#parts.bringRest()).photoRefused(this.#database, sha256, reason);
  }

  /** Names of the tables that plans on this phone were made with. */
  tablesOfPlans() {
    return planTablesOf(this.#database);
  }
}
