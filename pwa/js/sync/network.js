// The part of the program that needs the network: sync, the service worker's updates, whether the phone is ready
// without it. The first screen opens without this module.

import { checkReady, onReadyChange } from "./ready.js";
import { loadChangelog } from "./shell-files.js";
import { startSync } from "./sync.js";
import { startUpdates } from "./update.js";

/**
 * Starts both. What the person waits for goes before what the server says.
 * @param {Phone} phone
 * @param {function(): Promise<void>} quiet resolves when the person waits for nothing
 * @returns {{sync: Sync, updates: Updates}}
 */
export function start(phone, quiet) {
  const gently = async (...asked) => {
    await quiet();
    const answer = await fetch(...asked);
    await quiet();
    return answer;
  };
  const version = loadChangelog().then(([newest]) => newest.version, () => null);
  return { updates: startUpdates(), sync: startSync(phone, { version, fetch: gently }) };
}

/** Calls `listener(state of checkReady)` now, and whenever the shell or the ring tables may have come. */
export function watchReady(phone, listener) {
  let [asked, told] = [0, 0];
  const look = async () => {
    const turn = ++asked;
    const state = await checkReady(phone);
    if (turn < told) return; // a worker that is gone answers late, or not at all
    told = turn;
    listener(state);
  };
  onReadyChange(look);
  phone.onChange(({ jobs }) => { if (jobs.length === 0) look(); }); // a ring table may have come
  look();
}
