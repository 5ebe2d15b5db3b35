// The service worker: keeps the shell on the phone as one verified set and answers for it. The server puts the list
// in front of this file: self.PRECACHE = {version, files: {url: SHA-256}}.
// It never touches IndexedDB, never sees the API or the desk, and never changes over by itself.

const { version, files } = self.PRECACHE;
/** The kill switch: a list without files makes a worker that removes itself and its caches, and nothing else. */
const IS_OFF = files === null;
const PREFIX = "tapermark-";
/** Folders that hold nothing but files of the list. */
const ROUTED = ["css", "js", "text"];
const TYPES = {
  css: "text/css", html: "text/html", js: "text/javascript", json: "application/json", png: "image/png",
  svg: "image/svg+xml", webmanifest: "application/manifest+json", woff2: "font/woff2",
};

self.addEventListener("install", (event) => {
  if (IS_OFF) self.skipWaiting();
  else event.waitUntil(install(event));
});

self.addEventListener("activate", (event) => event.waitUntil(IS_OFF ? remove() : activate()));

self.addEventListener("message", (event) => {
  if (event.data?.type === "take-over") self.skipWaiting();
  if (event.data?.type === "verify") event.waitUntil(verify(event.ports[0]));
});

self.addEventListener("fetch", (event) => {
  const url = shellUrlOf(event.request);
  if (url !== null) event.respondWith(answer(event.request, url));
});

/** Worked out once in the life of a worker: every request of a page asks. */
const named = cacheName();

/** Named by content: another build under the same version number must not write into the set that is in use. */
async function cacheName() {
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(JSON.stringify(files)));
  const hex = Array.from(new Uint8Array(digest).slice(0, 8), (byte) => byte.toString(16).padStart(2, "0"));
  return `${PREFIX}${version}-${hex.join("")}`;
}

/** All or nothing: one file that is not exactly ours, and the older worker stays with its own set. */
async function install(event) {
  const name = await named;
  await answerWithoutWaking(event, name);
  const responses = await Promise.all(Object.keys(files).map(fetchExactly));
  const isInUse = await caches.has(name); // a build that differs in this file alone shares the set of the older worker
  const cache = await caches.open(name);
  try {
    await Promise.all(responses.map(([url, response]) => cache.put(url, response)));
  } catch (error) {
    if (!isInUse) await caches.delete(name); // no room: leave no half set behind
    throw error;
  }
}

/**
 * A browser that knows routes takes these folders from the set itself, which is faster; what is not there it asks us
 * for.
 */
async function answerWithoutWaking(event, cacheName) {
  const routes = ROUTED.map((folder) =>
    ({ condition: { urlPattern: `/${folder}/*`, requestMethod: "GET" }, source: { cacheName } }));
  await event.addRoutes?.(routes).catch(() => {}); // an older form of routes: then every request comes here
}

async function fetchExactly(url) {
  const response = await fetch(url, { cache: "reload", redirect: "error", integrity: `sha256-${files[url]}` });
  const type = (response.headers.get("Content-Type") ?? "").split(";")[0].trim();
  if (response.status !== 200 || type !== typeOf(url))
    throw new Error(`${url}: expected ${typeOf(url)}, got status ${response.status}, ${type}`);
  return [url, response];
}

function typeOf(url) {
  const type = url === "/" ? TYPES.html : TYPES[url.split(".").pop()];
  if (!type) throw new Error(`${url}: the worker knows no type for it; expected one of ${Object.keys(TYPES)}`);
  return type;
}

async function activate() {
  await self.clients.claim();
  const name = await named;
  await deleteCaches((other) => other !== name); // only now: until here the older worker may have been in charge
}

async function remove() {
  await deleteCaches(() => true);
  await self.registration.unregister();
}

async function deleteCaches(isOld) {
  const names = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && isOld(name));
  await Promise.all(names.map((name) => caches.delete(name)));
}

/** The URL of the shell that a request is for, or null: then the browser goes its own way. */
function shellUrlOf(request) {
  const url = new URL(request.url);
  if (IS_OFF || request.method !== "GET" || url.origin !== self.location.origin) return null;
  // a cache holds no parts of files
  if (request.headers.has("Range") || !Object.hasOwn(files, url.pathname)) return null;
  return url.pathname === "/" || url.search === "" ? url.pathname : null;
}

async function answer(request, url) {
  const kept = await caches.match(url, { cacheName: await named, ignoreVary: true });
  return kept ?? fetch(request); // emptied by the browser: the network may still help
}

/**
 * Tells the page whether every file is there and unchanged. Makes no set: an old or switched-off worker may be asked
 * late.
 */
async function verify(port) {
  const cacheName = await named;
  let whole = !IS_OFF;
  for (const url of Object.keys(files ?? {})) whole &&= await isWhole(cacheName, url);
  port.postMessage({ version, whole });
}

async function isWhole(cacheName, url) {
  const response = await caches.match(url, { cacheName });
  if (!response) return false;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", await response.arrayBuffer()));
  return btoa(String.fromCharCode(...digest)) === files[url];
}
