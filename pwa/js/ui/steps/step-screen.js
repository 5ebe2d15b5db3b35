/**
 * One step of a job in front of the person: which wheel, what may hurt, what to do, and the answer to give.
 * It chooses the widget for the step's type; what the answer means is decided by domain/job/checklist.js.
 */

import { Draft } from "../parts/draft.js";
import { element, fill } from "../parts/element.js";
import { sideBanner } from "./side-banner.js";
import { SideQuestion } from "./side-question.js";
import { StepFrame } from "./step-frame.js";
import { stageName, stepName, stepTitle } from "../words/step-words.js";
import { widgetFor } from "./step-widgets.js";

const WORK_STAGES = ["prepare", "fit"];
/** Panels that only show what follows from the answers before: they are never skipped, though there is nothing to do. */
const SHOWING_PANELS = ["can-rings-go-in", "proof"];

export class StepScreen {
  #app;
  #route;
  #job;
  #step;
  #drawn = null;
  #widget = null;
  #question = null;

  constructor(app, route) {
    this.#app = app;
    this.#route = route;
    this.element = element("article", { class: "stack step" });
  }

  async update() {
    const { slot, job } = this.#route;
    this.#job = await this.#app.job(job);
    this.#step = this.#job.step(slot);
    if (!this.#step) return this.#gone();
    this.#app.awake.want(WORK_STAGES.includes(this.#step.stage));
    await this.#askSide();
    if (this.#question) return undefined;
    await this.#app.keepPlace(job, slot);
    const drawn = this.#drawnKey();
    if (drawn !== this.#drawn) await this.#draw();
    this.#drawn = drawn;
    await this.#widget?.update?.(this.#context());
    return undefined;
  }

  frame() {
    const { t } = this.#app;
    const job = this.#job;
    const name = job.registration || t("ui.job.no-registration");
    if (!this.#step) return { name, back: () => this.#toList(), primary: this.#onward() };
    const left = job.left(this.#step.stage);
    const leave = this.#widget?.leave;
    const ofRound = t(left === 0 ? "ui.step.place-done" : "ui.step.place", { stage: stageName(t, this.#step.stage), count: left });
    const { round } = this.#step;
    const place = round > 1 ? t("ui.step.in-round", { place: ofRound, round }) : ofRound;
    if (leave) return { name, place, back: leave, primary: this.#primary(), aside: { key: "leave", label: t("ui.later"), press: leave } };
    return {
      name,
      place,
      back: () => this.#app.go({ screen: "start" }),
      primary: this.#question ? null : this.#primary(),
      more: [
        { key: "steps", label: t("ui.steps.all"), press: () => this.#toList() },
        { key: "undo", label: t("ui.undo"), press: () => this.#app.undoLast(job.id) },
        { key: "stop", label: t("ui.stop"), press: () => this.#toStop() },
      ],
    };
  }

  #primary() {
    if (this.#step.state === "locked") return this.#toLock();
    const mustAnswer = this.#widget?.isUnkept || ["open", "refused"].includes(this.#step.state);
    return this.#widget?.primary ?? (mustAnswer ? null : this.#onward());
  }

  #onward() {
    return { key: "next", label: this.#app.t("ui.step.next"), press: () => this.#goOn() };
  }

  #toLock() {
    const lock = this.#job.step(this.#step.lockedBy);
    return { key: "to-lock", label: this.#app.t("ui.lock.go"), press: () => this.#app.go({ screen: "step", job: this.#job.id, slot: lock.slot }) };
  }

  /** The question "are you at the other wheel?" stands in front of the first step of a changed side. */
  async #askSide() {
    const { wheel, stage } = this.#step;
    this.#question = null;
    if (!wheel || !WORK_STAGES.includes(stage)) return;
    const kept = await this.#app.phone.draft(`side.${this.#job.id}`);
    if (kept === wheel) return;
    this.#question = new SideQuestion({
      t: this.#app.t,
      side: wheel,
      round: this.#step.round,
      before: kept ?? null,
      onYes: async () => {
        await this.#app.phone.saveDraft(`side.${this.#job.id}`, wheel);
        this.#drawn = null;
        this.#app.render();
      },
      onNo: () => this.#toList(),
    });
    fill(this.element, this.#question.element);
  }

  /** A panel draws itself anew and keeps its place; any other step is drawn again when its answer or its lock changes. */
  #drawnKey() {
    const { type, state, lockedBy, slot } = this.#step;
    if (type === "panel") return `panel ${state === "locked"}`;
    return `${state} ${lockedBy} ${this.#job.live(slot).map(({ id }) => id)}`;
  }

  async #draw() {
    const { t } = this.#app;
    const step = this.#step;
    const draft = new Draft(this.#app.phone, `step.${this.#job.id}.${step.slot}`);
    const frame = new StepFrame({ app: this.#app, onUndo: () => this.#undoStep() });
    const locked = step.state === "locked";
    this.#widget = locked ? null : await widgetFor({ ...this.#context(), draft, typed: await draft.read() });
    fill(this.element,
      step.wheel && sideBanner({ t, side: step.wheel, round: step.round }),
      element("h1", { text: stepTitle(t, step) }),
      frame.element,
      this.#widget?.element,
      frame.below,
      frame.wayPast);
    await frame.update(this.#context());
  }

  #context() {
    return { app: this.#app, job: this.#job, step: this.#step, goOn: () => this.#goOn() };
  }

  async #goOn() {
    const job = await this.#app.job(this.#job.id);
    const { t } = this.#app;
    const isKept = this.#step && job.step(this.#route.slot)?.state === "done";
    const following = job.steps[job.steps.findIndex(({ slot }) => slot === this.#route.slot) + 1];
    const next = SHOWING_PANELS.includes(following?.panel) ? following : job.next(this.#route.slot);
    return this.#app.goSaying(isKept ? t("ui.step.kept", { step: stepName(t, this.#step) }) : "", next ? { screen: "step", job: job.id, slot: next.slot } : { screen: "steps", job: job.id });
  }

  async #undoStep() {
    await this.#app.withdraw(this.#job.live(this.#step.slot)[0]);
  }

  #toList() {
    this.#app.go({ screen: "steps", job: this.#route.job });
  }

  #toStop() {
    const stop = this.#job.steps.find(({ panel }) => panel === "stop");
    this.#app.go({ screen: "step", job: this.#job.id, slot: stop.slot });
  }

  /** An answer elsewhere can take a step away while it is open. */
  #gone() {
    const { t } = this.#app;
    fill(this.element, element("h1", { text: t("ui.step.gone") }), element("p", { text: t("ui.step.gone.next") }));
  }
}
