// Sends what waits and fetches what this phone lacks, batch by batch, until both sides have it. Each answer is applied
// whole before the next, so that it may be cut off anywhere; while nothing waits to be sent, the page after it is on
// its way meanwhile.

import { SyncTrouble } from "./client.js";
import { WantedJobs } from "./wanted-jobs.js";

const ENTRIES_LIMIT_MS = 60_000;
const MOST_ROUNDS = 2000;
/** Requests that may fail in one sync while the entry that the server stumbles over is looked for. */
const MOST_FAILURES = 40;
/** The server's own answers that can be about what was sent: it stumbled, or found the request as a whole wrong. */
const ABOUT_THE_BATCH = new Set([400, 413, 422, 500]);

/**
 * @param {import("./session.js").Session} session
 * @param {import("../store/phone.js").Phone} phone
 * @param {() => number} now
 * @param {{version?: string|null, told?: function(number): Promise}} about version: of this program, for the desk's
 *   list of phones; told hears of how many jobs the entries are still to come
 * @returns {Promise<{wantedPhotos: string[], trouble: SyncTrouble|null, isAnew: boolean}>} names of the photos that the
 *   server asks for; trouble: why some entries had to be passed over, and wait for the next sync; isAnew: it is not the
 *   server that it was, what else it had told counts no more. Rejects SyncTrouble.
 */
export async function pushPull(session, phone, now, { version = null, told = async () => {} } = {}) {
  const batch = new Batch();
  const wantedJobs = await WantedJobs.of(session, phone);
  const ask = (request) => exchange(session, { ...request, version, kept: phone.isKept });
  let restarts = 0;
  let ahead = null; // {request, asked}: the next page
  let waiting = Infinity;
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const request = ahead?.request
      ?? await phone.syncStore.outgoing({ ...batch, bring: wantedJobs.next(), lines: wantedJobs.place });
    let answer;
    try {
      answer = await (ahead?.asked ?? ask(request));
    } catch (trouble) {
      if (!batch.narrow(request.entries, trouble)) throw trouble;
      continue;
    }
    batch.wentThrough();
    wantedJobs.heard(answer, request);
    ahead = waiting === 0 ? pageAfter(answer, request, wantedJobs, ask) : null;
    const outcome = await phone.syncStore.apply(answer, { request, serverTime: session.serverTime, at: now() });
    if (outcome.behind) phone.lost ??= { ...outcome.behind, unsent: 0, photos: 0, restored: 0 };
    if (answer.restart) restarts += 1;
    const lines = await wantedJobs.take(answer, request, outcome);
    if (outcome.jobs.length + lines.length > 0) await phone.changed([...new Set([...outcome.jobs, ...lines])]);
    await wantedJobs.renew();
    if (wantedJobs.left > 0) await told(wantedJobs.left);
    waiting = (await phone.unsent()).entries - batch.without.size;
    const gotOn = outcome.settled > 0 || request.entries.length === 0 || (answer.restart && restarts === 1);
    const isDone = !answer.more && !outcome.isOff && wantedJobs.next().length === 0;
    if (isDone && (waiting === 0 || !gotOn))
      return { wantedPhotos: answer.wanted_photos, trouble: batch.trouble ?? wantedJobs.trouble, isAnew: restarts > 0 };
  }
  throw new SyncTrouble("server-trouble", { status: 200, problem: "it never comes to an end" });
}

/**
 * Asks for what follows an answer that brought entries and changed nothing else; null where there is nothing like that.
 */
function pageAfter(answer, { device, since, whole }, wantedJobs, ask) {
  const bring = wantedJobs.next();
  const isOff = wantedJobs.isOff(answer, since);
  if ((!answer.more && bring.length === 0) || isOff || answer.restart || answer.new_device) return null;
  const request = {
    device, since: answer.next, entries: [], unsent: 0, whole: [...new Set([...whole, ...(answer.whole ?? [])])], bring,
    lines: wantedJobs.place,
  };
  const asked = ask(request);
  asked.catch(() => {}); // it is awaited in its turn; where this sync ends before, nobody does
  return { request, asked };
}

async function exchange(session, request) {
  return checkedAnswer(await session.write("/api/entries", {
    method: "POST", limitMs: ENTRIES_LIMIT_MS, body: JSON.stringify(request),
    headers: { "Content-Type": "application/json" },
  }));
}

/**
 * How much goes into the next request. One entry that the server stumbles over must not hold up the others: an empty
 * request shows whether the server works at all, then the batch is halved until that entry is alone, and passed over.
 */
class Batch {
  most = Infinity;
  without = new Set();
  trouble = null;
  #failures = 0;
  #serverWorks = false;
  #next = Infinity;

  /** Sends less after `trouble` with `entries`; false if that cannot help. */
  narrow(entries, trouble) {
    this.#failures += 1;
    if (entries.length === 0 || this.#failures > MOST_FAILURES || !isAboutTheBatch(trouble)) return false;
    if (entries.length === 1 && this.#serverWorks) {
      this.without.add(entries[0].id);
      this.trouble = trouble;
      this.most = Infinity;
    } else {
      this.#next = Math.ceil(entries.length / 2);
      this.most = this.#serverWorks ? this.#next : 0;
    }
    return true;
  }

  wentThrough() {
    this.#serverWorks = true;
    if (this.most === 0) this.most = this.#next;
  }
}

function isAboutTheBatch({ status, problem }) {
  return ABOUT_THE_BATCH.has(status) && problem !== "csrf-failed";
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

/** Of a server that knows lines. */
const SHAPE_WITH_LINES = {
  lines: Array.isArray,
  lines_next: (part) => typeof part?.epoch === "string" && Number.isInteger(part.at),
  whole: Array.isArray,
  backed_up_seq: Number.isInteger,
};

/** An answer that lacks a part is applied in no part: half of it could empty the outbox. */
function checkedAnswer(answer) {
  const shape = answer?.lines === undefined ? SHAPE : { ...SHAPE, ...SHAPE_WITH_LINES };
  for (const [part, isRight] of Object.entries(shape)) {
    if (!isRight(answer?.[part]))
      throw new SyncTrouble("server-trouble", { status: 200, problem: `an answer without ${part}` });
  }
  return answer;
}
