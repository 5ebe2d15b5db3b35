// Says whether this phone can do a whole job with no network: the shell verified, a table verified, the store at work,
// and all of that kept by the browser's promise. Where only the promise is missing, it works, and a full disk may take
// it away.

/** The worker looks at one file after the other, so that a tap finds the disk free; a slow phone takes its time. */
const ANSWER_LIMIT_MS = 15_000;

/**
 * @param {import("../store/phone.js").Phone} phone
 * @param {ServiceWorkerContainer} workers
 * @returns {Promise<{ready: boolean, missing: ("shell"|"table"|"store"|"room"|"lost"|"kept")[]}>} never rejects
 */
export async function checkReady(phone, workers = globalThis.navigator?.serviceWorker, limitMs = ANSWER_LIMIT_MS) {
  const [shell, table] = await Promise.all([
    shellIsWhole(workers, limitMs), phone.hasRingSet().catch(() => false),
    phone.checkWhereUnproven(),
  ]);
  const missing = [];
  if (!shell) missing.push("shell");
  if (!table) missing.push("table");
  return stateOf([...missing, ...missingInStore(phone)]);
}

/**
 * The same state with what the phone knows of its storage by now: that can change after any save. While nobody has
 * looked yet, only trouble is said, and that at once: a full disk makes every look long.
 */
export function readyAsOfNow({ ready, missing }, phone) {
  const inStore = missingInStore(phone);
  const isUnknown = !ready && missing.length === 0;
  if (isUnknown && inStore.every((part) => part === "kept")) return { ready, missing };
  return stateOf([...missing.filter((part) => part === "shell" || part === "table"), ...inStore]);
}

/** Whether a whole job can be done with no network, kept for sure or not. */
export function worksOffline({ ready, missing }) {
  return ready || (missing.length === 1 && missing[0] === "kept");
}

function missingInStore(phone) {
  return [!phone.health.ok && "store", phone.isTight && "room", phone.lost && "lost", !phone.isKept && "kept"]
    .filter(Boolean);
}

function stateOf(missing) {
  return { ready: missing.length === 0, missing };
}

/**
 * Calls `listener()` when the shell may have become ready: ask again then. A table that arrives is told by
 * phone.onChange. Returns the function that stops it.
 */
export function onReadyChange(listener, workers = globalThis.navigator?.serviceWorker) {
  if (!workers) return () => {};
  let stopped = false;
  const tell = () => { if (!stopped) listener(); };
  workers.addEventListener("controllerchange", tell);
  workers.ready.then(tell);
  return () => { stopped = true; };
}

/** Asks the active worker to verify its files again; a browser without workers is never ready. */
async function shellIsWhole(workers, limitMs) {
  const registration = await workers?.getRegistration();
  const worker = registration?.active;
  if (!worker) return false;
  const { port1, port2 } = new MessageChannel();
  const answer = new Promise((resolve) => {
    port1.onmessage = ({ data }) => resolve(data.whole === true);
    setTimeout(() => resolve(false), limitMs);
  });
  worker.postMessage({ type: "verify" }, [port2]);
  return answer.finally(() => port1.close());
}
