/** A line to be ticked. A hold is confirmed by a button of its own, away from the place of the next action. */

import { currentRound } from "../../domain/checklist-slots.js";
import { KIND } from "../../domain/entry.js";
import { button, element } from "../element.js";
import { stateShape } from "../state-shape.js";
import { stepTitle } from "../step-words.js";

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

/** The button that confirms a hold: "I confirm: ..." with the empty box of an open tick, for nothing is confirmed before the tap. */
export function confirmButton({ app }, what, onPress) {
  const confirm = button({ key: "confirm", label: app.t("ui.hold.confirm", { what }), kind: "confirm", onPress });
  confirm.prepend(stateShape("open"));
  return confirm;
}
