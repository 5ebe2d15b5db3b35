/** A line to be ticked. A hold is confirmed by a button of its own, away from the place of the next action. */

import { currentRound } from "../../domain/job/checklist-slots.js";
import { KIND } from "../../domain/job/entry.js";
import { confirmButton } from "../parts/confirm-button.js";
import { element } from "../parts/element.js";
import { stepTitle } from "../words/step-words.js";

export class TickStep {
  #context;

  /** @param {{app: App, job: JobModel, step: Object, goOn: function(): void}} context */
  constructor(context) {
    this.#context = context;
    this.element = element("div", { class: "stack" });
    if (context.step.hold && context.step.state !== "done") {
      this.element.append(confirmButton(context, stepTitle(context.app.t, context.step), () => this.#done()));
    }
  }

  get primary() {
    const { app, step } = this.#context;
    if (step.hold || step.state === "done") return null;
    return { key: "done", label: app.t(step.shows === "tightening-order" ? "fitting.tightened" : "ui.step.done"), press: () => this.#done() };
  }

  async #done() {
    const { app, job, step, goOn } = this.#context;
    const [plan] = step.wheel ? job.live(`round.${currentRound(job.fold)}.plan`) : []; // the one whose marks the step showed
    const body = plan ? { hold: step.hold, plan: plan.id } : { hold: step.hold };
    const saved = await app.save({ job: job.id, kind: KIND.STEP_DONE, slot: step.slot, body });
    if (saved) goOn();
  }
}
