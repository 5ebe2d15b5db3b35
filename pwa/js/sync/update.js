// Registers the service worker and says when a newer Tapermark is there. It changes over only by the person's tap:
// never under a running job.

const WORKER_URL = "/sw.js";
const POLICY_NAME = "tapermark";

/** Registers the worker and watches it. Where there are no workers the state stays "none". */
export function startUpdates(parts = {}) {
  const updates = new Updates(parts);
  updates.start();
  return updates;
}

/** Watches the worker once started, and says how it stands. */
export class Updates extends EventTarget {
  /** {status: "none"|"waiting"|"failed"|"elsewhere", text: message key or null}. */
  state = { status: "none", text: null };
  #workers;
  #page;
  #reload;
  #registration = null;
  #accepted = false;

  constructor({ workers = globalThis.navigator?.serviceWorker, page = globalThis, reload = () => globalThis.location.reload() } = {}) {
    super();
    this.#workers = workers;
    this.#page = page;
    this.#reload = reload;
  }

  async start() {
    if (!this.#workers) return;
    const hadController = this.#workers.controller !== null;
    this.#workers.addEventListener("controllerchange", () => this.#changedOver(hadController));
    try {
      this.#registration = await this.#workers.register(workerUrl(), { updateViaCache: "none" });
    } catch {
      this.#say("failed"); // no network at the first visit, or an answer that is not the worker
      return;
    }
    this.#registration.addEventListener("updatefound", () => this.#watch(this.#registration.installing));
    if (this.#registration.installing) this.#watch(this.#registration.installing);
    if (this.#registration.waiting) this.#say("waiting"); // it may have come before anybody listened
    for (const name of ["pageshow", "visibilitychange"]) this.#page.addEventListener(name, () => this.look());
  }

  /** Asks the server for a newer worker; phones do not reliably do it by themselves when they come back. */
  async look() {
    if (this.#page.document?.visibilityState === "hidden") return;
    await this.#registration?.update().catch(() => {}); // no network: the next time will do
  }

  /** The person changes over: drafts must be saved before. The page reloads once the newer worker is in charge. */
  accept() {
    this.#accepted = true;
    this.#registration?.waiting?.postMessage({ type: "take-over" });
  }

  /** Calls `listener(state)` after each change of state; returns the function that stops it. */
  onChange(listener) {
    const heard = () => listener(this.state);
    this.addEventListener("change", heard);
    return () => this.removeEventListener("change", heard);
  }

  #watch(worker) {
    worker.addEventListener("statechange", () => {
      if (worker.state === "redundant" && this.#registration.active !== worker) this.#say("failed");
      if (worker.state === "installed" && this.#workers.controller) this.#say("waiting");
    });
  }

  #changedOver(hadController) {
    if (this.#accepted) this.#reload();
    else if (hadController) this.#say("elsewhere"); // another tab changed over; this page still runs the older code
  }

  #say(status) {
    this.state = { status, text: status === "none" ? null : `update.${status}` };
    this.dispatchEvent(new Event("change"));
  }
}

/** The one place that makes a script address: under Trusted Types a plain text is refused. */
function workerUrl() {
  if (!globalThis.trustedTypes) return WORKER_URL;
  const policy = globalThis.trustedTypes.createPolicy(POLICY_NAME, {
    createScriptURL: (url) => {
      if (url !== WORKER_URL) throw new TypeError(`expected ${WORKER_URL}, got ${url}`);
      return url;
    },
  });
  return policy.createScriptURL(WORKER_URL);
}
