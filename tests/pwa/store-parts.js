// What the tests of the store hand in: a clock, randomness that repeats, a database of their own, a small localStorage.

import { Database } from "/js/store/database.js";
import { TabChannel } from "/js/store/tab-channel.js";

let databases = 0;

/** A name that no other test of this page uses. */
export function freshName() {
  databases += 1;
  return `test-${databases}`;
}

/** Repeatable random bytes (mulberry32). */
export function seededRandom(seed = 1) {
  let state = seed;
  const next = () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return (t ^ (t >>> 14)) & 0xff;
  };
  return (count) => Uint8Array.from({ length: count }, next);
}

/** A Storage of its own. */
export class SmallStorage {
  #texts = new Map();

  getItem(name) {
    return this.#texts.get(name) ?? null;
  }

  setItem(name, text) {
    this.#texts.set(name, String(text));
  }

  removeItem(name) {
    this.#texts.delete(name);
  }

  get length() {
    return this.#texts.size;
  }

  key(k) {
    return [...this.#texts.keys()][k] ?? null;
  }

  clear() {
    this.#texts.clear();
  }
}

/** The parts of a phone under test; `clock.ms` may be set by the test. */
export function phoneParts({ name = freshName(), factory = indexedDB, limits, seed = 1, ...rest } = {}) {
  const clock = { ms: Date.UTC(2026, 2, 2, 8, 0, 0) };
  return {
    clock, name, now: () => clock.ms, random: seededRandom(seed), localStorage: new SmallStorage(),
    database: new Database({ factory, name, ...(limits ? { limits } : {}) }),
    storageManager: null, tabs: new TabChannel(null), caches: null, lines: { factory, name: `${name}-lines` }, ...rest,
  };
}

/** The content of a field-set entry. */
export function fieldSet(job, slot, value, after = []) {
  return { job, kind: "field-set", slot, after, body: { value }, by: "Ada Lind" };
}

/** Content of a photo-attached entry with its bytes. */
export async function photoTaken(job, bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const sha256 = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  const body = { sha256, mime: "image/jpeg", bytes: bytes.byteLength, width: 4, height: 3,
    about: "witness", caption: "" };
  return { job, kind: "photo-attached", slot: null, after: [], body, by: "Ada Lind",
    photo: { bytes, mime: "image/jpeg", sha256 } };
}
