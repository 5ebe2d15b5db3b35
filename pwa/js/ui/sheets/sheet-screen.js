/**
 * One sheet of a job: its strip, its pauses with their rows, the docked keypad, the bar. It reads from the living Job
 * and saves through `context.save`; it never folds, spells slots or asks the store for entries.
 *
 * A widget (rows/ for the types of rows, beside this file for the cards; named in rows/rows.js) is
 *   class X {
 *     static saysTitle      true where the widget shows title and method itself; else the frame stands them over it
 *     constructor(context, row)
 *     element               hidden = true: there is nothing to show, and the row (without a head) is not seen
 *     update(row)           after a saved entry that changed the row; a card after every one. It keeps its nodes and
 *     their places. reveal?(row)          "next open row" came here: open, focus or frame what is to be answered
 *     leave?()              the sheet is left or the program goes to the background: save what is half told; may be a
 *     promise
 *   }
 * It shows its row only. Locked, conflict, refusal, warning, caution and the way past a hold are the frame's
 * (row-frame.js); a locked row's widget is inert. The rows of one `table` get one widget: constructor(context, rows),
 * update(rows), reveal(row).
 *
 * context = {app, t, job, sheet, keypad, typing, screen, save, goTo}
 *   job, sheet     always the current ones: read them anew, keep no part of them
 *   save(row, {kind, body}?, {joined}?)  -> Promise<entry|null>. Without kind: step-done for a tick and a card,
 *   field-set where the body
 *                  has a `value`. It fills slot, after, the hold and the plan that a wheel's tick is about. Null: not
 *                  saved, the alarm stands. A tap shows its answer at once as "pending" and gives it back on null.
 *   saveLast(row, {body})  the same once the tap is painted: of several taps in one frame the last counts
 *   withdraw(row)  what stood before is tapped again: false while another answer is on its way, which this one follows
 *   saveAll([{row, kind, body}], {joined}?)  the same for several rows that one tap answers: all of them or none
 *   goTo(target)   a slot or the key of a sheet
 *   keypad         KeypadDock; AngleCell and NumberCell are its fields and are all that a table needs
 *   typing         at(key), write(key, typed), drop(key): what is half typed, there again after the program was closed
 *   screen         reveal(slot), undo(), end() (stop, or the short finish), showsHow, takesPress(node, event) for
 *   pressing (hold-press.js)
 * A button that answers needs no guard of its own: touch-guard.js takes no tap for a target that came under the finger
 * just now.
 */

import { afterPaint } from "../parts/after-paint.js";
import { element, fill, say } from "../parts/element.js";
import { Answers } from "./save-answers.js";
import { KeypadDock } from "./keypad-dock.js";
import { Pauses } from "./pauses.js";
import { rowTitle, sheetTitle } from "../words/titles.js";
import { nextRow, nextSheet, numbersBehind, openBehind, typedFirst } from "./next-open.js";
import { SheetList, Strip } from "./sheet-list.js";
import { ShowHow } from "./show-how.js";
import { TouchGuard } from "./touch-guard.js";
import { Typing } from "./typing.js";
import { WheelBanner } from "./wheel-banner.js";

/** Places where hands are dirty: the screen stays awake. */
const WORK_PLACES = ["bench", "car", "wheel"];
/** Between the banner, or the edge of the screen, and what is scrolled to: as in layout.css. */
const GAP_PX = 12;

export class SheetScreen {
  #app;
  #route;
  #answers;
  #job = null;
  #key = null;
  #sheet = null;
  #context;
  #strip;
  #list;
  #keypad;
  #guard;
  #banner = null;
  #notice = null;
  #pauses = null;
  /** Slot of the row that was answered last on this sheet. */
  #answered = null;
  #heading = element("h1", { class: "hidden-text" });
  #body = element("div", { class: "sheet-body" });
  #showHow;
  #hide = () => { if (document.visibilityState === "hidden") this.leave(); };

  constructor(app, route) {
    this.#app = app;
    this.#route = route;
    this.#answers = new Answers(app);
    this.#strip = new Strip(app.t);
    this.#list = new SheetList({ app, screen: this });
    this.#keypad = new KeypadDock({ app, screen: this });
    this.#showHow = new ShowHow({ app, onChange: () => this.#draw() });
    this.element = element("article", { class: "job-sheet" }, this.#heading, this.#body, this.#showHow.element,
      this.#list.element);
    this.#keypad.watch(this.element);
  }

  get showsHow() {
    return this.#showHow.isOn;
  }

  /** At the start, and after each change that did not come from here. */
  async update() {
    const isFirst = this.#job === null;
    const left = isFirst && !this.#route.sheet ? this.#leftAt() : null; // read together with the job
    this.#job = await this.#app.job(this.#route.job);
    if (isFirst && !this.#route.sheet && this.#job.fold.state === "stopped") {
      // not awaited: its draw waits for this one
      this.#app.go({ screen: "stop", job: this.#job.id }, { replace: true });
      return undefined;
    }
    const { sheet = null, row } = this.#route;
    if (isFirst) await this.#begin(sheet ?? this.#job.row(row)?.sheet ?? this.#keyOf(await left));
    await this.#redraw();
    if (isFirst && this.#sheet) this.#opened();
    return undefined;
  }

  /** Entries were saved here, together: drawn at once, in the same turn. */
  saved(entries) {
    for (const { slot } of entries) if (slot && this.#job.row(slot)) this.#answered = slot;
    if (!this.#draw()) this.#redraw().then(() => this.#app.frame());
    else for (const entry of entries) this.#toNumbers(entry);
  }

  /**
   * The keypad comes for the numbers behind what was tapped; not with a keyboard or a screen reader, which would be
   * carried off.
   */
  #toNumbers(entry) {
    const next = this.#keypad.field ? null : numbersBehind(this.#sheet?.rows ?? [], entry);
    if (!next || isByKeyboard()) return;
    const come = () => this.#pauses.reveal(next.slot)?.widget.reveal(next);
    // a hold is saved under the finger, whose lift would put the keypad away
    if (document.querySelector(":active")) addEventListener("pointerup", () => setTimeout(come), { once: true });
    else come();
  }

  frame() {
    const { t } = this.#app;
    const name = this.#job.registration || t("ui.job.no-registration");
    const back = () => this.#app.go({ screen: "start" });
    const menu = { key: "menu", label: t("on-sheet.list.open"), shape: "list",
      press: () => this.#list.open(this.#job, this.#sheet?.key) };
    if (!this.#sheet) return { name, strip: this.#strip.element, back, primary: null, menu };
    const { sheets } = this.#job;
    const { number, left, state } = this.#sheet;
    const title = sheetTitle(t, this.#sheet);
    const how = this.#isSigned ? "on-sheet.place.signed" : state === "done" ? "on-sheet.place.done" : "on-sheet.place";
    const place = t(how, { number, of: sheets.length, title, count: left });
    const last = this.#app.undo.peek(this.#job.id);
    return {
      name, place, strip: this.#strip.element, back, menu,
      note: last ? this.undoWords() : "",
      aside: { key: "undo-last", label: last ? this.undoWords() : t("ui.undo"), shape: "undo", off: !last,
        press: () => this.undo() },
      primary: this.#primary(),
    };
  }

  /** Called by the app when another screen takes the place of this one. */
  close() {
    this.leave();
    this.#guard?.stop();
    this.#app.dock(null);
    document.getElementById("main").style.scrollPaddingTop = "";
    document.removeEventListener("visibilitychange", this.#hide);
  }

  /** Keeps everything that is half typed or half told. */
  leave() {
    this.#answers.saveDue();
    return Promise.all([this.#keypad.keep(), this.#pauses?.leave()]);
  }

  // What widgets and the keypad ask for

  /**
   * Brings a node into view below the banner, with the title of its row where both find room; of what is higher than
   * the screen the head. What lies under a finger by that came there just now.
   */
  show(node, block = "nearest") {
    const before = node.getBoundingClientRect();
    const room = this.#clearBanner();
    node.scrollIntoView({ block: block === "center" && before.height > room ? "start" : block });
    const title = node.closest(".sheet-row")?.querySelector(".row-title");
    const head = title?.getBoundingClientRect().top ?? -Infinity;
    if (block === "nearest" && node.getBoundingClientRect().bottom - head <= room) title.scrollIntoView({ block });
    if (Math.abs(node.getBoundingClientRect().top - before.top) > 1) this.#guard?.scrolled();
  }

  /** What is scrolled to, also by the browser, stops below the banner. @returns {number} px of height that are left */
  #clearBanner() {
    const main = document.getElementById("main");
    const covered = this.#banner?.covers ?? 0;
    main.style.scrollPaddingTop = `${covered + GAP_PX}px`;
    return Math.min(main.clientHeight, innerHeight) - covered - 2 * GAP_PX;
  }

  takesPress(node, { clientX: x, clientY: y }) {
    const takes = !this.#guard || this.#guard.takes(node, { x, y });
    if (!takes) this.#guard.refuse(node, { x, y });
    return takes;
  }

  /** Brings a row of this sheet into view and opens what is to be answered there. */
  reveal(slot) {
    const frame = this.#pauses.reveal(slot);
    if (!frame) return;
    this.show(frame.element, "center");
    frame.widget.reveal?.(this.#job.row(slot));
  }

  /** Opens the next open row behind one. @returns {boolean} whether it can be typed into at once */
  leadOn(slot) {
    const next = openBehind(this.#sheet, slot);
    if (next) this.reveal(next.slot);
    return next !== null && document.activeElement.matches("input, textarea");
  }

  toSheet(key) {
    this.#app.go({ screen: "sheet", job: this.#job.id, sheet: key });
  }

  /** The way out of a job that does not go on. */
  end() {
    const { id } = this.#job;
    this.leave().then(() => this.#app.go({ screen: "stop", job: id }));
  }

  /** @returns {string} what Undo would do: which answer goes back to which */
  undoWords() {
    return this.#answers.undoWords(this.#job);
  }

  /** Takes the last answer back, and shows where. */
  async undo() {
    const slot = await this.#answers.undo(this.#job);
    return slot && this.#goTo(slot);
  }

  // How it comes and how it is drawn

  #leftAt() {
    return this.#app.phone.draft(`place.${this.#route.job}`).catch(() => null);
  }

  #keyOf(left) {
    return this.#job.sheet(left)?.key ?? this.#job.nextOpen()?.sheet ?? this.#job.sheets[0]?.key;
  }

  async #begin(key) {
    this.#sheet = this.#job.sheet(key);
    const typing = new Typing({ phone: this.#app.phone, job: this.#job.id, sheet: key });
    await typing.read();
    const screen = this;
    this.#context = {
      app: this.#app, t: this.#app.t, keypad: this.#keypad, typing, screen,
      get job() { return screen.#job; },
      get sheet() { return screen.#sheet; },
      save: (row, what, options) => this.#answers.save(this.#job, [{ row, ...what }], options),
      saveLast: (row, what) => this.#answers.saveLast(this.#job, row, what),
      withdraw: (row) => this.#answers.withdraw(row),
      saveAll: (answers, options) => this.#answers.save(this.#job, answers, options),
      goTo: (target) => this.#goTo(target),
    };
    this.#pauses = new Pauses({ context: this.#context, screen: this, onOpen: () => this.#draw() });
    this.#key = key;
  }

  #opened() {
    this.#app.awake.want(WORK_PLACES.includes(this.#sheet.place));
    document.addEventListener("visibilitychange", this.#hide);
    const main = document.getElementById("main");
    this.#guard = new TouchGuard({ t: this.#app.t, roots: [main, document.getElementById("bar")], scroller: main });
    requestAnimationFrame(() => this.#shown());
  }

  /** The app has put this screen on the page. */
  #shown() {
    if (!this.element.isConnected) return requestAnimationFrame(() => this.#shown());
    this.#guard.start();
    this.#clearBanner();
    this.#app.keepPlace(this.#job.id, this.#key);
    const slot = this.#route.row ?? (isByKeyboard() ? null : typedFirst(this.#sheet?.rows ?? [])?.slot);
    return slot && this.reveal(slot);
  }

  /** Brings what is lacking for rows that are new, then draws. */
  async #redraw() {
    this.#sheet = this.#job.sheet(this.#key);
    await this.#pauses.prepare(this.#sheet?.pauses ?? []);
    this.#draw();
  }

  /** @returns {boolean} false where something came that has to be brought first */
  #draw() {
    const job = this.#job;
    this.#sheet = job.sheet(this.#key);
    this.#strip.update(job.sheets, this.#key);
    if (!this.#sheet) return this.#gone();
    const { t } = this.#app;
    const { pauses, wheel } = this.#sheet;
    say(this.#heading, sheetTitle(t, this.#sheet));
    if (wheel) this.#banner ??= new WheelBanner({ t, side: wheel });
    if (this.#banner?.update(job)) afterPaint(() => this.#clearBanner());
    const isWhole = this.#pauses.update(pauses);
    if (!isWhole) return false;
    if (this.#notice) this.#notice.update();
    else if (job.field("vehicle.type")?.type) this.#bringNotice();
    const nodes = [this.#banner?.element, this.#notice?.element, ...this.#pauses.elements].filter(Boolean);
    if (nodes.some((node, at) => this.#body.children[at] !== node) || this.#body.children.length !== nodes.length)
      fill(this.#body, nodes);
    return true;
  }

  /** Only for a job with a vehicle type. */
  async #bringNotice() {
    const { TypeNotice } = await import("./type-notice.js");
    this.#notice ??= new TypeNotice(this.#context);
    this.#draw();
  }

  #gone() {
    const { t } = this.#app;
    fill(this.#body, element("p", { class: "big", text: t("on-sheet.gone") }),
      element("p", { text: t("on-sheet.gone.next") }));
    return true;
  }

  // The way on

  #goTo(target) {
    const row = this.#job.row(target);
    if (row && row.sheet === this.#key) return this.reveal(row.slot);
    if (row) return this.#app.go({ screen: "sheet", job: this.#job.id, sheet: row.sheet, row: row.slot });
    return this.toSheet(target);
  }

  /** Nothing is open to anybody then: what is left leads to what the customer gets. */
  get #isSigned() {
    return this.#job.fold.state === "signed";
  }

  /** The main button confirms nothing: it brings the next open row into view, or opens the next sheet. */
  #primary() {
    const { t } = this.#app;
    if (this.#isSigned) return { key: "next", label: t("on-sheet.to-report"),
      press: () => this.#app.go({ screen: "report", job: this.#job.id }) };
    const press = () => this.#onward();
    const next = nextRow(this.#sheet, this.#answered);
    if (next) return { key: "next", label: t("on-sheet.next", { row: rowTitle(t, next) }), press };
    const sheet = nextSheet(this.#job, this.#sheet);
    return sheet ? { key: "next", label: t("on-sheet.next-sheet", { title: sheetTitle(t, sheet) }), press }
      : { key: "next", label: t("on-sheet.list.title"), press };
  }

  /** What is half typed, or just answered and not saved yet, is kept first: it may be the row that was open. */
  async #onward() {
    await this.leave();
    await this.#app.savesEnded();
    if (!this.element.isConnected) return; // another screen was opened meanwhile
    const next = nextRow(this.#sheet, this.#answered);
    const sheet = next ? null : nextSheet(this.#job, this.#sheet);
    if (next) this.reveal(next.slot);
    else if (sheet) this.toSheet(sheet.key);
    else this.#list.open(this.#job, this.#key);
  }
}

/** Whoever presses keys has a place on the page, and is not carried off. */
function isByKeyboard() {
  const { activeElement: focused, body: page } = document;
  return focused !== page && focused.matches(":focus-visible");
}
