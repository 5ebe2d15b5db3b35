/**
 * What is half typed on a sheet, field by field, in one draft: there again after the program was closed, gone once it
 * is kept.
 */

import { Draft } from "../parts/draft.js";

export class Typing {
  #draft;
  #typed = {};
  #watchers = new Map();

  /** @param {{phone: Phone, job: string, sheet: string}} parts */
  constructor({ phone, job, sheet }) {
    this.#draft = new Draft(phone, `typing.${job}.${sheet}`);
  }

  /** Once, before the fields are made; they ask without waiting. */
  async read() {
    this.#typed = (await this.#draft.read()) ?? {};
  }

  /** @returns {*|null} what was left in that field */
  at(field) {
    return this.#typed[field] ?? null;
  }

  write(field, typed) {
    this.#typed = { ...this.#typed, [field]: typed };
    this.#draft.write(this.#typed);
    this.#watchers.get(field)?.();
  }

  /** Calls `heard()` at each letter that is typed in a field. */
  watch(field, heard) {
    this.#watchers.set(field, heard);
  }

  drop(field) {
    if (!(field in this.#typed)) return undefined;
    const { [field]: _dropped, ...left } = this.#typed;
    this.#typed = left;
    return Object.keys(left).length > 0 ? this.#draft.write(left) : this.#draft.drop();
  }
}
