/**
 * "Find a pair": one sheet with the maker's windows and the readings, which shows maps and plan while they are typed
 * and writes no record. It lies in a draft of this phone (find-pair-draft.js) until one tap makes a job of it. Its
 * tables are those of a job's sheets.
 */

import { KIND } from "../../domain/job/entry.js";
import { WHEEL_ANGLES } from "../../domain/numbers/quantities.js";
import { bothSides } from "../../domain/job/readings.js";
import { TiltMaps } from "../drawings/tilt-maps.js";
import { element, fill } from "../parts/element.js";
import { more } from "../parts/more-fold.js";
import { dateAndTime } from "../words/date-words.js";
import { FindPairDraft } from "./find-pair-draft.js";
import { FindPairPlan } from "./find-pair-plan.js";
import { KeypadDock } from "./keypad-dock.js";
import { OtherPlansCard } from "./other-plans-card.js";
import { PlanMapsCard } from "./plan-maps-card.js";
import { PlanModel } from "./plan-model.js";
import { chanceWords, planInShort } from "./plan-table.js";
import { ReadingsTable } from "./readings-table.js";
import { TouchGuard } from "./touch-guard.js";
import { WindowsTable } from "./windows-table.js";

const ROWS = { windows: { id: "base.windows", slot: "base.windows" },
  readings: { id: "base.readings", slot: "base.readings" }, plan: { slot: "round.1.plan", round: 1 } };

export class FindPairScreen {
  #app;
  #draft;
  #keypad;
  #guard = null;
  #widgets = null;
  #model = null;
  #hadPlan = false;
  #isBecoming = false;
  #sight;
  #fold = null;
  #inShort = element("span", { class: "detail" });
  #body = element("div", { class: "sheet-body find-pair" });
  #now = element("p", { class: "find-now", role: "status", key: "now" });
  #hide = () => { if (document.visibilityState === "hidden") this.#leave(); };

  constructor(app) {
    this.#app = app;
    this.#draft = new FindPairDraft(app);
    this.#keypad = new KeypadDock({ app, screen: this });
    this.element = element("article", { class: "job-sheet" },
      element("h1", { class: "hidden-text", text: app.t("find-pair.title") }), this.#body, this.#now);
    this.#keypad.watch(this.#body);
    this.#sight = new IntersectionObserver(([{ isIntersecting }]) => this.#now.classList.toggle("in-sight",
      isIntersecting));
  }

  async update() {
    if (this.#widgets) return;
    await this.#draft.read();
    await this.#build();
    document.addEventListener("visibilitychange", this.#hide);
    const main = document.getElementById("main");
    this.#guard = new TouchGuard({ t: this.#app.t, roots: [main, document.getElementById("bar")], scroller: main });
    requestAnimationFrame(() => this.#shown());
  }

  /** Nothing is saved here but the job that it becomes; that has a screen of its own. */
  saved() {}

  frame() {
    const { t } = this.#app;
    const isEmpty = this.#draft.isEmpty;
    return {
      name: t("find-pair.title"),
      place: t("find-pair.no-record"),
      back: () => this.#app.go({ screen: "start" }),
      aside: { key: "undo-last", label: t("ui.undo"), shape: "undo", off: !this.#draft.canUndo,
        press: () => this.#undo() },
      primary: isEmpty ? { key: "begin", label: t("find-pair.begin"), press: () => this.#widgets.windows.reveal() }
        : { key: "become-job", label: t("find-pair.become-job"), press: () => this.#becomeJob() },
      more: isEmpty ? [] : [
        { key: "clear-readings", label: t("find-pair.clear-readings"), off: !this.#draft.hasReadings,
          press: () => this.#clear({ windows: false }) },
        { key: "clear-all", label: t("find-pair.clear-all"), press: () => this.#clear({ windows: true }) },
      ],
    };
  }

  close() {
    this.#leave();
    this.#guard?.stop();
    this.#sight.disconnect();
    this.#app.dock(null);
    document.removeEventListener("visibilitychange", this.#hide);
  }

  /** Brings a node into view; what lies under a finger by that came there just now. */
  show(node, block = "nearest") {
    const before = node.getBoundingClientRect().top;
    node.scrollIntoView({ block });
    if (Math.abs(node.getBoundingClientRect().top - before) > 1) this.#guard?.scrolled();
  }

  // How it is made and drawn

  /** Anew after what changes more than an answer: the tables then begin from what is kept. */
  async #build() {
    const context = this.#context();
    const { t, app: { words } } = context;
    this.#model = PlanModel.of(context, ROWS.plan);
    await this.#model.ready;
    this.#widgets = {
      windows: new WindowsTable(context, ROWS.windows), readings: new ReadingsTable(context, ROWS.readings),
      maps: new TiltMaps({ t, words: (quantity, mdeg) => words.say(quantity, mdeg) }),
      plan: new FindPairPlan(context, ROWS.plan),
      planMaps: new PlanMapsCard(context, ROWS.plan), others: new OtherPlansCard(context, ROWS.plan),
    };
    this.#model.onChange(() => this.#draw());
    this.#hadPlan = this.#model.hasPlans;
    const { windows, readings, maps, plan, planMaps, others } = this.#widgets;
    this.#fold = more({ label: t("row.base.windows.title"), summaryKey: "windows-fold",
      open: !hasWindows(this.#draft.job) }, windows.element);
    this.#fold.classList.add("find-fold");
    this.#fold.querySelector("summary").append(this.#inShort);
    const planCard = card(t("row.choose.plan.title"), plan.element, "find-plan");
    fill(this.#body,
      element("div", { class: "stack find-typed" },
        card("", this.#fold, "find-windows"), card(t("row.base.readings.title"), readings.element, "find-readings")),
      element("div", { class: "stack find-found" }, planCard,
        card(t("row.choose.maps.title"), element("div", {}, maps.element, planMaps.element), "find-maps"),
        card("", others.element, "find-others")));
    this.#sight.disconnect();
    this.#sight.observe(planCard);
    this.#draw();
  }

  #context() {
    const { t } = this.#app;
    const draft = this.#draft;
    return {
      app: this.#app, t, keypad: this.#keypad,
      typing: { at: (field) => draft.typing.at(field), write: (...typed) => this.#typed(draft.typing.write(...typed)),
        drop: (field) => this.#typed(draft.typing.drop(field)) },
      screen: { show: (node, block) => this.show(node, block) },
      get job() { return draft.job; },
      save: (row, { kind = KIND.FIELD_SET, body }, options) => this.#save(row, { kind, body }, options),
      goTo: null,
    };
  }

  #draw() {
    const { windows, readings, maps, plan, planMaps, others } = this.#widgets;
    windows.update(ROWS.windows);
    readings.update(ROWS.readings);
    plan.update(ROWS.plan);
    planMaps.update(ROWS.plan);
    others.update(ROWS.plan);
    const { hasPlans } = this.#model;
    others.element.closest("section").hidden = others.element.hidden;
    maps.element.hidden = hasPlans;
    if (!hasPlans) maps.update(this.#readSoFar());
    this.#inShort.textContent = this.#windowsInShort();
    this.#sayNow();
    if (hasPlans && !this.#hadPlan && !this.#keypad.field) requestAnimationFrame(() => this.#showPlan());
    this.#hadPlan = hasPlans;
  }

  /** What stands of each wheel before both can be planned for. */
  #readSoFar() {
    const { job } = this.#draft;
    const wheels = job.readings("base");
    const windows = job.windows();
    const read = (wheel) => (WHEEL_ANGLES.every((part) => wheel[part] !== null) ? [wheel.camber, wheel.toe] : null);
    return bothSides((side) => ({ side, base: read(wheels[side]), window: windows[side], predicted: null,
      check: null, tables: [] }));
  }

  #windowsInShort() {
    const { t, words } = this.#app;
    const { left, right } = this.#draft.job.windows();
    return WHEEL_ANGLES.map((part) => {
      const what = t(`ui.quantity.${part}`);
      if (String(left[part]) !== String(right[part])) return `${what}: ${t("windows.each")}`;
      return left[part] && `${what} ${words.window(part, left[part])}`;
    }).filter(Boolean).join("; ");
  }

  /** The plan in one line, in sight over the keypad. */
  #sayNow() {
    const { t } = this.#app;
    const model = this.#model;
    this.#now.hidden = !model.hasPlans;
    if (!model.hasPlans) return;
    const { shown } = model;
    this.#now.textContent = t("find-pair.now", { plan: planInShort(t, shown), chance: chanceWords(t, shown.chance) });
  }

  #showPlan() {
    this.show(this.#body.querySelector('[data-key="find-plan"]'), "start");
  }

  #shown() {
    if (!this.element.isConnected) return requestAnimationFrame(() => this.#shown());
    return this.#guard.start();
  }

  // What is answered

  #save(row, what, options) {
    const entry = this.#draft.keep(row, what, options);
    this.#draw();
    this.#app.frame();
    return Promise.resolve(entry);
  }

  /** What is half typed is worth a job too. */
  #typed(writing) {
    this.#app.frame();
    return writing;
  }

  async #undo() {
    await this.#keypad.release();
    if (await this.#draft.undo()) await this.#build();
    this.#app.frame();
  }

  async #clear(what) {
    await this.#keypad.release();
    await this.#draft.clear(what);
    await this.#build();
    this.#app.frame();
  }

  /** What is still half typed goes along half typed. */
  async #becomeJob() {
    if (this.#isBecoming) return;
    this.#isBecoming = true;
    await this.#keypad.release();
    const job = await this.#draft.becomeJob((answers) => this.#noteOf(answers))
      .finally(() => { this.#isBecoming = false; });
    if (job) this.#app.go({ screen: "sheet", job }, { replace: true });
  }

  /** Who typed it and when: the job's entries say when they became a record. */
  #noteOf(answers) {
    const { t, locale } = this.#app;
    const times = answers.map(({ at }) => at);
    const [from, to] = [Math.min(...times), Math.max(...times)].map((ms) => dateAndTime(ms, locale));
    return t("find-pair.note", { by: [...new Set(answers.map(({ by }) => by))].join(", "), from, to });
  }

  #leave() {
    return Promise.resolve(this.#keypad.keep()).then(() => this.#draft.flush());
  }
}

/** @returns {boolean} whether the windows of a wheel stand: they are then looked at and no more typed */
function hasWindows(job) {
  const { left, right } = job.windows();
  return [left, right].some((wheel) => WHEEL_ANGLES.some((part) => wheel[part] !== null));
}

function card(title, widget, key) {
  return element("section", { class: "sheet-row type-card", key, "aria-label": title || null },
    element("div", { class: "row-line" },
      title && element("div", { class: "row-head" }, element("h2", { class: "row-title", text: title })),
      element("div", { class: "row-answer" }, widget)));
}
