/**
 * Whose fasteners are to be rechecked, of the signed jobs that this phone holds: by their day, then those that have only a distance. One
 * tap says that it was done, in the name of whoever works with this phone. It needs no network.
 */

import { KIND } from "../../domain/job/entry.js";
import { doneWith, RECHECK } from "../../domain/job/rechecks.js";
import { button, element, fill } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { recheckWords } from "../words/recheck-words.js";

export class RechecksScreen {
  #app;
  #list = element("div", { class: "stack wide", key: "rechecks" });
  /** Done on this screen: they stay in sight until it is left, to be taken back. */
  #done = new Map();

  constructor(app) {
    this.#app = app;
    const { t } = app;
    this.element = element("div", { class: "stack wide" }, element("h1", { text: t("recheck.title") }), element("p", { class: "soft", text: t("recheck.how") }), this.#list);
  }

  async update() {
    const { t, phone } = this.#app;
    const due = dueIn(await phone.jobs()).filter(({ recheck }) => !this.#done.has(recheck.entry));
    fill(this.#list, due.length + this.#done.size === 0 && element("p", { class: "big", key: "rechecks-none", text: t("recheck.none") }),
      [...this.#done.values()].map((each) => this.#doneCard(each)), due.map((each) => this.#card(each)));
  }

  frame() {
    const { t } = this.#app;
    const home = () => this.#app.go({ screen: "start" });
    return { name: t("recheck.title"), back: home, primary: { key: "to-start", label: t("ui.to-start"), press: home } };
  }

  #card({ job, recheck }) {
    const { t, settings } = this.#app;
    const isOverdue = recheck.day !== null && recheck.day < today();
    const words = recheckWords(t, recheck);
    return this.#frameOf(job, recheck, isOverdue ? "warning" : "open", isOverdue ? t("recheck.overdue", { words }) : words,
      button({ key: `recheck-done-${recheck.entry}`, label: t("recheck.done", { by: settings.get("technician") }), onPress: () => this.#say({ job, recheck }, true) }));
  }

  #doneCard({ job, recheck, by }) {
    const { t } = this.#app;
    return this.#frameOf(job, recheck, "done", t("recheck.done-by", { by }),
      button({ key: `recheck-back-${recheck.entry}`, label: t("recheck.take-back"), kind: "quiet", onPress: () => this.#say({ job, recheck }, false) }));
  }

  #frameOf({ job, registration, description }, { entry }, shape, words, act) {
    const { t } = this.#app;
    return element("section", { class: "sheet stack", key: `recheck-${entry}` },
      element("h2", { text: registration || t("ui.job.no-registration") }),
      description && element("p", { text: description }),
      element("p", { class: "with-shape" }, stateShape(shape), element("span", { text: words })),
      act,
      button({ key: `recheck-job-${entry}`, label: t("recheck.open-job"), kind: "quiet", onPress: () => this.#app.go({ screen: "sheet", job }) }));
  }

  async #say({ job, recheck }, isDone) {
    const by = this.#app.settings.get("technician");
    const value = doneWith((await this.#app.job(job.job)).live(RECHECK.DONE), recheck.entry, isDone ? { by, day: today() } : null);
    const saved = await this.#app.save({ job: job.job, kind: KIND.FIELD_SET, slot: RECHECK.DONE, body: { value } }, { undoable: false });
    if (!saved) return;
    if (isDone) this.#done.set(recheck.entry, { job, recheck, by });
    else this.#done.delete(recheck.entry);
    await this.update();
  }
}

/** @returns {{job: Object, recheck: Object}[]} what nobody has done yet, by its day, then what has only a distance */
function dueIn(jobs) {
  const due = jobs.flatMap((job) => (job.rechecks ?? []).map((recheck) => ({ job, recheck })));
  const dayOf = ({ recheck: { day } }) => day ?? "9999";
  return due.sort((a, b) => (dayOf(a) < dayOf(b) ? -1 : dayOf(a) > dayOf(b) ? 1 : a.job.changed_ms - b.job.changed_ms));
}

function today() {
  return new Date().toLocaleDateString("sv");
}
