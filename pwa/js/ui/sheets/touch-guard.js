/**
 * Takes no tap for a target that came under the finger a moment ago, and shows that it took none: a glove that bounces,
 * or a page that moved while the finger was on its way, answers nothing; nor does a second tap at once on what a second
 * tap takes back. Nor does a finger that is lifted from a hold: what came under it while it was pressed was not there
 * when it went down. It watches where the targets stand; what a person scrolls by hand has not moved. Keyboards and
 * screen readers are not held up, for they name what they press.
 */

import { element } from "../parts/element.js";

/** How long a target has to stand where it is before it takes a tap. */
export const CAME_MS = 700;
const SHOWN_MS = 900;
/** What says that no tap was taken keeps this far from every edge, and this far over the finger. */
const EDGE_PX = 8;
const OVER_FINGER_PX = 24;
/** Less than this is the same place: an edge that grew, not another target. */
const SAME_PLACE_PX = 6;
/** A key that comes up elsewhere was looked for; one under the finger that has just tapped was not. */
const FINGER_PX = 48;
/**
 * What moves targets without changing the page's tree: a field that grows while it is typed into, a dialog that is
 * scrolled.
 */
const MOVES = ["resize", "input", "scroll"];
const LIFTS = ["pointerup", "pointercancel"];
const NEVER = { from: Infinity, to: -Infinity };
const TARGETS = "button, summary, select, a[href], [role=button]";

export class TouchGuard {
  #roots;
  #scroller;
  #t;
  #places = new Map();
  #lastTap = { x: -1000, y: -1000 };
  #taken = { target: null, at: -Infinity };
  /** From when to when the finger was down last. */
  #pressed = NEVER;
  #isDue = false;
  #watch = new MutationObserver(() => this.#measureSoon());
  #said = element("p", { class: "took-none-said", role: "status" });
  #hear = (event) => this.#onClick(event);
  #moved = () => this.#measureSoon();
  #down = () => { this.#pressed = { from: performance.now(), to: Infinity }; };
  #up = () => { this.#pressed = { ...this.#pressed, to: performance.now() }; };

  /**
   * @param {{t: function, roots: HTMLElement[], scroller: HTMLElement}} parts roots hold the targets; the scroller is
   *   one of them
   */
  constructor({ t, roots, scroller }) {
    this.#t = t;
    this.#roots = roots;
    this.#scroller = scroller;
  }

  start() {
    for (const root of this.#roots) {
      root.addEventListener("click", this.#hear, true);
      this.#watch.observe(root, { childList: true, subtree: true, attributes: true,
        attributeFilter: ["hidden", "open", "class"], characterData: true });
    }
    for (const what of MOVES) addEventListener(what, this.#moved, true);
    addEventListener("pointerdown", this.#down, true);
    for (const what of LIFTS) addEventListener(what, this.#up, true);
    document.body.append(this.#said);
    this.#measure();
  }

  stop() {
    this.#watch.disconnect();
    for (const root of this.#roots) root.removeEventListener("click", this.#hear, true);
    for (const what of MOVES) removeEventListener(what, this.#moved, true);
    removeEventListener("pointerdown", this.#down, true);
    for (const what of LIFTS) removeEventListener(what, this.#up, true);
    this.#said.remove();
  }

  /** The program has scrolled: whatever lies under a finger now came there just now. */
  scrolled() {
    const now = performance.now();
    for (const [target, place] of this.#places) if (this.#scroller.contains(target)) place.since = now;
  }

  /** @returns {boolean} whether a tap on the target counts; a pressed hold asks too */
  takes(target, { x, y } = {}) {
    const root = target.matches(TARGETS) && this.#roots.find((each) => each.contains(target));
    if (root) this.#measureOne(target, this.#places.get(target), this.#frameOf(root));
    if (target.dataset.guard === "again" && target === this.#taken.target
      && performance.now() - this.#taken.at < CAME_MS) return false;
    const place = this.#places.get(target);
    const { from, to } = this.#pressed;
    const cameUnderPress = place && place.since > from && place.since <= to;
    if (!place || (performance.now() - place.since >= CAME_MS && !cameUnderPress)) return true;
    const near = Math.hypot(x - this.#lastTap.x, y - this.#lastTap.y) < FINGER_PX;
    return target.dataset.guard === "near" && !near;
  }

  /** Shows at the target that it took no tap. */
  refuse(target, { x, y }) {
    this.#scroller.dataset.tookNone = Number(this.#scroller.dataset.tookNone ?? 0) + 1;
    target.classList.add("took-none");
    this.#said.textContent = this.#t("on-sheet.too-soon");
    // over the finger, and over the bar, whose keys it must not hide
    const { width, height } = this.#said.getBoundingClientRect();
    const bar = target.closest("#bar")?.getBoundingClientRect().top ?? Infinity;
    this.#said.style.left = `${Math.min(Math.max(x, width / 2 + EDGE_PX), innerWidth - width / 2 - EDGE_PX)}px`;
    this.#said.style.top = `${Math.max(Math.min(y - OVER_FINGER_PX, bar) - height - EDGE_PX, EDGE_PX)}px`;
    setTimeout(() => { target.classList.remove("took-none"); this.#said.textContent = ""; }, SHOWN_MS);
  }

  #onClick(event) {
    const { clientX: x, clientY: y } = event;
    const target = event.target.closest?.(TARGETS);
    const byKeyboard = event.detail === 0;
    if (target && !byKeyboard && !this.takes(target, { x, y })) {
      event.preventDefault();
      event.stopImmediatePropagation();
      this.refuse(target, { x, y });
    } else if (target) {
      this.#taken = { target, at: performance.now() };
    }
    if (!byKeyboard) this.#lastTap = { x, y };
    this.#pressed = NEVER;
  }

  #measureSoon() {
    if (this.#isDue) return;
    this.#isDue = true;
    requestAnimationFrame(() => { this.#isDue = false; this.#measure(); });
  }

  /** Where each target stands, and since when; within what scrolls by hand the place on the page counts. */
  #measure() {
    const before = this.#places;
    this.#places = new Map();
    for (const root of this.#roots) {
      const at = this.#frameOf(root);
      const folded = [...root.querySelectorAll("details:not([open])")];
      for (const target of root.querySelectorAll(TARGETS)) {
        // to ask where something in a shut fold stands would lay the fold out, at each answer
        if (folded.some((fold) => fold.contains(target) && !isItsLine(fold, target))) continue;
        this.#measureOne(target, before.get(target), at);
      }
    }
  }

  #measureOne(target, there, { now, offset }) {
    const box = target.getBoundingClientRect();
    if (box.width === 0) {
      this.#places.delete(target);
      return;
    }
    const x = box.left, y = box.top - offset + (target.closest("dialog")?.scrollTop ?? 0); // a dialog scrolls by itself
    const stays = there && Math.abs(there.x - x) + Math.abs(there.y - y) <= SAME_PLACE_PX;
    this.#places.set(target, stays ? there : { x, y, since: now });
  }

  #frameOf(root) {
    const offset = root === this.#scroller ? root.getBoundingClientRect().top - root.scrollTop : 0;
    return { now: performance.now(), offset };
  }
}

/** What opens and shuts a fold stands outside of it. */
function isItsLine(fold, target) {
  return fold.firstElementChild.contains(target);
}
