// Decides when to sync and says how it stands. One sender at a time, in whatever tab. It never asks navigator.onLine,
// which is wrong in both directions: it tries, and believes what happens.

import { endsAsking } from "./client.js";
import { pushPull } from "./push-pull.js";
import { fetchRingSets } from "./ring-sets.js";
import { sendPhotos } from "./photos.js";
import { Session } from "./session.js";
import { SHOP } from "../store/names.js";
import { askAnew, fetchShopMemory } from "./shop-memory.js";

const LOCK_NAME = "tapermark.sync";
const AFTER_SAVE_MS = 800; // several fields saved together make one request
const FIRST_RETRY_MS = 10_000;
const LONGEST_RETRY_MS = 60_000; // a server that came back is found while the phone is still in the hand
const QUIET_MS = 300_000; // with nothing to send: look for what other phones did

/** How trouble is said: the server's code for it, or that of SyncTrouble -> [status, message key]. */
const STATUS_BY_CODE = {
  "offline": ["offline", "sync.offline"],
  "not-our-server": ["offline", "sync.not-our-server"],
  "pairing-ended": ["not-paired", "sync.pairing-ended"],
  "not-paired": ["not-paired", "sync.not-paired"],
  "server-trouble": ["waiting", "sync.server-trouble"],
  "refused": ["waiting", "sync.server-trouble"],
  "store-full": ["waiting", "sync.server-full"],
  "store-read-only": ["waiting", "sync.server-full"],
  "table-damaged": ["waiting", "error.table-damaged"],
};

/**
 * Starts syncing: now, when the page comes to the front, when the network says it is back, after each save, by timer.
 */
export function startSync(phone, parts = {}) {
  const sync = new Sync(phone, parts);
  sync.start();
  return sync;
}

/** One page's sync; it runs when asked, and by itself once started. */
export class Sync extends EventTarget {
  /**
   * {status, text: message key, params, lastAt: ms or null}; statuses as in STATUS_BY_CODE, and idle, sending, refused.
   */
  state = { status: "waiting", text: "sync.waiting", params: {}, lastAt: null };
  /** By how much this phone's clock is ahead of the server's, once it is known. It decides nothing. */
  clockOffMs = 0;
  /** {name, demo} once the server has said it. */
  shop = null;
  #phone;
  #fetch;
  #now;
  #locks;
  #timers;
  #page;
  #version; // of the program, or a promise of it, for the desk's list of phones
  #timer = null;
  #running = null;
  #again = false;
  #failures = 0;
  #stops = [];

  constructor(phone, {
    fetch = globalThis.fetch.bind(globalThis), now = Date.now, locks = globalThis.navigator?.locks,
    timers = { set: (f, ms) => setTimeout(f, ms), clear: (id) => clearTimeout(id) }, page = globalThis,
    version = null,
  }) {
    super();
    this.#phone = phone;
    this.#fetch = fetch;
    this.#now = now;
    this.#locks = locks;
    this.#timers = timers;
    this.#page = page;
    this.#version = version;
  }

  start() {
    const wake = () => this.now();
    for (const name of ["online", "pageshow", "visibilitychange"]) {
      const heard = () => { if (this.#page.document?.visibilityState !== "hidden") wake(); };
      this.#page.addEventListener(name, heard);
      this.#stops.push(() => this.#page.removeEventListener(name, heard));
    }
    this.#stops.push(this.#phone.onChange(({ cause }) => { if (cause === "saved") this.#schedule(AFTER_SAVE_MS); }));
    wake();
  }

  /** No more triggers; what is under way ends by itself. */
  stop() {
    for (const stop of this.#stops.splice(0)) stop();
    this.#timers.clear(this.#timer);
    this.#again = false;
  }

  /** Syncs now; resolves when done, whatever came of it. A call during a sync makes one more after it. */
  now() {
    if (this.#running) {
      this.#again = true;
      return this.#running;
    }
    this.#timers.clear(this.#timer);
    this.#running = this.#runAll().finally(() => { this.#running = null; });
    return this.#running;
  }

  /** Calls `listener(state)` after each change of state; returns the function that stops it. */
  onChange(listener) {
    const heard = () => listener(this.state);
    this.addEventListener("change", heard);
    return () => this.removeEventListener("change", heard);
  }

  async #runAll() {
    do {
      this.#again = false;
      await this.#asOnlySender(() => this.#run());
    } while (this.#again);
    if (this.#stops.length > 0) this.#schedule(this.#failures === 0 ? QUIET_MS : this.#retryMs());
  }

  async #asOnlySender(run) {
    if (!this.#locks) return run();
    return this.#locks.request(LOCK_NAME, { ifAvailable: true }, async (lock) => {
      if (lock) return run();
      this.#failures = Math.max(1, this.#failures); // look again soon: the other tab may be closed half-way
      return this.#say("sending", "sync.another-tab");
    });
  }

  async #run() {
    await this.#say("sending", "sync.sending");
    const troubles = await this.#exchange();
    if (troubles.length === 0) {
      this.#failures = 0;
      await this.#sayOutcome().catch((trouble) => this.#sayTrouble(trouble));
    } else {
      await this.#sayTrouble(troubles.find(endsAsking) ?? troubles[0]);
    }
  }

  /**
   * Resolves with what went wrong. What one step stumbles over holds up no other, unless nothing else can be asked for.
   */
  async #exchange() {
    const troubles = [];
    const attempt = (step) => step().catch((trouble) => { troubles.push(trouble); });
    const ask = async (step) => { if (!troubles.some(endsAsking)) await attempt(step); };
    const session = await attempt(() => Session.open(this.#fetch));
    if (session) {
      let wanted = [];
      await attempt(() => this.#greet(session));
      await ask(async () => {
        const { wantedPhotos, trouble, isAnew } = await pushPull(session, this.#phone, this.#now, {
          version: await this.#version, told: (count) => this.#say("sending", "sync.fetching", { count }),
        });
        wanted = wantedPhotos;
        if (isAnew) askAnew(this.#phone);
        if (trouble) throw trouble; // only now: what the server can take has arrived
      });
      await ask(() => fetchRingSets(session, this.#phone)); // before the photos, which may take minutes
      await ask(() => sendPhotos(session, this.#phone, wanted));
      await ask(() => fetchShopMemory(session, this.#phone, this.#now())); // last: nothing waits for it
    }
    if (troubles.some(({ problem }) => problem === "pairing-ended")) await attempt(() => this.#leaveShop());
    else await attempt(() => this.#phone.pruneNowAndThen());
    return troubles;
  }

  async #leaveShop() {
    askAnew(this.#phone);
    await this.#phone.leaveShop();
  }

  async #greet(session) {
    this.shop = session.shop;
    if ((await this.#phone.setting(SHOP))?.name !== this.shop.name) await this.#phone.setSetting(SHOP, this.shop);
    this.clockOffMs = this.#now() - session.serverTime;
    await this.#phone.compareWithServer(session.sent);
  }

  async #sayTrouble(trouble) {
    this.#failures += 1;
    const [status, text] = STATUS_BY_CODE[trouble.problem] ?? STATUS_BY_CODE[trouble.code]
      ?? ["waiting", "sync.store-trouble"];
    if (!(trouble.code in STATUS_BY_CODE)) console.error(trouble);
    await this.#say(status, text, { status: trouble.status });
  }

  async #sayOutcome() {
    const [unsent, refused, refusedPhotos] = await Promise.all([
      this.#phone.unsent(), this.#phone.refused(), this.#phone.refusedPhotos(),
    ]);
    if (unsent.entries + unsent.photos > refusedPhotos.length) {
      this.#failures += 1;
      await this.#say("waiting", "sync.waiting");
    } else if (refused.length > 0) {
      await this.#say("refused", "sync.refused", { count: refused.length });
    } else if (refusedPhotos.length > 0) {
      await this.#say("refused", "sync.photos-refused", { count: refusedPhotos.length });
    } else {
      await this.#say("idle", "sync.idle");
    }
  }

  async #say(status, text, params = {}) {
    const { synced_at: lastAt } = await this.#phone.syncStore.cursor().catch(() => ({ synced_at: this.state.lastAt }));
    this.state = { status, text, params, lastAt };
    this.dispatchEvent(new Event("change"));
  }

  #schedule(ms) {
    this.#timers.clear(this.#timer);
    this.#timer = this.#timers.set(() => this.now(), ms);
  }

  #retryMs() {
    return Math.min(LONGEST_RETRY_MS, FIRST_RETRY_MS * 2 ** (this.#failures - 1));
  }
}
