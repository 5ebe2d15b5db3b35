// Sends what waits and fetches what this phone lacks, batch by batch, until both sides have it. Each answer is applied
// whole before the next request, so that it may be cut off anywhere.

import { SyncTrouble } from "./client.js";

const ENTRIES_LIMIT_MS = 60_000;
const MOST_ROUNDS = 2000;

/**
 * @param {import("./session.js").Session} session
 * @param {import("../store/phone.js").Phone} phone
 * @param {() => number} now
 * @param {string|null} version of this program, for the desk's list of phones
 * @returns {Promise<string[]>} names of the photos that the server asks for; rejects SyncTrouble
 */
export async function pushPull(session, phone, now, version = null) {
  let restarts = 0;
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const request = await phone.syncStore.outgoing();
    const answer = checkedAnswer(await session.write("/api/entries", {
      method: "POST", limitMs: ENTRIES_LIMIT_MS, body: JSON.stringify({ ...request, version }),
      headers: { "Content-Type": "application/json" },
    }));
    const outcome = await phone.syncStore.apply(answer, { request, serverTime: session.serverTime, at: now() });
    if (outcome.behind) phone.lost ??= { ...outcome.behind, unsent: 0 };
    if (answer.restart) restarts += 1;
    for (const job of outcome.jobs) await phone.changed(job);
    const { entries: waiting } = await phone.unsent();
    const gotOn = outcome.settled > 0 || (answer.restart && restarts === 1);
    if (!answer.more && (waiting === 0 || !gotOn)) return answer.wanted_photos;
  }
  throw new SyncTrouble("server-trouble", { status: 200, problem: "it never comes to an end" });
}

const SHAPE = {
  results: Array.isArray,
  entries: Array.isArray,
  next: (part) => part !== null && typeof part === "object",
  more: (part) => typeof part === "boolean",
  restart: (part) => typeof part === "boolean",
  high_water: Number.isInteger,
  backed_up_through: Number.isInteger,
  wanted_photos: Array.isArray,
};

/** An answer that lacks a part is applied in no part: half of it could empty the outbox. */
function checkedAnswer(answer) {
  for (const [part, isRight] of Object.entries(SHAPE)) {
    if (!isRight(answer?.[part])) throw new SyncTrouble("server-trouble", { status: 200, problem: `an answer without ${part}` });
  }
  return answer;
}
