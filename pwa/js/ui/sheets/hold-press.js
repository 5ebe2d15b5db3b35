/**
 * Pressing a hold: the whole card for 0.6 s, its edge filling meanwhile. The finger may drift by 12 mm; lifting it
 * earlier or going further away confirms nothing, and lifting it earlier says so. With a keyboard or a screen reader:
 * Enter, then Enter on "Confirm".
 */

import { button, element, fill } from "../parts/element.js";

const PRESS_MS = 600;
/** 12 mm, at 96 px an inch. */
const DRIFT_PX = (12 / 25.4) * 96;
/** A finger that moves at once wants to scroll; one that has rested this long means the hold. */
const REST_MS = 120;

export class HoldPress {
  #card;
  #longer;
  #grip;
  #confirm;
  #onConfirmed;
  #takes;
  #press = null;
  #isOff = false;
  #lacks = "";
  #said = element("p", { class: "hold-said", role: "status" });

  /**
   * @param {{t: function, key: string, what: string, card: HTMLElement, onConfirmed: function(): void, takes:
   *   function(Event): boolean}} parts `what` is confirmed, in words; `card` is the whole target; `takes` asks the
   *   touch guard
   */
  constructor({ t, key, what, card, onConfirmed, takes }) {
    this.#card = card;
    this.#said.dataset.key = `hold-said-${key}`;
    this.#longer = t("on-sheet.hold.longer");
    this.#onConfirmed = onConfirmed;
    this.#takes = takes;
    this.#confirm = button({ key: `confirm-${key}`, label: t("on-sheet.hold.confirm"),
      name: t("ui.hold.confirm", { what }), kind: "hold-confirm", onPress: () => this.#done() });
    this.#confirm.hidden = true;
    this.#grip = button({ key: `hold-${key}`, label: t("on-sheet.hold.press"),
      name: t("on-sheet.hold.press-name", { what }), kind: "hold-grip", onPress: (event) => this.#clicked(event) });
    this.element = element("div", { class: "hold-press" }, this.#grip, this.#confirm, this.#said);
    card.addEventListener("pointerdown", (event) => this.#down(event));
    card.addEventListener("pointermove", (event) => this.#moved(event));
    card.addEventListener("pointerup", () => this.#lifted());
    card.addEventListener("pointercancel", () => this.#let());
    card.addEventListener("touchmove", (event) => this.#held(event), { passive: false });
    card.addEventListener("contextmenu", (event) => this.#press && event.preventDefault());
  }

  set disabled(isOff) {
    this.#isOff = isOff;
    this.#grip.disabled = isOff;
    if (isOff) this.#confirm.hidden = true;
    if (isOff) this.#let();
  }

  /** What has to be answered before the hold can be meant: a press says it. "" where nothing is missing. */
  set lacks(words) {
    this.#lacks = words;
    this.#grip.setAttribute("aria-disabled", String(words !== ""));
    if (words) this.#confirm.hidden = true;
    if (!words) this.#say("");
  }

  focus() {
    this.#grip.focus({ preventScroll: true });
  }

  #down(event) {
    const isElsewhere = event.target.closest("button, summary, input, textarea, a")
      && !this.#grip.contains(event.target);
    if (this.#isOff || isElsewhere || event.button !== 0 || !event.isPrimary || !this.#takes(event)) return;
    if (this.#lacks) {
      this.#say(this.#lacks);
      return;
    }
    this.#press = { id: event.pointerId, x: event.clientX, y: event.clientY, since: performance.now() };
    this.#card.setPointerCapture?.(event.pointerId);
    this.#fill();
  }

  #moved({ pointerId, clientX, clientY }) {
    if (this.#press?.id !== pointerId) return;
    if (Math.hypot(clientX - this.#press.x, clientY - this.#press.y) > DRIFT_PX) this.#let();
  }

  /** While the hold is meant, the page does not scroll away under the finger. */
  #held(event) {
    if (this.#press && performance.now() - this.#press.since > REST_MS && event.cancelable) event.preventDefault();
  }

  #fill() {
    if (!this.#press) return;
    const filled = (performance.now() - this.#press.since) / PRESS_MS;
    this.#card.style.setProperty("--held", String(Math.min(filled, 1)));
    if (filled >= 1) return this.#done();
    requestAnimationFrame(() => this.#fill());
  }

  #lifted() {
    if (this.#press) this.#say(this.#longer);
    this.#let();
  }

  /**
   * Beneath the grip, so that nothing moves under the finger; the same words again are new words to a screen reader.
   */
  #say(words) {
    fill(this.#said, words && element("span", { text: words }));
  }

  #let() {
    this.#press = null;
    this.#card.style.removeProperty("--held");
  }

  #done() {
    this.#let();
    this.#say("");
    this.#confirm.hidden = true;
    this.#onConfirmed();
  }

  /** A key press has no length that everybody can hold, so it asks again; a short tap only shows what is wanted. */
  #clicked(event) {
    if (event.detail !== 0) return;
    this.#say(this.#lacks);
    if (this.#lacks) return;
    this.#confirm.hidden = false;
    this.#confirm.focus();
  }
}
