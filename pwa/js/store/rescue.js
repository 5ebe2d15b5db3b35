// Keeps what could not be saved as text in localStorage, so that a reload does not lose it. Not a second store:
// each value leaves as soon as its slot is saved, and nothing is ever sent from here.

import { LOCAL } from "./names.js";

/** Keeps the content of a failed save, in place of an earlier one for the same slot. */
export function rescue(storage, content, at) {
  const { photo: _photo, ...text } = content;
  write(storage, [...others(storage, content), { ...text, at }]);
}

/** The slot is saved now: its rescued value is no longer needed. */
export function dropRescued(storage, content) {
  const left = others(storage, content);
  if (left.length !== rescued(storage).length) write(storage, left);
}

/** Everything that could not be saved: [{job, kind, slot, after, body, by, at}]. */
export function rescued(storage) {
  try {
    const kept = JSON.parse(storage.getItem(LOCAL.RESCUED));
    return Array.isArray(kept) ? kept : [];
  } catch {
    return [];
  }
}

function others(storage, { job, kind, slot = null }) {
  return rescued(storage).filter((kept) => kept.job !== job || kept.kind !== kind || (kept.slot ?? null) !== slot);
}

function write(storage, list) {
  try {
    if (list.length === 0) storage.removeItem(LOCAL.RESCUED);
    else storage.setItem(LOCAL.RESCUED, JSON.stringify(list));
  } catch {
    // the values are still on the screen
  }
}
