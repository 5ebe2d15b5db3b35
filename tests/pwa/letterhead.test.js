// What the report says of the shop, on the phone: fetched where it is another, the logo by its hash, kept offline.

import { fetchLetterhead, LETTERHEAD } from "/js/sync/letterhead.js";
import { Session } from "/js/sync/session.js";
import { openPhone } from "/js/store/phone.js";
import { deepEqual, equal, ok, rejects, test } from "./harness.js";
import { phoneParts } from "./store-parts.js";
import { json, problem, SmallServer } from "./sync-parts.js";

const HEADERS = { "Content-Type": "application/json", "X-Tapermark": "1" };
const WORDS = { name: "Ringworks", address: "Windmill Road 12", telephone: "555 0142", footer: "Company 12345" };
const TEXTS = { format: 1, ...WORDS };
const logo = (sha256) => ({ sha256, width: 4, height: 2 });

/** A shop that says this of itself; `counts` how often what was sent in full. */
async function shop(said) {
  const server = new SmallServer();
  const counts = { list: 0, logo: 0, same: 0 };
  const now = { said, bytes: new Uint8Array([1, 2, 3]) };
  server.meddle = (path, { headers = {} }) => {
    if (path === "/api/shop/logo") {
      counts.logo += 1;
      return now.bytes ? new Response(now.bytes, { headers: HEADERS }) : problem(503, "store-unreadable");
    }
    if (path !== "/api/shop" || now.said === null) return undefined;
    const tag = `W/"${JSON.stringify(now.said).length}-${now.said.logo?.sha256}"`;
    const isSame = headers["If-None-Match"] === tag;
    counts[isSame ? "same" : "list"] += 1;
    return isSame ? new Response(null, { status: 304, headers: { "X-Tapermark": "1" } })
      : json(now.said, 200, { ...HEADERS, ETag: tag });
  };
  const phone = await openPhone(phoneParts());
  const fetch = async () => fetchLetterhead(await Session.open(server.fetch), phone);
  return { counts, now, fetch, kept: () => phone.setting(LETTERHEAD) };
}

test("head and logo come once, and then only the tag is asked; a changed word brings no logo again", async () => {
  const { counts, now, fetch, kept } = await shop({ ...TEXTS, logo: logo("a") });
  equal(await fetch(), true);
  equal(await fetch(), false);
  deepEqual(counts, { list: 1, logo: 1, same: 1 });
  now.said = { ...now.said, telephone: "555 0199 99" };
  equal(await fetch(), true);
  deepEqual(counts, { list: 2, logo: 1, same: 1 });
  const { tag, logo: { bytes, ...size }, ...texts } = await kept();
  ok(tag.startsWith("W/"));
  deepEqual(texts, { ...WORDS, telephone: "555 0199 99" });
  deepEqual([size, [...new Uint8Array(bytes)]], [logo("a"), [1, 2, 3]]);
  now.said = { ...TEXTS, logo: logo("b") };
  await fetch();
  equal(counts.logo, 2, "another picture");
  now.said = { ...TEXTS, logo: null };
  await fetch();
  deepEqual([(await kept()).logo, counts.logo], [null, 2]);
});

test("a logo that does not come, or is far too large, is asked for again; what was here stays", async () => {
  const { counts, now, fetch, kept } = await shop({ ...TEXTS, logo: null });
  await fetch();
  for (const bytes of [null, new Uint8Array(60_001)]) {
    Object.assign(now, { said: { ...TEXTS, logo: logo("a") }, bytes });
    await rejects(fetch());
    equal((await kept()).logo, null);
  }
  now.bytes = new Uint8Array([7]);
  equal(await fetch(), true);
  deepEqual([counts.logo, (await kept()).logo.sha256], [3, "a"]);
});

test("an older server has none, which is no trouble; what cannot be read is not kept", async () => {
  const { now, fetch, kept } = await shop(null);
  equal(await fetch(), false);
  now.said = { ...TEXTS, footer: 3 };
  await rejects(fetch());
  equal(await kept(), undefined);
});

test("what was told is dropped where a server has none: it may be another shop of the same name", async () => {
  const { now, fetch, kept } = await shop({ ...TEXTS, logo: null });
  await fetch();
  equal((await kept()).name, TEXTS.name);
  now.said = null;
  equal(await fetch(), false);
  equal(await kept(), null);
});
