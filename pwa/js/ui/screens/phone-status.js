/** Whether this phone is ready without network, and what the server does not hold yet: said and announced. */

import { CLOCK_NOTICED_MS } from "../../store/limits.js";
import { readyAsOfNow, worksOffline } from "../../sync/ready.js";
import { button, element, fill, say } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { ago, span } from "../words/date-words.js";

const note = (key, shape, text) =>
  element("p", { class: "with-shape", key }, stateShape(shape), element("span", { text }));

export class PhoneStatus {
  #app;
  #ready;
  #unsent;
  #sync;
  #extra = element("div", { class: "stack" });
  #buttons;

  constructor(app) {
    this.#app = app;
    const press = (key, label, onPress) => button({ key, label: app.t(label), onPress });
    this.#buttons = { // always the same ones: a tap on one that is made anew under the finger is lost
      retry: press("save-rescued", "ui.not-saved.retry", () => this.#saveRescued()),
      read: press("lost-read", "ui.status.lost.read", () => this.#lostRead()),
      update: press("update-now", "ui.update.now", () => app.updates.accept()),
      pair: press("pair-now", "ui.start.pair", () => app.go({ screen: "pair" })),
      send: press("send-now", "ui.status.send-now", () => app.sync.now()),
    };
    const line = (key, className, untilKnown) =>
      element("p", { class: className, key, "data-until-known": app.t(untilKnown) });
    this.#ready = line("ready", "with-shape", "ui.status.looking");
    this.#unsent = line("unsent", "with-shape", "ui.status.looking-unsent");
    this.#sync = line("sync", "soft", "sync.waiting.nothing-waits");
    this.element = element("section", { class: "sheet stack", "aria-label": app.t("ui.status.title") },
      element("div", { role: "status", class: "stack status-lines" }, this.#ready, this.#unsent, this.#sync),
      this.#extra);
  }

  async update() {
    const { phone, ready, updates, sync, t } = this.#app;
    this.#sayReady(readyAsOfNow(ready, phone));
    const reads = [phone.unsent(), phone.refused(), phone.syncStore.cursor()];
    const [unsent, refused, cursor] = await Promise.all(reads).catch(() => [null, [], null]);
    this.#sayUnsent(unsent, cursor);
    const rescued = phone.rescued();
    const waiting = unsent === null || unsent.entries + unsent.photos > 0; // what cannot be read may wait
    say(this.#sync, this.#syncWords(waiting));
    fill(this.#extra,
      !phone.health.ok && note("store-trouble", "warning", t(`error.${phone.health.code}`)),
      phone.isTight && note("tight", "warning", t("ui.status.tight")),
      rescued.length > 0 && note("rescued", "warning", t("ui.status.rescued", { count: rescued.length })),
      rescued.length > 0 && this.#buttons.retry,
      phone.lost && note("lost", "warning", lostWords(t, phone.lost)),
      phone.lost && this.#buttons.read,
      refused.length > 0 && note("refused", "refused", t("ui.status.refused", { count: refused.length })),
      this.#clockWords() && note("clock", "warning", this.#clockWords()),
      updates.state.text && note("update", "waiting", t(updates.state.text)),
      updates.state.status === "waiting" && this.#buttons.update,
      sync.state.status === "not-paired" && this.#buttons.pair,
      waiting && this.#buttons.send);
  }

  /** Saves now what an earlier failure left, each value in its slot's place; one that fails holds up no other. */
  async #saveRescued() {
    for (const { job, kind, slot, body } of this.#app.phone.rescued())
      await this.#app.save({ job, kind, slot: slot ?? null, body }, { undoable: false });
    await this.update();
  }

  async #lostRead() {
    await this.#app.phone.forgetLoss();
    return this.update();
  }

  #sayReady(state) {
    sayState(this.#ready, ...readySaid(this.#app.t, state));
    Object.assign(this.#ready.dataset, { ready: String(state.ready), works: String(worksOffline(state)) });
  }

  /** "Sent" is said only of a store that can be read, that the shop knows, and that has no loss still unread. */
  #sayUnsent(unsent, cursor) {
    const { t, locale, phone } = this.#app;
    if (!unsent) return sayState(this.#unsent, "warning", t("ui.status.unsent-unknown"));
    const { entries, photos, oldest_at: oldest } = unsent;
    if (entries + photos === 0 && phone.lost) return sayState(this.#unsent, "warning", t("ui.status.nothing-waits"));
    if (entries + photos === 0 && cursor.synced_at === null)
      return sayState(this.#unsent, "open", t("ui.status.nothing-yet"));
    if (entries + photos === 0) return sayState(this.#unsent, "done", t("ui.status.all-sent"));
    const count = [entries > 0 && t("ui.unsent.entries", { count: entries }),
      photos > 0 && t("ui.unsent.photos", { count: photos })];
    const { isKept } = phone;
    return sayState(this.#unsent, isKept ? "waiting" : "warning",
        t(isKept ? "ui.status.unsent" : "ui.status.unsent.not-kept", {
      what: new Intl.ListFormat(locale).format(count.filter(Boolean)),
      oldest: oldest ? ago(oldest, Date.now(), locale) : "",
    }));
  }

  #clockWords() {
    const { sync: { clockOffMs }, t, locale } = this.#app;
    if (Math.abs(clockOffMs) < CLOCK_NOTICED_MS) return null;
    return t(clockOffMs > 0 ? "sync.clock-ahead" : "sync.clock-behind", { by: span(Math.abs(clockOffMs), locale) });
  }

  /** Where nothing waits, nothing is said to be "not sent". */
  #syncWords(waiting) {
    const { sync, t, locale } = this.#app;
    const { status, text, params, lastAt } = sync.state;
    const quiet = `${text}.nothing-waits`;
    const last = lastAt ? t("ui.status.last", { when: ago(lastAt, Date.now(), locale) }) : t("ui.status.never");
    const shop = sync.shop?.demo && t("ui.status.demo-shop", { name: sync.shop.name });
    return [status !== "idle" && t(!waiting && t.has(quiet) ? quiet : text, params), last, shop]
      .filter(Boolean).join(" ");
  }
}

/** @returns {[string, string]} shape and words: whether it is ready without network, and what is missing */
export function readySaid(t, { ready, missing }) {
  if (ready) return ["done", t("ui.status.ready")];
  if (missing.length === 0) return ["open", t("ui.status.looking")];
  if (worksOffline({ ready, missing })) return ["warning", t("ui.status.not-kept")];
  const parts = missing.filter((part) => part !== "kept"); // that comes when all else is there
  return ["open", t("ui.status.not-ready",
    { missing: parts.map((part) => t(`ui.status.missing.${part}`)).join("; ") })];
}

/** @returns {string} what is gone, what is back, and what to do about it */
function lostWords(t, { device, unsent, photos, restored }) {
  return [
    t("ui.status.lost"),
    restored > 0 && t("ui.status.lost.restored", { count: restored }),
    unsent > 0 && t("ui.status.lost.entries", { count: unsent }),
    photos > 0 && t("ui.status.lost.photos", { count: photos }),
    device === null && t("ui.status.lost.unknown"),
  ].filter(Boolean).join(" ");
}

/** Writes only what changed, so that a screen reader does not repeat itself. */
function sayState(line, shapeName, words) {
  if (line.dataset.words === words && line.dataset.shape === shapeName) return;
  Object.assign(line.dataset, { words, shape: shapeName });
  fill(line, stateShape(shapeName), element("span", { text: words }));
}
