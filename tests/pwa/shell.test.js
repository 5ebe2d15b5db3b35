// The shell's data files, and when a phone is ready without network.

import { openPhone } from "/js/store/phone.js";
import { checkReady, onReadyChange, readyAsOfNow, worksOffline } from "/js/sync/ready.js";
import { loadChangelog, loadChecklist, loadText } from "/js/sync/shell-files.js";
import { loadPhoto } from "/js/sync/photos.js";
import { deepEqual, equal, ok, rejects, test } from "./harness.js";
import { phoneParts } from "./store-parts.js";

const missing = () => new Response("no such file", { status: 404 });
const files = (texts) => async (path) => (path in texts || path.startsWith("/text/en/")
  ? new Response(JSON.stringify(texts[path] ?? {}))
  : missing());

test("a language stands over English, file by file", async () => {
  const fetch = files({
    "/text/en/checklist.json": { a: "one" }, "/text/en/phone.json": { b: "two" }, "/text/en/ui.json": { c: "three" },
    "/text/es/phone.json": { b: "dos" },
  });
  deepEqual(await loadText("es", undefined, fetch), { a: "one", b: "dos", c: "three" });
  deepEqual(await loadText("en", undefined, fetch), { a: "one", b: "two", c: "three" });
  deepEqual(await loadText("xx", undefined, fetch), { a: "one", b: "two", c: "three" });
});

test("a shell without its English words is an error, not an empty screen", async () => {
  await rejects(loadText("en", undefined, async () => missing()), /status 404; reload/);
});

test("the real files are there", async () => {
  ok("sync.idle" in (await loadText("en")));
  equal(typeof (await loadChecklist()).format, "number");
  ok((await loadChangelog()) !== null);
});

/** A worker container whose active worker answers "verify" as told; null: it never answers. */
function container(whole, hasWorker = true) {
  const active = { postMessage: (message, [port]) => { if (whole !== null)
    port.postMessage({ whole: message.type === "verify" && whole }); } };
  const workers = new EventTarget();
  workers.ready = Promise.resolve();
  workers.getRegistration = async () => (hasWorker ? { active } : undefined);
  return workers;
}

const PROMISED = { persisted: async () => true, persist: async () => true };
const NOT_PROMISED = { persisted: async () => false, persist: async () => false };

async function phoneWithTable(has = true, storageManager = PROMISED) {
  const phone = await openPhone(phoneParts({ storageManager }));
  if (has) {
    const bytes = new TextEncoder().encode("{}");
    const sha256 = "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a";
    await phone.keepTable(sha256, bytes);
    await phone.keepRingSets([{ id: "a", name: "A", revision: 1, retired: false, table: sha256 }]);
  }
  return phone;
}

test("ready means shell, table and store, and the browser's promise to keep them", async () => {
  deepEqual(await checkReady(await phoneWithTable(), container(true)), { ready: true, missing: [] });
  deepEqual(await checkReady(await phoneWithTable(false), container(true)), { ready: false, missing: ["table"] });
  deepEqual(await checkReady(await phoneWithTable(), container(false)), { ready: false, missing: ["shell"] });
  deepEqual(await checkReady(await phoneWithTable(), container(true, false)), { ready: false, missing: ["shell"] });
  const blind = await openPhone(
    phoneParts({ factory: { open: () => ({}) }, limits: { openMs: 30, transactionMs: 30 } }));
  deepEqual(await checkReady(blind, null), { ready: false, missing: ["shell", "table", "store", "kept"] });
  for (const storageManager of [NOT_PROMISED, null]) {
    const state = await checkReady(await phoneWithTable(true, storageManager), container(true));
    deepEqual([state, worksOffline(state)], [{ ready: false, missing: ["kept"] }, true]);
  }
});

test("a store that was proven a moment ago is not written to again, one that has failed is", async () => {
  const phone = await phoneWithTable();
  let checks = 0;
  const { check } = phone;
  phone.check = () => { checks += 1; return check.call(phone); };
  await checkReady(phone, container(true));
  equal(checks, 0);
  phone.health = { ok: false, code: "store-full" };
  deepEqual([(await checkReady(phone, container(true))).ready, checks], [true, 1]);
});

test("what was ready is not so any more once the store has failed, and is again once the browser has promised",
    async () => {
  const phone = await phoneWithTable();
  const state = await checkReady(phone, container(true));
  phone.health = { ok: false, code: "store-full" };
  deepEqual(readyAsOfNow(state, phone), { ready: false, missing: ["store"] });
  phone.health = { ok: true };
  deepEqual(readyAsOfNow(state, phone), { ready: true, missing: [] });
  deepEqual(readyAsOfNow({ ready: false, missing: ["table", "kept"] }, phone), { ready: false, missing: ["table"] });
  deepEqual(readyAsOfNow({ ready: false, missing: [] }, phone), { ready: false, missing: [] }, "nobody has looked");
  phone.health = { ok: false, code: "store-full" };
  deepEqual(readyAsOfNow({ ready: false, missing: [] }, phone), { ready: false, missing: ["store"] }, "told at once");
});

test("a worker that does not answer is not ready", async () => {
  deepEqual((await checkReady(await phoneWithTable(), container(null), 30)).missing, ["shell"]);
});

test("a new controller is a reason to ask again, until stopped", async () => {
  const workers = container(true);
  let told = 0;
  const stop = onReadyChange(() => { told += 1; }, workers);
  await workers.ready;
  await Promise.resolve();
  equal(told, 1);
  workers.dispatchEvent(new Event("controllerchange"));
  equal(told, 2);
  stop();
  workers.dispatchEvent(new Event("controllerchange"));
  equal(told, 2);
});

test("a photo of another phone comes from the server, or is not there just now", async () => {
  const phone = await openPhone(phoneParts());
  const sha256 = "ab".repeat(32);
  const fetch = async () => new Response(new Uint8Array([5]), { headers: { "X-Tapermark": "1" } });
  deepEqual(await loadPhoto(phone, sha256, fetch), { bytes: new Uint8Array([5]).buffer, mime: "image/jpeg" });
  equal(await loadPhoto(phone, sha256, async () => { throw new TypeError("offline"); }), null);
  equal(await loadPhoto(phone, sha256, async () => new Response("<html>")), null);
});
