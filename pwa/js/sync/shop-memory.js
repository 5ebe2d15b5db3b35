// Fetches what the shop remembers beyond jobs: what is fitted in each vehicle, vehicle types, rings at hand, people,
// rechecks, the head of its reports. Last in a sync and now and then: where it does not come, what came before stays
// in use.

import { PEOPLE } from "../domain/job/people.js";
import { fetchLetterhead } from "./letterhead.js";

const LIMIT_MS = 30_000;
const MOST_PAGES = 200;
/** The server derives it from all jobs: a phone at work that saves a value does not ask for it each time. */
const BETWEEN_MS = 300_000;

const fetchedAt = new WeakMap(); // phone -> when, by its own clock

/** Never rejects. @param {number} now by the phone's clock */
export async function fetchShopMemory(session, phone, now) {
  const before = fetchedAt.get(phone);
  if (before !== undefined && now >= before && now - before < BETWEEN_MS) return;
  fetchedAt.set(phone, now);
  const lines = await phone.lines();
  const fetches = [fetchFittings(session, lines), fetchAtHand(session, lines), fetchPeople(session, phone),
    fetchTypes(session, phone), fetchRechecks(session, lines), fetchLetterhead(session, phone)];
  const came = await Promise.all(fetches.map((each) => each.catch((trouble) => trouble)));
  if (came.includes(true)) await phone.changed();
}

/** The pairing has ended, and with it went what had come: of the next shop it is asked at once. */
export function askAnew(phone) {
  fetchedAt.delete(phone);
}

/** @returns {Promise<boolean>} whether anything new came */
async function fetchFittings(session, lines) {
  let isNew = false;
  for (let page = 0; page < MOST_PAGES; page += 1) {
    const { epoch, at } = await lines.position();
    const answer = await session.get(`/api/fittings?epoch=${encodeURIComponent(epoch)}&at=${at}`,
      { limitMs: LIMIT_MS });
    if (answer.fittings.length > 0 || answer.next.epoch !== epoch) {
      await lines.takeFittings(answer);
      isNew = true;
    }
    if (!answer.more) break;
  }
  return isNew;
}

/** @returns {Promise<boolean>} as above */
async function fetchAtHand(session, lines) {
  const { places, counts } = await session.get("/api/rings-at-hand", { limitMs: LIMIT_MS });
  if (![places, counts].every(Array.isArray)) throw new Error("/api/rings-at-hand: expected its lists");
  return lines.keepList("at-hand", { places, counts });
}

/** @returns {Promise<boolean>} as above */
async function fetchRechecks(session, lines) {
  const { rechecks, more } = await session.get("/api/rechecks", { limitMs: LIMIT_MS });
  if (!Array.isArray(rechecks)) throw new Error("/api/rechecks: expected its list");
  return lines.keepList("rechecks", { rechecks, more: more === true });
}

/** People stand among the phone's settings: the first screen asks for them. @returns {Promise<boolean>} as above */
async function fetchPeople(session, phone) {
  const { people } = await session.get("/api/people", { limitMs: LIMIT_MS });
  const told = people.map(({ id, name, code }) => ({ id, name, code }));
  if (JSON.stringify((await phone.setting(PEOPLE)) ?? []) === JSON.stringify(told)) return false;
  await phone.setSetting(PEOPLE, told);
  return true;
}

/**
 * The shop's vehicle types, where they are others than this phone has: the server names a list by its content.
 * @returns {Promise<boolean>} whether anything new came; rejects SyncTrouble. An older server has no such list, and
 *   that is no trouble.
 */
async function fetchTypes(session, phone) {
  let said;
  try {
    said = await session.get("/api/types", { limitMs: LIMIT_MS, tag: await phone.typesTag() });
  } catch (trouble) {
    if (trouble.status === 404) return false;
    throw trouble;
  }
  return phone.keepTypes(said);
}
