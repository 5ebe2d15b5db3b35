// Remembers outside the database that this phone had stored jobs, so that a phone which lost them says so.
// It never holds the work itself.

import { LOCAL } from "./names.js";

/** Notes what the database holds now: {device, n, unsent}. Failing is harmless. */
export function rememberStored(storage, { device, n, unsent }) {
  try {
    storage.setItem(LOCAL.STORED_JOBS, JSON.stringify({ device, n, unsent }));
  } catch {
    // no localStorage: the phone then only cannot tell that it was emptied
  }
}

/**
 * Tells what was lost, or null.
 * @param {Storage} storage
 * @param {{id: string, n: number, former: string[]}|undefined} device what the database says now
 * @returns {{device: string, n: number, unsent: number}|null}
 */
export function lostSince(storage, device) {
  const seen = parsed(storage);
  if (!seen || seen.n === 0) return null;
  const isOurs = device && [device.id, ...device.former].includes(seen.device);
  const older = device?.id === seen.device && device.n < seen.n;
  return !isOurs || older ? seen : null;
}

/** The person has read the message. */
export function forgetLost(storage) {
  try {
    storage.removeItem(LOCAL.STORED_JOBS);
  } catch {
    // nothing was kept
  }
}

function parsed(storage) {
  try {
    return JSON.parse(storage.getItem(LOCAL.STORED_JOBS));
  } catch {
    return null;
  }
}
