/** Whether this phone is ready without network, and what the server does not hold yet: said and announced. */

import { button, element, fill } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { ago, span } from "../words/when.js";

/** A clock that is wrong by less does not make a job sheet hard to read. */
const CLOCK_NOTICED_MS = 300_000;

export class PhoneStatus {
  #app;
  #ready = element("p", { class: "with-shape", key: "ready" });
  #unsent = element("p", { class: "with-shape", key: "unsent" });
  #sync = element("p", { class: "soft", key: "sync" });
  #extra = element("div", { class: "stack" });

  constructor(app) {
    this.#app = app;
    this.element = element("section", { class: "sheet stack", "aria-label": app.t("ui.status.title") },
      element("div", { role: "status", class: "stack status-lines" }, this.#ready, this.#unsent, this.#sync), this.#extra);
  }

  async update() {
    const { phone, ready, updates, sync, t } = this.#app;
    this.#sayReady(ready);
    const [unsent, refused] = await Promise.all([phone.unsent(), phone.refused()]);
    this.#sayUnsent(unsent);
    const rescued = phone.rescued();
    const waiting = unsent.entries + unsent.photos > 0;
    setText(this.#sync, this.#syncWords(waiting));
    fill(this.#extra,
      !phone.health.ok && element("p", { class: "with-shape", key: "store-trouble" }, stateShape("warning"), element("span", { text: t(`error.${phone.health.code}`) })),
      rescued.length > 0 && element("p", { class: "with-shape", key: "rescued" }, stateShape("warning"), element("span", { text: t("ui.status.rescued", { count: rescued.length }) })),
      rescued.length > 0 && button({ key: "save-rescued", label: t("ui.not-saved.retry"), onPress: () => this.#saveRescued(rescued) }),
      phone.lost && element("p", { class: "with-shape", key: "lost" }, stateShape("warning"), element("span", { text: t("ui.status.lost") })),
      phone.lost && button({ key: "lost-read", label: t("ui.status.lost.read"), onPress: () => this.#lostRead() }),
      refused.length > 0 && element("p", { class: "with-shape", key: "refused" }, stateShape("refused"), element("span", { text: t("ui.status.refused", { count: refused.length }) })),
      this.#clockWords() && element("p", { class: "with-shape", key: "clock" }, stateShape("warning"), element("span", { text: this.#clockWords() })),
      updates.state.text && element("p", { class: "with-shape", key: "update" }, stateShape("waiting"), element("span", { text: t(updates.state.text) })),
      updates.state.status === "waiting" && button({ key: "update-now", label: t("ui.update.now"), onPress: () => updates.accept() }),
      sync.state.status === "not-paired" && button({ key: "pair-now", label: t("pairing.open"), onPress: () => this.#app.go({ screen: "pair" }) }),
      waiting && button({ key: "send-now", label: t("ui.status.send-now"), onPress: () => this.#app.sync.now() }));
  }

  /** What an earlier failure left unsaved is saved now, each value in place of what its slot holds by now. */
  async #saveRescued(rescued) {
    for (const { job, kind, slot, body } of rescued) {
      if (!(await this.#app.save({ job, kind, slot: slot ?? null, body }, { undoable: false }))) return;
    }
    await this.update();
  }

  async #lostRead() {
    await this.#app.phone.forgetLoss();
    return this.update();
  }

  #sayReady({ ready, missing }) {
    const { t } = this.#app;
    const words = readyWords(t, { ready, missing });
    say(this.#ready, ready ? "done" : "open", words);
    this.#ready.dataset.ready = String(ready);
  }

  #sayUnsent({ entries, photos, oldest_at: oldest }) {
    const { t, locale } = this.#app;
    if (entries + photos === 0) return say(this.#unsent, "done", t("ui.status.all-sent"));
    const count = [entries > 0 && t("ui.unsent.entries", { count: entries }), photos > 0 && t("ui.unsent.photos", { count: photos })];
    return say(this.#unsent, "waiting", t("ui.status.unsent", {
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
    return [status !== "idle" && t(!waiting && t.has(quiet) ? quiet : text, params), last, shop].filter(Boolean).join(" ");
  }
}

/** @returns {string} whether the phone is ready without network, and what is missing for it */
export function readyWords(t, { ready, missing }) {
  if (ready) return t("ui.status.ready");
  if (missing.length === 0) return t("ui.status.looking");
  return t("ui.status.not-ready", { missing: missing.map((part) => t(`ui.status.missing.${part}`)).join("; ") });
}

/** Writes only what changed, so that a screen reader does not repeat itself. */
function say(line, shapeName, words) {
  if (line.dataset.words === words && line.dataset.shape === shapeName) return;
  Object.assign(line.dataset, { words, shape: shapeName });
  fill(line, stateShape(shapeName), element("span", { text: words }));
}

function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}
