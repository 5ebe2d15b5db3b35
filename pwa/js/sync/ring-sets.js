// Fetches the shop's ring sets with their tables, and its spreads. The list on the phone changes only when every table of
// it is there; plans already made keep what they were made with.

import { SHOP_SPREAD } from "../domain/job/shop-spread.js";

const LIST_LIMIT_MS = 30_000;
const TABLE_LIMIT_MS = 60_000;

/**
 * @returns {Promise<void>} rejects SyncTrouble, or StoreError table-damaged: the earlier list then stays in use
 */
export async function fetchRingSets(session, phone) {
  const { ring_sets: all, spread = null } = await session.get("/api/ring-sets", { limitMs: LIST_LIMIT_MS });
  const ringSets = newestOfEach(all);
  const wanted = new Set([...ringSets.map((ringSet) => ringSet.table), ...(await phone.syncStore.tablesOfPlans())]);
  for (const sha256 of await phone.tableNames()) wanted.delete(sha256);
  for (const sha256 of wanted) {
    const bytes = await session.get(`/api/tables/${sha256}`, { limitMs: TABLE_LIMIT_MS, bytes: true });
    await phone.keepTable(sha256, bytes);
  }
  const isNew = await phone.keepRingSets(ringSets);
  const isOther = await keepSpread(phone, spread);
  if (isNew || isOther || wanted.size > 0) await phone.changed();
}

async function keepSpread(phone, spread) {
  const before = (await phone.setting(SHOP_SPREAD)) ?? null;
  if (JSON.stringify(before) === JSON.stringify(spread)) return false;
  await phone.setSetting(SHOP_SPREAD, spread);
  return true;
}

/** Of each id the newest revision that is not retired, else the newest. */
function newestOfEach(ringSets) {
  const chosen = new Map();
  for (const ringSet of ringSets) {
    const other = chosen.get(ringSet.id);
    if (!other || isBetter(ringSet, other)) chosen.set(ringSet.id, ringSet);
  }
  return [...chosen.values()];
}

function isBetter(a, b) {
  return a.retired === b.retired ? a.revision > b.revision : !a.retired;
}
