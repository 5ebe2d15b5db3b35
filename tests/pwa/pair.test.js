// Pairing by the desk's code, and what the phone tells the desk of itself while it syncs.

import { openPhone } from "/js/store/phone.js";
import { pair } from "/js/sync/pair.js";
import { Sync } from "/js/sync/sync.js";
import { hashFromRoute, routeFromHash } from "/js/ui/route.js";
import { deepEqual, equal, test } from "./harness.js";
import { fieldSet, phoneParts } from "./store-parts.js";
import { json, problem, SmallServer, syncParts } from "./sync-parts.js";

/** A server that pairs by one code; returns it with the bodies that were posted. */
function pairingServer(refusal = null) {
  const server = new SmallServer();
  const posted = [];
  server.meddle = (path, init) => {
    if (path !== "/api/pair") return undefined;
    if (!init.method) return json({ format: 1, csrf: "pair-token" });
    posted.push([init.method, init.headers["X-CSRFToken"], JSON.parse(init.body)]);
    return refusal ?? json({ format: 1, pairing: "p", shop: { name: "Ringworks", demo: false } });
  };
  return { server, posted };
}

/** What a promise rejects with. */
async function troubleOf(promise) {
  try {
    await promise;
  } catch (trouble) {
    return [trouble.code, trouble.status, trouble.problem];
  }
  return null;
}

test("the code goes out as JSON with a token of its own, and the shop comes back", async () => {
  const { server, posted } = pairingServer();
  deepEqual(await pair("k7qx-m4tw", server.fetch), { name: "Ringworks", demo: false });
  deepEqual(posted, [["POST", "pair-token", { code: "k7qx-m4tw" }]]);
});

test("a refusal keeps the server's code, so that the screen can say why", async () => {
  for (const [status, code] of [[403, "pair-code-wrong"], [429, "too-many-tries"], [403, "https-needed"]]) {
    const { server } = pairingServer(problem(status, code));
    deepEqual(await troubleOf(pair("K7QXM4TW", server.fetch)), ["refused", status, code]);
  }
});

test("without network nothing is posted, and the code is not used up", async () => {
  const { server, posted } = pairingServer();
  server.meddle = () => new TypeError("no network");
  deepEqual((await troubleOf(pair("K7QXM4TW", server.fetch)))[0], "offline");
  deepEqual(posted, []);
});

test("a network that wants a sign-in is not taken for the shop", async () => {
  const { server } = pairingServer();
  server.meddle = () => new Response("<html>Welcome</html>", { status: 200 });
  deepEqual((await troubleOf(pair("K7QXM4TW", server.fetch)))[0], "not-our-server");
});

test("an ended pairing stops the sync and leaves everything on the phone", async () => {
  const parts = phoneParts({ seed: 3 });
  const phone = await openPhone(parts);
  await phone.save(fieldSet(phone.newJob(), "vehicle.colour", "green"));
  const server = new SmallServer();
  server.meddle = () => problem(401, "pairing-ended");
  const sync = new Sync(phone, syncParts(server, parts.clock));
  await sync.now();
  equal(sync.state.status, "not-paired");
  equal((await phone.unsent()).entries, 1);
  const { entries } = JSON.parse(await (await phone.exportUnsent()).text());
  equal(entries.length, 1);
});

test("each request says how many entries wait behind it, and which program sends", async () => {
  const parts = phoneParts({ seed: 4 });
  const phone = await openPhone(parts);
  const job = phone.newJob();
  for (let k = 0; k < 503; k += 1) await phone.save(fieldSet(job, `vehicle.field-${k}`, k));
  const server = new SmallServer();
  const said = [];
  server.meddle = (path, init) => {
    if (path === "/api/entries") {
      const { unsent, version, entries } = JSON.parse(init.body);
      said.push([entries.length, unsent, version]);
    }
  };
  const sync = new Sync(phone, { ...syncParts(server, parts.clock), version: Promise.resolve("0.9.0") });
  await sync.now();
  deepEqual(said, [[500, 3, "0.9.0"], [3, 0, "0.9.0"]]);
});

test("the desk's square opens the pairing screen with its code, and an address survives the way back", () => {
  deepEqual(routeFromHash("#/pair/K7QXM4TW"), { screen: "pair", code: "K7QXM4TW" });
  deepEqual(routeFromHash("#/pair"), { screen: "pair", code: "" });
  for (const hash of ["#/pair/K7QXM4TW", "#/pair", "#/settings", "#/job/j/step/base.left.1"]) {
    equal(hashFromRoute(routeFromHash(hash)), hash);
  }
});
