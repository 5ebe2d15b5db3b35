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

class Updates extends EventTarget {
  /** {status: "none"|"waiting"|"failed"|"elsewhere"|"mixed", text: message key or null}. */
  state = { status: "none", text: null };
  #workers;
  #page;
  #reload;
  #registration = null;
  #hadController = false;
  #accepted = false;

  constructor({ workers = globalThis.navigator?.serviceWorker, page = globalThis,
      reload = () => globalThis.location.reload() }) {
    super();
    this.#workers = workers;
    this.#page = page;
    this.#reload = reload;
  }

  async start() {
    if (!this.#workers) return;
    this.#hadController = this.#workers.controller !== null;
    this.#workers.addEventListener("controllerchange", () => this.#changedOver());
    for (const name of ["focus", "pageshow", "visibilitychange"]) this.#page.addEventListener(name, () => this.look());
    await this.#register();
  }

  /**
   * Asks the server for a newer worker; phones do not reliably do it by themselves when they come back. Where the first
   * one could not be installed it is tried again.
   */
  async look() {
    if (this.#page.document?.visibilityState === "hidden") return;
    // no network: the next time will do
    if (this.#registration?.active) await this.#registration.update().catch(() => {});
    else await this.#register();
  }

  /** The person changes over: drafts must be saved before. The page reloads once the newer worker is in charge. */
  accept() {
    this.#accepted = true;
    this.#registration?.waiting?.postMessage({ type: "take-over" });
  }

  /** This page runs files of two builds: that stays so until it is loaded again, whatever becomes of the worker. */
  tellMixed() {
    this.#say("mixed");
  }

  /** Calls `listener(state)` after each change of state; returns the function that stops it. */
  onChange(listener) {
    const heard = () => listener(this.state);
    this.addEventListener("change", heard);
    return () => this.removeEventListener("change", heard);
  }

  async #register() {
    let registration;
    try {
      registration = await this.#workers.register(workerUrl(), { updateViaCache: "none" });
    } catch {
      this.#say("failed"); // no network at the first visit, or an answer that is not the worker
      return;
    }
    if (!registration || registration === this.#registration) return; // where workers are blocked it may give none
    this.#registration = registration;
    registration.addEventListener("updatefound", () => this.#watch(registration.installing));
    if (registration.installing) this.#watch(registration.installing);
    if (registration.waiting) this.#say("waiting"); // it may have come before anybody listened
  }

  #watch(worker) {
    let isWhole = false;
    worker.addEventListener("statechange", () => {
      if (worker.state === "redundant" && !isWhole) this.#say("failed"); // else it was replaced, or switched off
      isWhole ||= worker.state === "installed";
      if (worker.state === "installed" && this.#workers.controller) this.#say("waiting");
      if (worker.state === "activated" && this.state.status === "failed") this.#say("none");
    });
  }

  /**
   * The very first worker of a phone changes nothing; any other one that this page did not ask for is another tab's.
   */
  #changedOver() {
    if (this.#accepted) this.#reload();
    else if (this.#hadController) this.#say("elsewhere"); // this page still runs the older code
    this.#hadController = true;
  }

  #say(status) {
    if (this.state.status === "mixed") return;
    this.state = { status, text: status === "none" ? null : `update.${status}` };
    this.dispatchEvent(new Event("change"));
  }
}

let policy = null; // a name can be given once

/** The one place that makes a script address: under Trusted Types a plain text is refused. */
function workerUrl() {
  if (!globalThis.trustedTypes) return WORKER_URL;
  policy ??= globalThis.trustedTypes.createPolicy(POLICY_NAME, {
    createScriptURL: (url) => {
      if (url !== WORKER_URL) throw new TypeError(`expected ${WORKER_URL}, got ${url}`);
      return url;
    },
  });
  return policy.createScriptURL(WORKER_URL);
}
