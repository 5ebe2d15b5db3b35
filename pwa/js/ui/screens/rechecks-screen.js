/**
 * Whose fasteners are to be rechecked, in the whole shop: by their day, then those that have only a distance. Of a job
 * on this phone one tap says that it was done, in the name of whoever works with it, and needs no network; another job
 * is fetched first.
 */

import { KIND } from "../../domain/job/entry.js";
import { doneWith, dueOf, RECHECK } from "../../domain/job/rechecks.js";
import { bringJob } from "../../sync/find-jobs.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { stateShape } from "../parts/state-shape.js";
import { recheckWords } from "../words/recheck-words.js";

/** Cards at first, and how many a tap adds. */
const CARDS = 30;
const TROUBLES = new Set(["offline", "not-our-server", "not-paired"]);

export class RechecksScreen {
  #app;
  #how = element("p", { class: "soft", key: "rechecks-how" });
  #list = element("div", { class: "stack wide", key: "rechecks" });
  #shown = CARDS;
  /** Done on this screen: they stay in sight until it is left, to be taken back. */
  #done = new Map();
  /** How fetching a job stands, in the card that asked for it. */
  #bringing = { entry: null, isUnderWay: false, outcome: element("div", { role: "status" }) };

  constructor(app) {
    this.#app = app;
    this.element = element("div", { class: "stack wide" }, element("h1", { text: app.t("recheck.title") }),
      this.#how, this.#list);
  }

  async update() {
    const { t, phone } = this.#app;
    const [jobs, told] = await Promise.all([phone.jobs(), phone.lines().then((lines) => lines.list("rechecks"))
      .catch(() => null)]);
    const due = dueOf(jobs, told?.rechecks ?? []).filter(({ recheck }) => !this.#done.has(recheck.entry));
    const more = due.length - this.#shown;
    this.#how.textContent = t(told ? "recheck.how-shop" : "recheck.how");
    fill(this.#list, due.length + this.#done.size === 0
      && element("p", { class: "big", key: "rechecks-none", text: t("recheck.none") }),
      [...this.#done.values()].map((each) => this.#doneCard(each)),
      due.slice(0, this.#shown).map((each) => this.#card(each)),
      more > 0 && button({ key: "more-rechecks", label: t("ui.start.more", { count: Math.min(more, CARDS) }),
        onPress: () => this.#showMore() }),
      told?.more && element("p", { class: "soft", key: "rechecks-more", text: t("recheck.more") }));
  }

  frame() {
    const { t } = this.#app;
    const home = () => this.#app.go({ screen: "start" });
    return { name: t("recheck.title"), back: home, primary: { key: "to-start", label: t("ui.to-start"), press: home } };
  }

  async #showMore() {
    this.#shown += CARDS;
    await this.update();
  }

  #card({ job, recheck, isHere }) {
    const { t, settings } = this.#app;
    const isOverdue = recheck.day !== null && recheck.day < today();
    const words = recheckWords(t, recheck);
    const acts = isHere
      ? button({ key: `recheck-done-${recheck.entry}`, label: t("recheck.done", { by: settings.get("technician") }),
        onPress: () => this.#say({ job, recheck }, true) })
      : [element("p", { class: "soft", text: t("recheck.not-here") }),
        button({ key: `recheck-fetch-${recheck.entry}`, label: t("recheck.fetch"),
          onPress: () => this.#bring(job.job, recheck.entry) }),
        this.#bringing.entry === recheck.entry && this.#bringing.outcome];
    const open = isHere ? () => this.#open(job.job)
      : () => this.#bring(job.job, recheck.entry, () => this.#open(job.job));
    return this.#frameOf(job, recheck,
      { shape: isOverdue ? "warning" : "open", words: isOverdue ? t("recheck.overdue", { words })
        : words, acts, open });
  }

  #doneCard({ job, recheck, by }) {
    const { t } = this.#app;
    const acts = button({ key: `recheck-back-${recheck.entry}`, label: t("recheck.take-back"), kind: "quiet",
      onPress: () => this.#say({ job, recheck }, false) });
    return this.#frameOf(job, recheck,
      { shape: "done", words: t("recheck.done-by", { by }), acts, open: () => this.#open(job.job) });
  }

  #frameOf({ registration, description }, { entry }, { shape, words, acts, open }) {
    const { t } = this.#app;
    return element("section", { class: "sheet stack", key: `recheck-${entry}` },
      element("h2", { text: registration || t("ui.job.no-registration") }),
      description && element("p", { text: description }),
      element("p", { class: "with-shape" }, stateShape(shape), element("span", { text: words })),
      acts,
      button({ key: `recheck-job-${entry}`, label: t("recheck.open-job"), kind: "quiet", onPress: open }));
  }

  #open(job) {
    return this.#app.go({ screen: "sheet", job });
  }

  /** One job at a time. Once it is here its own entries say what is due. */
  async #bring(job, entry, andThen = () => {}) {
    if (this.#bringing.isUnderWay) return;
    const { t, phone } = this.#app;
    const { outcome } = this.#bringing;
    Object.assign(this.#bringing, { entry, isUnderWay: true });
    fill(outcome, element("p", { text: t("find.asking") }));
    await this.update();
    try {
      await bringJob(phone, job);
      fill(outcome);
      await this.update();
      await andThen();
    } catch (trouble) {
      fill(outcome, remark({ name: "warning", key: "recheck-trouble",
        text: t(`find.error.${TROUBLES.has(trouble.code) ? trouble.code : "other"}`) }));
    } finally {
      this.#bringing.isUnderWay = false;
    }
  }

  async #say({ job, recheck }, isDone) {
    const by = this.#app.settings.get("technician");
    const value = doneWith((await this.#app.job(job.job)).live(RECHECK.DONE), recheck.entry,
      isDone ? { by, day: today() } : null);
    const saved = await this.#app.save({ job: job.job, kind: KIND.FIELD_SET, slot: RECHECK.DONE, body: { value } },
      { undoable: false });
    if (!saved) return;
    if (isDone) this.#done.set(recheck.entry, { job, recheck, by });
    else this.#done.delete(recheck.entry);
    await this.update();
  }
}

function today() {
  return new Date().toLocaleDateString("sv");
}
