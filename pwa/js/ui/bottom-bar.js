/**
 * The bar at the bottom: what was just saved (with undo), the next action, and up to three further ways.
 * It stands below the scrolling part and never over it.
 */

import { button, element, fill } from "./element.js";

/** A second tap of a gloved finger must not answer the step that has just come. */
const SETTLE_MS = 250;

export class BottomBar {
  #settled = 0;
  #notice = element("p", { class: "notice", role: "status", key: "notice" });
  #actions = element("div", { class: "bar-actions" });

  /** @param {HTMLElement} root the element with id "bar" */
  constructor(root) {
    this.element = root;
  }

  /** Puts an alarm (the NOT SAVED bar) on top, or takes it away with null. */
  set alarm(node) {
    this.#mount(node);
  }

  /**
   * @param {{primary?: {label, key, press}|null, aside?: {label, key, press}|null, more?: Array<{label, key, press, name?}>}} model
   */
  update({ primary = null, aside = null, more = [] }) {
    fill(
      this.#actions,
      (primary || aside) && element("div", { class: "bar-main" },
        aside && button({ key: aside.key, label: aside.label, kind: "aside", onPress: aside.press }),
        primary && button({ key: primary.key, label: primary.label, kind: "primary", onPress: primary.press })),
      more.length > 0 && element("div", { class: "bar-more" },
        more.map(({ key, label, press, name }) => button({ key, label, name, onPress: press }))),
    );
    this.#wake();
    if (!this.#actions.isConnected) this.#mount(null);
  }

  /** A new screen has come: its buttons wake a moment later. */
  settle() {
    this.#settled = performance.now() + SETTLE_MS;
    setTimeout(() => this.#wake(), SETTLE_MS + 1);
  }

  /** Says something in passing; screen readers hear it. An empty text clears the line. */
  say(text) {
    this.#notice.textContent = text;
  }

  #wake() {
    const asleep = performance.now() < this.#settled;
    for (const action of this.#actions.querySelectorAll("button")) action.disabled = asleep;
  }

  #mount(alarm) {
    fill(this.element, alarm, this.#notice, this.#actions);
  }
}
