// Fetches the shop's ring sets with their tables, and its spreads. A ring set on the phone changes only when its table
// is there; plans already made keep what they were made with. A table that does not come holds up nothing but its own
// ring set.

import { SHOP_SPREAD } from "../domain/job/shop-spread.js";
import { endsAsking } from "./client.js";

const LIST_LIMIT_MS = 30_000;
const TABLE_LIMIT_MS = 60_000;
/** Tables that may fail in one sync: an entry of somebody's can name any number that nobody has. */
const MOST_FAILURES = 20;
const NAME = /^[0-9a-f]{64}$/;
const NEVER_HAD = new Set(); // names that the shop has said it has no table of; asked again at the next start

/**
 * @returns {Promise<void>} rejects SyncTrouble, or StoreError table-damaged, once all that came is kept: the earlier
 *   revision of a ring set whose table did not come stays in use
 */
export async function fetchRingSets(session, phone) {
  const { ring_sets: all, spread = null } = await session.get("/api/ring-sets?knows=trusted",
    { limitMs: LIST_LIMIT_MS });
  const ringSets = newestOfEach(all);
  const held = new Set(await phone.tableNames());
  const offered = new Set(ringSets.map((ringSet) => ringSet.table));
  const wanted = new Set([...offered, ...(await phone.syncStore.tablesOfPlans())]
    .filter((name) => isMissing(name, held, offered)));
  const { came, trouble } = await fetchTables(session, phone, wanted, offered);
  const isNew = await phone.keepRingSets(ringSets, new Set([...held, ...came]));
  const isOther = await keepSpread(phone, spread);
  if (isNew || isOther || came.length > 0) await phone.changed();
  if (trouble) throw trouble;
}

function isMissing(name, held, offered) {
  return NAME.test(name) && !held.has(name) && (offered.has(name) || !NEVER_HAD.has(name));
}

/** {came: names, trouble}: the first trouble; that the shop never had the table of somebody's plan is none. */
async function fetchTables(session, phone, wanted, offered) {
  const came = [];
  let failures = 0;
  let first = null;
  for (const sha256 of wanted) {
    if (failures === MOST_FAILURES) break;
    try {
      await phone.keepTable(sha256,
        await session.get(`/api/tables/${sha256}`, { limitMs: TABLE_LIMIT_MS, bytes: true }));
      came.push(sha256);
    } catch (trouble) {
      failures += 1;
      if (trouble.problem === "no-such-table") NEVER_HAD.add(sha256);
      if (trouble.problem !== "no-such-table" || offered.has(sha256)) first ??= trouble;
      if (endsAsking(trouble)) break;
    }
  }
  return { came, trouble: first };
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
