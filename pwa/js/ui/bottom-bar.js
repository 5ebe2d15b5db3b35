/**
 * The bar at the bottom: what was just saved, the next action, and up to three further ways.
 * It stands below the scrolling part and never over it. Its buttons stay the same nodes while nothing about them
 * changes, so that the focus stays where it is.
 */

import { button, element, fill } from "./parts/element.js";

/** A second tap of a gloved finger must not answer the step that has just come. */
const SETTLE_MS = 250;

export class BottomBar {
  #notice = element("p", { class: "notice", role: "status", key: "notice" });
  #actions = element("div", { class: "bar-actions" });
  #presses = {};
  #shown = null;
  #settled = 0;

  /** @param {HTMLElement} root the element with id "bar" */
  constructor(root) {
    this.element = root; // until the first screen it shows what the page came with
  }

  /** Puts an alarm (the NOT SAVED bar) on top, or takes it away with null. */
  set alarm(node) {
    fill(this.element, node, this.#notice, this.#actions);
  }

  /**
   * @param {{primary?: {label, key, press}|null, aside?: {label, key, press}|null, more?: Array<{label, key, press}>}} model
   */
  update({ primary = null, aside = null, more = [] }) {
    const all = [aside, primary, ...more].filter(Boolean);
    this.#presses = Object.fromEntries(all.map(({ key, press }) => [key, press]));
    const shown = JSON.stringify([aside, primary, more]); // functions fall away
    if (!this.#actions.isConnected) this.alarm = null;
    if (shown !== this.#shown) this.#draw({ primary, aside, more });
    this.#shown = shown;
    this.#wake();
  }

  /** A new screen has come: its buttons wake a moment later. Before the first one nothing stood there to be tapped twice. */
  settle() {
    if (this.#shown === null) return;
    this.#settled = performance.now() + SETTLE_MS;
    setTimeout(() => this.#wake(), SETTLE_MS + 1);
  }

  /** Says something in passing; screen readers hear it. An empty text clears the line. */
  say(text) {
    this.#notice.textContent = text;
  }

  #draw({ primary, aside, more }) {
    const make = (action, kind) => action && button({ ...action, kind, onPress: () => this.#presses[action.key]() });
    fill(
      this.#actions,
      (primary || aside) && element("div", { class: "bar-main" }, make(aside, "aside"), make(primary, "primary")),
      more.length > 0 && element("div", { class: "bar-more" }, more.map((action) => make(action, "plain"))),
    );
  }

  #wake() {
    const asleep = performance.now() < this.#settled;
    for (const action of this.#actions.querySelectorAll("button")) action.disabled = asleep;
  }
}
