/**
 * Holds the program together on the phone: which screen is open, what is saved for it, and what is said in passing.
 * Screens get this object; it knows them only through the list that main.js hands in. It draws nothing itself
 * beyond the top line and the bottom bar.
 *
 * A screen is a class `new Screen(app, route)` with `element`, `async update()` (called at the start and after each
 * change of the store) and `frame()` -> {name, place, strip, back, primary, aside, menu, note, more} for the two bars.
 * One that has `saved(entries)` draws what is saved here by itself, once for what is saved together, and is not updated
 * for that; `close()` is called when another takes its place.
 */

import { KIND } from "../domain/job/entry.js";
import { BottomBar } from "./bottom-bar.js";
import { Draws } from "./draw-queue.js";
import { element } from "./parts/element.js";
import { errorText } from "./parts/error-text.js";
import { rememberSheet, rememberStartSnapshot } from "./start-snapshot.js";
import { OpenJob } from "./open-job.js";
import { hashFromRoute, routeFromHash } from "./route.js";
import { saveFailedBar } from "./save-failed.js";
import { TopLine } from "./top-line.js";
import { UndoStack } from "./undo-stack.js";
import { WakeLock } from "./wake-lock.js";

/** Screens that nobody wants to come back to at the next start. */
const PASSING = ["name", "new", "pair"];

/** What the first screen says of the shop before anybody has asked it. */
const NO_SYNC_YET = { state: { status: "waiting", text: "sync.waiting", params: {}, lastAt: null }, shop: null,
  clockOffMs: 0, now() {} };
const NO_UPDATES_YET = { state: { status: "none", text: null } };

export class App {
  #bring;
  #screen = null;
  #place = null;
  #shown = null;
  #opening = false;
  #saying = "";
  #roots;
  #main;
  #top;
  #bar;
  #saves = Promise.resolve();
  #openJob;
  #isStarting = false;
  #draws = new Draws(() => this.#renderNow().catch((error) => this.#failed(error)));

  /**
   * @param {Object} parts phone, installing, t, language, languages, checklist, settings, makeJob ({id, entries, names}
   *   => Promise of the living Job), screens (name => Promise of its class), roots {top, main, bar}
   */
  constructor({ phone, installing, t, language, locale, languages, checklist, settings, makeJob, screens, roots }) {
    Object.assign(this, { phone, installing, t, language, locale, languages, checklist, settings });
    this.ready = { ready: false, missing: [] };
    this.unsentCount = null; // not known yet
    this.undo = new UndoStack();
    this.awake = new WakeLock();
    this.sync = NO_SYNC_YET;
    this.updates = NO_UPDATES_YET;
    /** Angles in words; null on the first screen, which shows none. */
    this.words = null;
    this.#bring = screens;
    this.#openJob = new OpenJob({ phone, make: makeJob });
    this.#roots = Object.values(roots);
    this.#main = roots.main;
    this.#top = new TopLine({ t, root: roots.top });
    this.#bar = new BottomBar(roots.bar);
  }

  start() {
    window.addEventListener("hashchange", () => this.render());
    this.phone.onChange((change) => this.#heard(change));
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
    const { AngleWords, displayIn } = await import("./words/angle-words.js");
    this.words ??= new AngleWords({ t: this.t, locale: this.locale, displayOf: displayIn(this.settings) });
  }

  /** @param {{ready: boolean, missing: string[]}} state what this phone could do with no network */
  setReady(state) {
    this.ready = state;
    return this.render();
  }

  /** Goes to a route; `replace` leaves no step behind in the phone's history. */
  go(route, { replace = false } = {}) {
    const hash = hashFromRoute(route);
    // at once: an assignment tells of itself only later
    if (hash !== location.hash) history[replace ? "replaceState" : "pushState"](null, "", hash);
    return this.render();
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

  /** Resolves when the person waits for nothing; see draw-queue.js. */
  quiet() {
    return this.#draws.quiet();
  }

  /** Draws the open screen anew, at once; see draw-queue.js. */
  render() {
    return this.#draws.now();
  }

  /** The same for what the person did not do: now and then. */
  renderSoon() {
    this.#draws.soon();
  }

  /** Shows the bars again, after a change that the store knows nothing of. */
  frame() {
    if (!this.#screen || this.#opening) return; // a screen that is still being made is framed when it is there
    const { name, place = "", strip = null, back = null, ...actions } = this.#screen.frame();
    const title = place ? `${place} · ${name}` : name;
    // to set it costs a message to the browser, also where it is the same
    if (title !== document.title) document.title = title;
    this.#top.update({ name, place, strip, back, unsent: this.unsentCount });
    this.#bar.update(actions);
    if (strip) rememberSheet(this.#place, this.#roots);
  }

  /** Puts a node (the docked keypad) in the place of the bar's buttons, or gives them back with null. */
  dock(node) {
    this.#bar.dock(node);
  }

  /** @returns {Promise<Job>} the living job: one object for as long as it is open, current whenever this resolves */
  job(id) {
    return this.#openJob.job(id);
  }

  /**
   * Saves one entry in the technician's name. Where that fails, the NOT SAVED bar comes and the screen stays as it is.
   * One save waits for the one before it, so that of two quick answers to one question the second supersedes the first.
   * @param {{job: string, kind: string, slot: string|null, body: Object, photo?: Object}} content
   * @param {{undoable?: boolean, undoes?: Object, joined?: boolean, by?: string}} [options] undoes: what is taken back
   *   by it, as the undo stack gave it; joined: one answer with the entry before, undone together; by: who gave the
   *   answer, where that was before this save
   * @returns {Promise<Object|null>} the entry, or null if it is not saved
   */
  async save(content, options = {}) {
    const saved = await this.saveTogether([content], options);
    return saved && saved[0];
  }

  /** The same for entries of one job that are saved together or not at all, and are undone together. */
  saveTogether(contents, options = {}) {
    const saving = this.#saves.then(() => this.#saveNow(contents, options));
    this.#saves = saving;
    return saving;
  }

  /** Resolves when every save that was asked for before has ended, well or not. */
  async savesEnded() {
    await this.#saves;
  }

  /** Another language needs other text files, so the page starts anew; nothing typed is lost, drafts are kept. */
  async changeLanguage(language) {
    await this.settings.set("language", language);
    location.reload();
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

  /** Opens a new job and shows its first sheet. A phone that cannot save starts none, and says why. */
  async startJob(options) {
    if (this.#isStarting) return;
    this.#isStarting = true;
    await this.#draws.hold(this.#startNow(options)).finally(() => { this.#isStarting = false; });
  }

  async #startNow({ replace = false } = {}) {
    const job = this.phone.newJob();
    let why = "";
    const body = { checklist: this.checklist.checklist };
    const by = this.settings.get("technician");
    const opened = { job, kind: KIND.JOB_OPENED, slot: null, after: [], body, by };
    const saving = this.phone.save(opened).catch((error) => {
      why = this.t("ui.start.cannot-save", { why: errorText(this.t, error) });
      return null;
    });
    // a job that is saved is shown in any case: its sheet reads what could not be read here
    await this.#openJob.begin(job, saving).catch(() => saving);
    // not awaited: a screen that is being made may wait for this
    this.goSaying(why, why ? { screen: "start" } : { screen: "sheet", job }, { replace });
  }

  async #saveNow(contents, { undoable = true, undoes = null, joined = false, by = this.settings.get("technician") }) {
    let entries;
    try {
      const live = [];
      for (const content of contents) live.push(content.slot ? await this.#liveAt(content) : []);
      entries = await this.phone.saveTogether(
        contents.map((content, at) => ({ ...content, after: live[at].map(({ id }) => id), by })));
      if (undoable) for (const [at, entry] of entries.entries())
        this.undo.push(entry, live[at], { joined: joined || at > 0 });
      if (undoes) this.undo.undid(undoes, entries[0]);
    } catch (error) {
      // the job could not be read
      if (error.name !== "SaveFailed") for (const content of contents)
        this.phone.keepAside({ ...content, after: [], by });
      this.#alarm(error, () => this.saveTogether(contents, { undoable, undoes, joined, by }));
      return null;
    }
    this.#bar.alarm = null;
    for (const entry of entries) this.#openJob.apply(entry);
    this.#isSaved(entries, entries.length + contents.filter(({ photo }) => photo).length);
    return entries;
  }

  /** What the new entry supersedes: of the job that is open it is known. */
  async #liveAt({ job, slot }) {
    return (await this.job(job)).live(slot);
  }

  #isSaved(entries, count) {
    if (!this.#screen?.saved || this.#opening) return;
    this.unsentCount += count;
    try {
      this.#screen.saved(entries);
      this.frame();
    } catch (error) {
      this.#failed(error); // it is saved all the same
    }
  }

  #heard(change) {
    this.#openJob.heard(change);
    const isOurs = change.cause === "saved" && !change.elsewhere;
    if (change.cause !== "saved") this.renderSoon();
    else if (!isOurs || !this.#screen?.saved) this.render();
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
    this.#place = null; // the next try draws it whole
    this.frame();
    reportError(error);
  }

  async #renderNow() {
    if (!this.settings.isRead) await this.settings.load(); // a screen drawn without them would ask who works here
    const counting = this.#countUnsent(); // while the screen is made
    const asked = routeFromHash(location.hash);
    const route = await this.#allowed(asked);
    const place = hashFromRoute(route.screen === "line" ? asked : route); // the job itself once it is here
    if (place === this.#place && route.screen === this.#shown) await this.#screen.update();
    else await this.#open(route, place, counting);
    await counting;
    this.frame();
    this.#main.dataset.place = place; // last: whoever waits for a place finds its bar too
    rememberStartSnapshot(place, this.#roots);
  }

  /** null where it cannot be read: then nothing may look as if it were sent. */
  async #countUnsent() {
    this.unsentCount = await this.phone.unsent().then(({ entries, photos }) => entries + photos, () => null);
  }

  /** The screen and its bars change in one go, so that nothing jumps: all that they wait for comes before. */
  async #open(route, place, counting) {
    this.#opening = true;
    const Screen = await this.#bring(route.screen);
    const screen = new Screen(this, route);
    await screen.update().finally(() => { this.#opening = false; });
    await counting;
    if (!route.job) this.awake.want(false);
    this.#screen?.close?.();
    this.#screen = screen;
    this.#place = place;
    this.#shown = route.screen;
    this.#main.replaceChildren(screen.element);
    this.toTop();
    if (!PASSING.includes(route.screen)) this.settings.set("place", place);
  }

  /**
   * Nothing is saved without a name, so the name comes first, once per phone; only pairing may come before it. Of a job
   * that is not whole here its line alone is shown. Where the store cannot tell, the screen says why.
   */
  async #allowed(route) {
    if (!this.settings.get("technician") && route.screen !== "pair") return { screen: "name" };
    if (!route.job || this.#openJob.isCurrent(route.job)) return route;
    const isHere = await this.phone.isHere(route.job).catch(() => true);
    return isHere ? route : { screen: "line", job: route.job };
  }

  #focusHeading() {
    const heading = this.#main.querySelector("h1");
    heading?.setAttribute("tabindex", "-1");
    (heading ?? this.#main).focus({ preventScroll: true });
  }
}
