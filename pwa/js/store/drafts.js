// What is typed but not yet an entry, and the mark that a photo is awaited. Drafts are never sent.

import { STORE } from "./names.js";

/** Returns the draft, or undefined. */
export async function draftOf(database, key) {
  return (await database.read([STORE.DRAFTS], (t) => t.get(STORE.DRAFTS, key)))?.value;
}

/** Keeps a draft, in place of the earlier one of that key. */
export function saveDraft(database, key, value) {
  return database.write([STORE.DRAFTS], (t) => t.put(STORE.DRAFTS, { key, value }));
}

/** The draft has become an entry, or was given up by the person. */
export function dropDraft(database, key) {
  return database.write([STORE.DRAFTS], (t) => t.delete(STORE.DRAFTS, key));
}
