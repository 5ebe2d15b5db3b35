/** Pairing: the code of the desk, typed here or brought by its square; and whether this phone is paired at all. */

import { pair } from "../../sync/pair.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { TextField } from "../fields/text-field.js";

/** The server's codes for a refusal that have words of their own here. */
const REFUSALS = new Set(["pair-code-wrong", "too-many-tries", "https-needed"]);
const CODE_LENGTH = 8;

export class PairingScreen {
  #app;
  #code;
  #state = element("section", { class: "sheet stack", key: "pairing-state" });
  #isPairing = false;

  constructor(app, { code = "" }) {
    this.#app = app;
    const { t } = app;
    this.#code = new TextField({
      key: "pair-code", label: t("pairing.code"), hint: t("pairing.code.hint"), text: code, capitals: true,
      onEnter: () => this.#pair(),
    });
    this.element = element("div", { class: "stack wide" },
      element("h1", { text: t("pairing.title") }),
      this.#state,
      element("p", { text: t(code ? "pairing.scanned" : "pairing.how") }),
      this.#code.element,
      element("p", { class: "soft", text: t("pairing.own-store") }));
  }

  async update() {
    const { t, sync } = this.#app;
    const isOut = sync.state.status === "not-paired";
    fill(this.#state,
      isOut && remark({ name: "warning", text: t("pairing.not-paired") }),
      !isOut && sync.shop && remark({ name: "done",
        text: t(sync.shop.demo ? "pairing.paired-demo" : "pairing.paired", { shop: sync.shop.name }) }),
      !isOut && !sync.shop && remark({ name: "open", text: t("pairing.not-known") }),
      isOut && button({ key: "pairing-export", label: t("pairing.export"),
        onPress: () => this.#app.go({ screen: "settings" }) }));
  }

  frame() {
    const { t } = this.#app;
    return {
      name: t("pairing.title"),
      back: () => this.#app.go({ screen: this.#app.settings.get("technician") ? "settings" : "start" }),
      primary: { key: "pair", label: t("pairing.pair"), press: () => this.#pair() },
    };
  }

  async #pair() {
    const { t } = this.#app;
    const typed = this.#code.text.trim();
    if (typed.replace(/[^0-9a-z]/gi, "").length !== CODE_LENGTH) return this.#refuse("pairing.error.length");
    if (this.#isPairing) return undefined; // the code works once: a double tap must not spend it on itself
    this.#isPairing = true;
    try {
      const shop = await pair(typed);
      this.#app.phone.askToKeep(); // from now on it may hold what nobody else has
      this.#app.sync.now();
      history.replaceState(null, "", "#/pair"); // the code is spent and has no place in the history
      return this.#app.goSaying(t("pairing.done", { shop: shop.name }), { screen: "start" });
    } catch (trouble) {
      return this.#refuse(textOf(trouble));
    } finally {
      this.#isPairing = false;
    }
  }

  /** What is wrong stands beneath the field, and must not stay behind the bar of a small phone. */
  #refuse(key) {
    this.#code.refuse(this.#app.t(key));
    this.#code.element.scrollIntoView({ block: "nearest" });
  }
}

function textOf({ code, problem }) {
  if (REFUSALS.has(problem)) return `pairing.error.${problem}`;
  return code === "offline" || code === "not-our-server" ? `pairing.error.${code}` : "pairing.error.other";
}
