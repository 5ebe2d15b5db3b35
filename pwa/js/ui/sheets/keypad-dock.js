/**
 * The one docked keypad of a sheet. Its keys go into the framed field and nowhere else; the first key replaces what
 * stands there. A way key that completes an angle keeps it and frames the next field; there is no minus key, so no sign
 * can be lost. The other way key right after it corrects that angle, and gives the next field nothing.
 *
 * A field is {key, label, kind: "angle"|"number"|"marks", quantity?, units, state: {text, unit, way, diameter},
 * isGoingOn, element, onTyping(state), echo(state): string, input, frame(isFramed), keep(): Promise<boolean>,
 * onNext?(): boolean, isFull?: boolean}. `keep` saves what stands there and resolves false where it stays half typed;
 * `onNext` true says that the field went on by itself.
 */

import { isLength, signWordsOf } from "../../domain/numbers/quantities.js";
import { decimalMark } from "../../domain/numbers/units.js";
import { afterPaint } from "../parts/after-paint.js";
import { button, element, fill, say } from "../parts/element.js";
import { unitWords } from "../words/row-words.js";

/** After a way key has framed the next field, "Next" means that step and not one more. */
const ONWARD_MS = 1500;
/**
 * For so long the other way key, tapped on an empty field, is about the angle that was just left: whoever taps the
 * wrong one sees it then.
 */
const SECOND_THOUGHT_MS = 3000;
const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];
/** What a unit adds to the digits: [text put in, key of its name]. */
const UNIT_KEYS = { "deg-min": [["°", "ui.key.degrees"], ["′", "ui.key.minutes"]],
  "inch": [["/", "ui.key.over"], [" ", "ui.key.and"]] };

export class KeypadDock {
  #app;
  #screen;
  /** By their inputs: what a rebuilt table no longer shows goes with it. */
  #fields = new WeakMap();
  #field = null;
  /** The next key replaces the whole text. */
  #isFresh = false;
  #part = "text";
  #wentOn = -Infinity;
  #left = null; // what a way key has ended
  /** Goes on to the next field: due once the answer is painted, or when something else is tapped. */
  #goOn = () => {};
  /** The last such step: ended when what was left by it is kept. */
  #going = Promise.resolve();
  #drawn = null; // which keys stand there
  #label = element("span", { class: "dock-label" });
  #echo = element("span", { class: "dock-echo", role: "status", key: "echo" });
  #keys = element("div", { class: "dock-keys" });
  #made = new Map();

  /** @param {{app: App, screen: SheetScreen}} parts */
  constructor({ app, screen }) {
    this.#app = app;
    this.#screen = screen;
    this.element = element("div", { class: "keypad-dock", role: "region", key: "keypad" },
      element("p", { class: "dock-said" }, this.#label, this.#echo), this.#keys);
  }

  get field() {
    return this.#field;
  }

  /**
   * Goes away when something else of the sheet is tapped or gets the focus. A press ends first: what moves before the
   * lift costs the tap.
   */
  watch(root) {
    const letGo = ({ target }) => { if (!target.closest(".cell, dialog")) this.release(); };
    root.addEventListener("focusin", (event) => { if (!root.matches(":active")) letGo(event); });
    root.addEventListener("click", letGo);
  }

  /** A field says once that it is there. */
  has(field) {
    this.#fields.set(field.input, field);
  }

  /** Frames a field; what stood in the one before is kept first. */
  async aim(field) {
    if (field === this.#field) return;
    this.#goOn();
    const before = this.#field;
    // asked before anything is written: the page is laid out once and not thrice
    const isLast = before && !this.#following(field);
    before?.frame(false);
    this.#field = field;
    this.#isFresh = !field.isGoingOn;
    this.#part = "text";
    if (before) this.#draw(isLast);
    field.frame(true);
    if (before) this.#screen.show(field.element);
    else this.#dock();
    await before?.keep();
  }

  /** Keeps what stands in the framed field and puts the keypad away. */
  async release() {
    this.#goOn();
    const field = this.#field;
    this.#field = null;
    if (field) {
      field.frame(false);
      this.#dock();
    }
    await Promise.all([this.#going, field?.keep()]);
  }

  /**
   * Comes or goes once the tap is answered: the whole sheet is laid out anew by it. Another screen may have come by
   * then, whose bar is not to be covered.
   */
  #dock() {
    afterPaint(() => {
      if (this.#field?.element.isConnected) {
        this.#draw();
        this.#app.dock(this.element);
        this.#screen.show(this.#field.element);
      } else if (this.element.isConnected) this.#app.dock(null);
    });
  }

  /** Keeps what stands in the framed field, where it is. */
  async keep() {
    this.#goOn();
    await Promise.all([this.#going, this.#field?.keep()]);
  }

  /** The text of a field was typed on a hardware keyboard. */
  typed(field, text) {
    this.#goOn();
    if (field === this.#field) this.#isFresh = false;
    this.#change(field, { text });
  }

  /** The next field of the sheet, or the keypad goes away behind the last one. */
  async next() {
    this.#goOn();
    const field = this.#field;
    if (!field || performance.now() - this.#wentOn < ONWARD_MS) return;
    if (field.onNext?.()) return;
    const following = this.#following(field);
    if (following) await this.aim(following);
    else await this.release();
  }

  /** A field has another unit, which has keys of its own. */
  renew(field) {
    if (field === this.#field) this.#draw();
  }

  /** Shows the framed field again: what was said of it may have changed. */
  update() {
    const field = this.#field;
    if (!field) return;
    say(this.#label, field.label);
    say(this.#echo, field.echo(field.state));
    this.element.setAttribute("aria-label", this.#app.t("ui.keypad", { types: field.label }));
    for (const key of this.#keys.querySelectorAll("[data-way]"))
      key.setAttribute("aria-pressed", String(key.dataset.way === field.state.way));
    this.#keys.querySelector('[data-key="key-diameter"]')
      ?.setAttribute("aria-pressed", String(this.#part === "diameter"));
  }

  /** The next field that can be typed in now, in the order of the page. */
  #following(field) {
    const isThere = ({ element: node, input }) => !input.disabled && !node.closest("[inert]") && node.checkVisibility();
    const inputs = [...document.querySelectorAll(".cell input")];
    const next = inputs.slice(inputs.indexOf(field.input) + 1)
      .find((input) => this.#fields.has(input) && isThere(this.#fields.get(input)));
    return next ? this.#fields.get(next) : null;
  }

  #draw(isLast = !this.#following(this.#field)) {
    const { t } = this.#app;
    const { kind, quantity, units, state } = this.#field;
    const drawn = JSON.stringify([kind, quantity, units, state.unit, state.diameter, isLast]);
    if (drawn === this.#drawn) return this.update();
    this.#drawn = drawn;
    const digits = DIGITS.map((digit) => this.#insert(digit));
    const mark = decimalMark(this.#app.locale);
    const [first, second] = kind === "angle" ? shownWays(quantity).map((way) => this.#way(way)) : [null, null];
    const unit = units.length > 1 ? this.#key("key-unit", this.#unitWords(state.unit), "word", () => this.#nextUnit(),
      t("ui.unit")) : null;
    const erase = this.#key("key-erase", "⌫", "", () => this.#erase(), t("ui.key.erase"));
    const next = this.#key("key-next", t(isLast ? "on-sheet.typed-done" : "on-sheet.next-field"), "next",
      () => this.next());
    const last = kind === "marks" ? blank() : this.#insert(mark, t("ui.key.mark"), "key-mark");
    const extra = this.#extraKeys();
    fill(this.#keys,
      extra.length > 0 && element("div", { class: "dock-extra" }, extra),
      digits.slice(0, 3), first ?? erase,
      digits.slice(3, 6), second ?? unit ?? blank(),
      digits.slice(6, 9), kind === "angle" ? erase : blank(),
      last, this.#insert("0"), kind === "angle" ? unit ?? blank() : blank(), next);
    this.#keys.classList.toggle("plain", kind !== "angle");
    return this.update();
  }

  /** Signs that a unit needs, and the diameter that a length is measured at. */
  #extraKeys() {
    const { t } = this.#app;
    const { kind, state } = this.#field;
    if (kind !== "angle") return [];
    const signs = (UNIT_KEYS[state.unit] ?? [])
      .map(([text, words]) => this.#insert(text, t(words), text === " " ? "key-and" : `key-${text}`,
        text === " " ? t(words) : text));
    if (!isLength(state.unit)) return signs;
    return [...signs, this.#key("key-diameter", t("on-sheet.diameter", { mm: state.diameter || "?" }), "word",
      () => this.#toDiameter())];
  }

  #insert(text, name, key = `key-${text}`, face = text) {
    return this.#key(key, face, "", () => this.#put(text), name);
  }

  #way(way) {
    const key = this.#key(`way-${way}`, this.#app.t(`ui.way.${way}`), "way", () => this.#setWay(way));
    key.dataset.way = way;
    return key;
  }

  /** A key that stays keeps its node and its place: the same digit twice is two taps, not one that bounced. */
  #key(key, label, kind, onPress, name) {
    const face = `${key} ${label} ${kind}`;
    if (!this.#made.has(face)) {
      // while the keypad is going no field is framed
      const press = () => { this.#goOn(); return this.#field ? onPress() : undefined; };
      const made = button({ key, label, name, kind: `key ${kind}`, onPress: press });
      made.dataset.guard = "near";
      this.#made.set(face, made);
    }
    return this.#made.get(face);
  }

  #put(text) {
    const field = this.#field;
    const { state } = field;
    const before = this.#isFresh ? "" : state[this.#part];
    this.#isFresh = false;
    this.#wentOn = -Infinity;
    this.#change(field, { [this.#part]: before + text });
    if (field.isFull) this.#goOnFrom(field);
  }

  #goOnFrom(field, then = () => {}) {
    this.#goOn = afterPaint(() => {
      if (field !== this.#field) return;
      this.#going = this.next();
      this.#wentOn = performance.now(); // the next field is framed now, and what was left is still being saved
      then();
    });
  }

  #erase() {
    const { state } = this.#field;
    this.#isFresh = false;
    this.#change(this.#field, { [this.#part]: state[this.#part].slice(0, -1) });
  }

  #unitWords(unit) {
    const { t } = this.#app;
    return this.#field.kind === "angle" ? t(`on-sheet.unit.${unit}`) : unitWords(t, unit);
  }

  /**
   * What was typed is as its source prints it, so the number stays; that it means another amount now is said at once,
   * of an angle by its echo.
   */
  #nextUnit() {
    const field = this.#field;
    const { units, kind, state: { text, unit: was } } = field;
    const unit = units[(units.indexOf(was) + 1) % units.length];
    this.#part = "text";
    this.#change(field, { unit });
    this.#draw();
    if (kind === "angle" || text.trim() === "") return;
    const changed = this.#app.t("on-sheet.unit-changed",
      { number: text, is: this.#unitWords(unit), was: this.#unitWords(was) });
    this.#echo.textContent = [changed, field.echo(field.state)].filter(Boolean).join(" ");
  }

  #toDiameter() {
    this.#part = this.#part === "diameter" ? "text" : "diameter";
    this.#isFresh = this.#part === "diameter";
    this.#draw();
  }

  #setWay(way) {
    const field = this.#field;
    const left = this.#justLeft();
    if (left?.state.way === way) return;
    // of another quantity the word says nothing of what was left, nor yet of what is framed: no digit stands there
    if (left && !signWordsOf(left.quantity).includes(way)) {
      say(this.#echo, this.#app.t("on-sheet.number-first", { field: field.label }));
      return;
    }
    if (left) { this.#correct(left, way); return; }
    this.#isFresh = false;
    this.#part = "text";
    this.#change(field, { way });
    if (field.isComplete) this.#goOnFrom(field, () => { this.#left = field; });
    else this.#isFresh = /\d$/.test(field.state.text); // the number was over, and is refused: it is typed anew
  }

  /**
   * The field that a way key has ended, as long as whoever sees that it was the wrong key reaches for the other one.
   */
  #justLeft() {
    const isNew = this.#isFresh && this.#field.state.text === ""
      && performance.now() - this.#wentOn < SECOND_THOUGHT_MS;
    return isNew && this.#left !== this.#field ? this.#left : null;
  }

  async #correct(field, way) {
    field.onTyping({ ...field.state, way });
    this.#wentOn = performance.now();
    await field.keep();
    this.#echo.textContent = `${field.label}: ${field.echo(field.state)}`;
  }

  #change(field, change) {
    field.onTyping({ ...field.state, ...change });
    this.update();
  }
}

/** A thumb learns one place: in stands over out, top in over top out, left over right. */
const STAND_FIRST = ["top-in", "left"];

function shownWays(quantity) {
  const ways = signWordsOf(quantity);
  return STAND_FIRST.includes(ways[1]) ? [...ways].reverse() : ways;
}

function blank() {
  return element("span", { class: "no-key" });
}
