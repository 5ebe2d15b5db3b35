// Fetches what the customer's report says of the shop: address, telephone, foot, logo. The list by its tag and the
// logo by its hash, so that nothing comes twice. It stands among the settings: a report is written without network too.

/**
 * A setting: {tag, name, address, telephone, footer, logo: {sha256, width, height, bytes}|null}, as the shop of that
 * name said last.
 */
export const LETTERHEAD = "letterhead";

const LIMIT_MS = 30_000;
const LARGEST_LOGO = 60_000; // bytes; the server keeps it at half of that

/**
 * @returns {Promise<boolean>} whether anything new came; rejects SyncTrouble. An older server has none, and that is
 *   no trouble.
 */
export async function fetchLetterhead(session, phone) {
  const kept = await phone.setting(LETTERHEAD);
  const said = await session.get("/api/shop", { limitMs: LIMIT_MS, tag: kept?.tag ?? null }).catch(async (trouble) => {
    if (trouble.status !== 404) throw trouble;
    if (kept) await phone.setSetting(LETTERHEAD, null); // it may be another shop's of the same name
    return null;
  });
  if (said === null) return false;
  const { name, address, telephone, footer, logo } = said.answer;
  const isRead = [name, address, telephone, footer].every((text) => typeof text === "string");
  if (!isRead) throw new Error("/api/shop: expected its texts");
  const picture = logo && (kept?.logo?.sha256 === logo.sha256 ? kept.logo : await logoOf(session, logo));
  await phone.setSetting(LETTERHEAD, { tag: said.tag, name, address, telephone, footer, logo: picture });
  return true;
}

/** Without its logo nothing is kept: with the new tag it would not be asked for again. */
async function logoOf(session, { sha256, width, height }) {
  const bytes = await session.get("/api/shop/logo", { limitMs: LIMIT_MS, bytes: true });
  const got = bytes.byteLength;
  if (got > LARGEST_LOGO) throw new Error(`/api/shop/logo: expected at most ${LARGEST_LOGO} bytes, got ${got}`);
  return { sha256, width, height, bytes };
}
