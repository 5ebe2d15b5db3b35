/**
 * Holds the program together on the phone: which screen is open, what is saved for it, and what is said in passing.
 * Screens get this object; it knows them only through the list that main.js hands in. It draws nothing itself
 * beyond the top line and the bottom bar.
 *
 * A screen is a class `new Screen(app, route)` with `element`, `async update()` (called at the start and after each
 * change of the store) and `frame()` -> {name, place, back, primary, aside, more} for the two bars.
 */

import { KIND } from "../domain/job/entry.js";
import { BottomBar } from "./bottom-bar.js";
import { element } from "./parts/element.js";
import { errorText } from "./parts/error-text.js";
import { rememberLook } from "./first-look.js";
import { JobModel } from "./job-model.js";
import { hashFromRoute, routeFromHash } from "./route.js";
import { saveFailedBar } from "./save-failed.js";
import { TopLine } from "./top-line.js";
import { UndoStack, withdrawal } from "./undo-stack.js";
import { WakeLock } from "./wake-lock.js";

/** Screens that nobody wants to come back to at the next start. */
const PASSING = ["name", "new", "pair"];

/** What the first screen says of the shop before anybody has asked it. */
const NO_SYNC_YET = { state: { status: "waiting", text: "sync.waiting", params: {}, lastAt: null }, shop: null, clockOffMs: 0, now() {} };
const NO_UPDATES_YET = { state: { status: "none", text: null } };

export class App {
  #bring;
  #screen = null;
  #place = null;
  #opening = false;
  #saying = "";
  #roots;
  #main;
  #top;
  #bar;
  #rendering = Promise.resolve();

  /**
   * @param {Object} parts phone, installing, t, language, languages, checklist, settings,
   *   screens (name => Promise of its class), roots {top, main, bar}
   */
  constructor({ phone, installing, t, language, locale, languages, checklist, settings, screens, roots }) {
    Object.assign(this, { phone, installing, t, language, locale, languages, checklist, settings });
    this.ready = { ready: false, missing: [] };
    this.undo = new UndoStack();
    this.awake = new WakeLock();
    this.sync = NO_SYNC_YET;
    this.updates = NO_UPDATES_YET;
    /** Angles in words; null on the first screen, which shows none. */
    this.words = null;
    this.#bring = screens;
    this.#roots = Object.values(roots);
    this.#main = roots.main;
    this.#top = new TopLine({ t, root: roots.top });
    this.#bar = new BottomBar(roots.bar);
  }

  start() {
    window.addEventListener("hashchange", () => this.render());
    this.phone.onChange(() => this.render());
    this.installing.onChange(() => this.render());
    return this.render();
  }

  /** The network's part of the program, which comes after the first screen. */
  attach({ sync, updates }) {
    Object.assign(this, { sync, updates });
    sync.onChange(() => this.render());
    updates.onChange(() => this.render());
  }

  /** Learns to say angles, before a screen that shows them opens. */
  async bringAngleWords() {
    const { AngleWords } = await import("./words/angle-words.js");
    this.words ??= new AngleWords({ t: this.t, locale: this.locale, displayOf: (quantity) => this.#display(quantity) });
  }

  /** @param {{ready: boolean, missing: string[]}} state what this phone could do with no network */
  setReady(state) {
    this.ready = state;
    return this.render();
  }

  /** Goes to a route; `replace` leaves no step behind in the phone's history. */
  go(route, { replace = false } = {}) {
    const hash = hashFromRoute(route);
    if (hash === location.hash) return this.render();
    if (replace) {
      history.replaceState(null, "", hash);
      return this.render();
    }
    location.hash = hash;
    return undefined;
  }

  /** Says something in passing, at the foot of the screen, until the next screen opens. */
  say(text) {
    this.#bar.say(text);
  }

  /** Goes to a route and says there what was done here; the screen that is open already opens anew. */
  goSaying(text, route, options) {
    this.#saying = text;
    if (hashFromRoute(route) === location.hash) this.#place = null;
    return this.go(route, options);
  }

  /** Renders one after the other, so that a slow answer can never overwrite a newer one. */
  render() {
    this.#rendering = this.#rendering.then(() => this.#renderNow()).catch((error) => this.#failed(error));
    return this.#rendering;
  }

  /** Shows the bars again, after a change that the store knows nothing of. */
  frame() {
    if (!this.#screen || this.#opening) return; // a screen that is still being made is framed when it is there
    const { name, place = "", back = null, primary = null, aside = null, more = [] } = this.#screen.frame();
    document.title = place ? `${place} · ${name}` : name;
    this.#top.update({ name, place, back, unsent: this.unsentCount });
    this.#bar.update({ primary, aside, more });
  }

  /** @returns {Promise<JobModel>} the job with its folded state and its steps */
  async job(id) {
    const [entries, names] = await Promise.all([this.phone.entries(id), this.phone.ringSetNames()]);
    return new JobModel(id, entries, this.checklist, names);
  }

  /**
   * Saves one entry in the technician's name. Where that fails, the NOT SAVED bar comes and the screen stays as it is.
   * @param {{job: string, kind: string, slot: string|null, body: Object, photo?: Object}} content
   * @param {{undoable?: boolean, joined?: boolean}} [options] joined: one answer with the entry before, undone together
   * @returns {Promise<Object|null>} the entry, or null if it is not saved
   */
  async save(content, { undoable = true, joined = false } = {}) {
    const by = this.settings.get("technician");
    try {
      const before = await this.job(content.job);
      const live = content.slot ? before.live(content.slot) : [];
      const entry = await this.phone.save({ ...content, after: live.map(({ id }) => id), by });
      this.#bar.alarm = null;
      if (undoable) this.undo.push(entry, live, { joined });
      return entry;
    } catch (error) {
      if (error.name !== "SaveFailed") this.phone.keepAside({ ...content, after: [], by }); // the job could not be read
      this.#alarm(error, () => this.save(content, { undoable, joined }));
      return null;
    }
  }

  /** Another language needs other text files, so the page starts anew; nothing typed is lost, drafts are kept. */
  async changeLanguage(language) {
    await this.settings.set("language", language);
    location.reload();
  }

  /** Takes back what one entry says. */
  async withdraw(entry) {
    const { takeBack } = await import("./taken-back.js");
    return takeBack(this, await this.job(entry.job), [{ entry, content: { job: entry.job, slot: entry.slot, ...withdrawal(entry) } }]);
  }

  /** Remembers where a job was left. */
  keepPlace(job, slot) {
    return this.phone.saveDraft(`place.${job}`, slot).catch(() => {});
  }

  /** Scrolls up and puts the focus on the heading, after a screen changed within itself. */
  toTop() {
    this.#bar.settle();
    this.#bar.say(this.#saying);
    this.#saying = "";
    this.#main.scrollTop = 0;
    this.#focusHeading();
  }

  /** Takes back the last answer saved in this job since the program was opened. Nothing is erased: new lines are written. */
  async undoLast(job) {
    const undone = this.undo.pop(job);
    if (!undone) return this.say(this.t("ui.undo.nothing"));
    const { takeBack } = await import("./taken-back.js");
    return takeBack(this, await this.job(job), undone, { undoable: false });
  }

  /** @returns {Promise<string|null>} the id of the new job */
  async openJob() {
    const job = this.phone.newJob();
    const saved = await this.save({ job, kind: KIND.JOB_OPENED, slot: null, body: { checklist: this.checklist.format } }, { undoable: false });
    return saved && job;
  }

  /** A length can be shown only at a known diameter; else degrees are. */
  #display(quantity) {
    const unit = this.settings.unit(quantity);
    const diameterMm = Number(String(this.settings.get("diameter_mm")).replace(",", ".")) || null;
    return (unit === "mm" || unit === "inch") && !diameterMm ? null : { unit, diameterMm };
  }

  #alarm(error, retry) {
    this.#bar.alarm = saveFailedBar({
      t: this.t,
      error,
      onRetry: async () => (await retry()) && this.render(),
    });
  }

  /** A screen that cannot be drawn says so; what was saved is safe. */
  #failed(error) {
    this.#main.replaceChildren(element("p", { class: "big", role: "alert", text: errorText(this.t, error) }));
    reportError(error);
  }

  async #renderNow() {
    const counting = this.#countUnsent(); // while the screen is made
    const route = this.#allowed(routeFromHash(location.hash));
    const place = hashFromRoute(route);
    if (place === this.#place) await this.#screen.update();
    else await this.#open(route, place, counting);
    await counting;
    this.frame();
    this.#main.dataset.place = place; // last: whoever waits for a place finds its bar too
    rememberLook(place, this.#roots);
  }

  async #countUnsent() {
    const { entries, photos } = await this.phone.unsent();
    this.unsentCount = entries + photos;
  }

  /** The screen and its bars change in one go, so that nothing jumps: all that they wait for comes before. */
  async #open(route, place, counting) {
    this.#opening = true;
    const Screen = await this.#bring(route.screen);
    const screen = new Screen(this, route);
    await screen.update().finally(() => { this.#opening = false; });
    await counting;
    if (!route.job) this.awake.want(false);
    this.#screen = screen;
    this.#place = place;
    this.#main.replaceChildren(screen.element);
    this.toTop();
    if (!PASSING.includes(route.screen)) this.settings.set("place", place);
  }

  /** Nothing is saved without a name, so the name comes first, once per phone; only pairing may come before it. */
  #allowed(route) {
    return this.settings.get("technician") || route.screen === "pair" ? route : { screen: "name" };
  }

  #focusHeading() {
    const heading = this.#main.querySelector("h1");
    heading?.setAttribute("tabindex", "-1");
    (heading ?? this.#main).focus({ preventScroll: true });
  }
}
