/**
 * The bar at the bottom: what was just saved, the next action, and up to three further ways; on a sheet with undo and
 * menu beside the next action, and the keypad in the place of all of them while numbers are typed.
 * It stands below the scrolling part and never over it. Its buttons stay the same nodes while nothing about them
 * changes, so that the focus stays where it is.
 */

import { button, element, fill, say } from "./parts/element.js";
import { stateShape } from "./parts/state-shape.js";

/** A second tap of a gloved finger must not answer the step that has just come. */
const SETTLE_MS = 250;

export class BottomBar {
  #notice = element("p", { class: "notice", role: "status", key: "notice" });
  #actions = element("div", { class: "bar-actions" });
  #docked = null;
  #alarm = null;
  #presses = {};
  #shown = null;
  #settled = 0;

  /** @param {HTMLElement} root the element with id "bar" */
  constructor(root) {
    this.element = root; // until the first screen it shows what the page came with
  }

  /** Puts an alarm (the NOT SAVED bar) on top, or takes it away with null. */
  set alarm(node) {
    if (node === this.#alarm && (this.#docked ?? this.#actions).isConnected) return;
    this.#alarm = node;
    fill(this.element, node, this.#notice, this.#docked ?? this.#actions);
  }

  /** Puts a node in the place of the buttons; null gives them back. */
  dock(node) {
    const shown = this.#docked ?? this.#actions;
    this.#docked = node;
    if (shown.isConnected) shown.replaceWith(node ?? this.#actions);
  }

  /**
   * @param {{primary?: {label, key, press}|null, aside?: {label, key, press}|null, menu?: {label, key, press,
   *   shape}|null, note?: string|null, more?: Array<{label, key, press}>}} model an action with a `shape` shows that,
   *   its label is its name, and with `off` it has its place and does nothing yet; `note` stands over them
   */
  update({ primary = null, aside = null, menu = null, note = null, more = [] }) {
    const all = [aside, primary, menu, ...more].filter(Boolean);
    this.#presses = Object.fromEntries(all.map(({ key, press }) => [key, press]));
    const shown = JSON.stringify([aside, primary, menu, note, more]); // functions fall away
    if (!this.#actions.isConnected && !this.#docked) this.alarm = null;
    if (shown !== this.#shown && !this.#reword({ primary, aside, menu, note, more }))
      this.#draw({ primary, aside, menu, note, more });
    this.#shown = shown;
    this.#wake();
  }

  /** A new screen has come: its buttons wake a moment later. Before the first one nothing could be tapped twice. */
  settle() {
    if (this.#shown === null) return;
    this.#settled = performance.now() + SETTLE_MS;
    setTimeout(() => this.#wake(), SETTLE_MS + 1);
  }

  /** Says something in passing; screen readers hear it. An empty text clears the line. */
  say(text) {
    this.#notice.textContent = text;
  }

  #draw({ primary, aside, menu, note, more }) {
    fill(
      this.#actions,
      note !== null && element("p", { class: "bar-note", role: "status", key: "bar-note", text: note }),
      (primary || aside || menu) && element("div", { class: "bar-main" }, this.#make(aside, "aside"),
        this.#make(primary, "primary"), this.#make(menu, "menu")),
      more.length > 0 && element("div", { class: "bar-more" }, more.map((action) => this.#make(action, "plain"))),
    );
  }

  #make(action, kind) {
    if (!action) return null;
    const { label, key, shape, off = false } = action;
    const made = button({ key, label, kind, name: shape ? label : undefined, onPress: () => this.#presses[key]() });
    if (shape) made.replaceChildren(stateShape(shape));
    made.dataset.off = String(off);
    return made;
  }

  /** The same buttons with other words stay the same nodes. Returns false where that is not enough. */
  #reword({ primary, aside, menu, note, more }) {
    const wanted = [aside, primary, menu, ...more].filter(Boolean);
    const there = [...this.#actions.querySelectorAll("button")];
    const line = this.#actions.querySelector(".bar-note");
    if (there.length !== wanted.length || there.some((node, at) => node.dataset.key !== wanted[at].key)
      || Boolean(line) !== (note !== null)) return false;
    if (line) say(line, note);
    there.forEach((node, at) => {
      node.dataset.off = String(wanted[at].off ?? false);
      if (wanted[at].shape) node.setAttribute("aria-label", wanted[at].label);
      else say(node.querySelector(".button-label"), wanted[at].label);
    });
    return true;
  }

  #wake() {
    const asleep = performance.now() < this.#settled;
    for (const action of this.#actions.querySelectorAll("button")) action.disabled = asleep
      || action.dataset.off === "true";
  }
}
