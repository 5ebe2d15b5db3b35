// Fetches the shop's vehicle types, where they are others than this phone has: the server names a list by its content.

const LIST_LIMIT_MS = 30_000;

/**
 * @returns {Promise<boolean>} whether anything new came; rejects SyncTrouble. An older server has no such list, and
 *   that is no trouble.
 */
export async function fetchTypes(session, phone) {
  let said;
  try {
    said = await session.get("/api/types", { limitMs: LIST_LIMIT_MS, tag: await phone.typesTag() });
  } catch (trouble) {
    if (trouble.status === 404) return false;
    throw trouble;
  }
  return phone.keepTypes(said);
}
