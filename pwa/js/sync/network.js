// The part of the program that needs the network: sync, the service worker's updates, whether the phone is ready
// without it. The first screen opens without this module.

import { checkReady, onReadyChange } from "./ready.js";
import { loadChangelog } from "./shell-files.js";
import { startSync } from "./sync.js";
import { startUpdates } from "./update.js";

/** Starts both. @returns {{sync: Sync, updates: Updates}} */
export function start(phone) {
  const version = loadChangelog().then(([newest]) => newest.version, () => null);
  return { updates: startUpdates(), sync: startSync(phone, { version }) };
}

/** Calls `listener(state of checkReady)` now, and whenever the shell or the ring tables may have come. */
export function watchReady(phone, listener) {
  const look = async () => listener(await checkReady(phone));
  onReadyChange(look);
  phone.onChange(({ jobs }) => { if (jobs.length === 0) look(); }); // a ring table may have come
  look();
}
