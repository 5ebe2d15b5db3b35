/**
 * The whole list of a job, one stage open at a time: what is done, what is open, what is held, with each answer.
 * It is also how a signed or stopped job is read, and where it can be opened again.
 */

import { stageStates } from "../../domain/job/checklist.js";
import { KIND } from "../../domain/job/entry.js";
import { button, element, fill } from "../parts/element.js";
import { more } from "../parts/more.js";
import { stateWords } from "../screens/job-card.js";
import { stoppedWords } from "../panels/prove/stop-panel.js";
import { stateShape } from "../parts/state-shape.js";
import { remark } from "../parts/signal.js";
import { answerWords, sayingEntry, stageName, stepName } from "../words/step-words.js";
import { Notes } from "../screens/notes.js";
import { TextField } from "../fields/text-field.js";

const STAGE_SHAPES = { "done": "done", "open": "open", "locked": "locked", "refused": "refused", "waiting": "open", "not-needed": "done" };

export class StepsScreen {
  #app;
  #route;
  #job;
  #open;
  #reason;
  #notes;
  #drawn = null;

  constructor(app, route) {
    this.#app = app;
    this.#route = route;
    this.element = element("div", { class: "stack" });
    this.#notes = new Notes(app);
    this.#notes.element.addEventListener("toggle", () => { if (this.#notes.element.open) this.#open = "notes"; });
    this.#reason = new TextField({ label: app.t("ui.reopen.reason"), key: "reopen-reason", lines: true });
  }

  async update() {
    const { t } = this.#app;
    const job = (this.#job = await this.#app.job(this.#route.job));
    const left = await this.#app.phone.draft(`place.${job.id}`);
    this.#open ??= (job.step(left) ?? job.next() ?? job.steps[0]).stage;
    await this.#notes.update(job);
    if (this.#drawn === job.entries.length) return; // history only grows: nothing has changed, and what is open stays open
    this.#drawn = job.entries.length;
    fill(this.element,
      element("h1", { text: job.registration || t("ui.job.no-registration") }),
      job.description && element("p", { text: job.description }),
      job.fold.state !== "open" && this.#closed(job),
      stageStates(job.checklist, job.fold).map((stage) => this.#stage(stage)),
      this.#notes.element);
  }

  frame() {
    const { t } = this.#app;
    const job = this.#job;
    const next = job.fold.state === "open" ? job.next() : null;
    return {
      name: job.registration || t("ui.job.no-registration"),
      place: t("ui.steps.title"),
      back: () => this.#app.go({ screen: "start" }),
      primary: next && { key: "next-step", label: t("ui.steps.next", { step: stepName(t, next) }), press: () => this.#go(next.slot) },
      more: [
        { key: "report", label: t("report.open"), press: () => this.#app.go({ screen: "sheet", job: job.id }) },
        { key: "undo", label: t("ui.undo"), press: () => this.#app.undoLast(job.id) },
      ],
    };
  }

  #stage({ id, state, done, left }) {
    const { t } = this.#app;
    const words = t.has(`ui.stage.${state}`) ? t(`ui.stage.${state}`) : t("ui.stage.count", { done, left });
    const steps = this.#job.steps.filter(({ stage }) => stage === id);
    const details = element("details", { class: "stage", name: "stages", open: this.#open === id, key: `stage-${id}` },
      element("summary", { class: "button" }, stateShape(STAGE_SHAPES[state]),
        element("span", { class: "button-label", text: stageName(t, id) }), element("span", { class: "detail", text: words })),
      element("ul", { class: "steps" }, steps.map((step) => this.#step(step))));
    details.addEventListener("toggle", () => { if (details.open) this.#open = id; });
    return details;
  }

  #step(step) {
    const { t } = this.#app;
    const entry = sayingEntry(this.#job, step);
    const answer = entry && !step.conflict ? answerWords(t, step, entry) : "";
    const state = step.conflict ? t("ui.step.conflict") : t(`ui.step.state.${step.state}`);
    const name = step.state === "open" && step.hold ? "hold" : step.state;
    return element("li", {}, element("button", { type: "button", class: "button step-line", key: `step-${step.slot}`, on: { click: () => this.#go(step.slot) } },
      stateShape(name),
      element("span", { class: "button-label", text: stepName(t, step) }),
      step.panel && step.warning && element("span", { class: "detail", text: t(`warning.${step.warning}`) }),
      element("span", { class: "detail", text: [step.hold && t("ui.hold.word"), answer || state, !step.required && step.state === "open" && t("ui.step.optional")].filter(Boolean).join(" · ") })));
  }

  #closed(job) {
    const { t } = this.#app;
    return element("div", { class: "stack" },
      job.fold.state === "signed" && element("div", { class: "sheet" }, remark({ name: "done", text: stateWords(t, job) })),
      job.fold.stopped.map(({ by, body }) => stoppedWords(t, by, body)),
      job.fold.after_signing.length > 0 && remark({ name: "warning", text: t("ui.after-signing", { count: job.fold.after_signing.length }) }),
      more({ label: t("ui.reopen"), summaryKey: "reopen" },
        element("div", { class: "stack" }, this.#reason.element, button({ key: "reopen-keep", label: t("ui.reopen.keep"), onPress: () => this.#reopen() }))));
  }

  async #reopen() {
    const { t } = this.#app;
    const reason = this.#reason.text.trim();
    if (!reason) return this.#reason.refuse(t("ui.reopen.missing"));
    const { signed, stopped } = this.#job.fold;
    const body = { reopens: [...signed, ...stopped].map(({ id }) => id), reason };
    if (await this.#app.save({ job: this.#job.id, kind: KIND.JOB_REOPENED, slot: null, body })) this.#reason.text = "";
    return undefined;
  }

  #go(slot) {
    this.#app.go({ screen: "step", job: this.#job.id, slot });
  }
}
