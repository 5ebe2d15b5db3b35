// Job sheets that this phone does not hold whole: found at the shop by registration, and taken along on request. It
// needs the network.

import { SyncTrouble } from "./client.js";
import { fetchRingSets } from "./ring-sets.js";
import { Session } from "./session.js";

const FIND_LIMIT_MS = 30_000;
const BRING_LIMIT_MS = 60_000;

/**
 * @param {string} registration as typed; the server compares letters and digits alone
 * @returns {Promise<{id, state, registration, vehicle, conflicts, changed_ms}[]>} newest change first; rejects
 *   SyncTrouble
 */
export async function findJobs(registration, fetch = globalThis.fetch.bind(globalThis)) {
  const session = await Session.open(fetch);
  const { jobs } = await session.get(`/api/jobs?registration=${encodeURIComponent(registration)}`,
    { limitMs: FIND_LIMIT_MS });
  return checkedList(jobs, "jobs");
}

/**
 * Brings a job whole and keeps it here, with the tables that its plans name. Rejects SyncTrouble, or where it cannot be
 * kept.
 */
export async function bringJob(phone, job, fetch = globalThis.fetch.bind(globalThis)) {
  const session = await Session.open(fetch);
  const { entries } = await session.get(`/api/jobs/${job}/entries`, { limitMs: BRING_LIMIT_MS });
  await phone.syncStore.keepJob(job, checkedList(entries, "entries"), session.serverTime);
  await phone.changed([job]);
  // the job is here; its tables come with the next sync at the latest
  await fetchRingSets(session, phone).catch(() => {});
}

function checkedList(list, part) {
  if (!Array.isArray(list)) throw new SyncTrouble("server-trouble",
    { status: 200, problem: `an answer without ${part}` });
  return list;
}
