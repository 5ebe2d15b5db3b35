/** A photo asked for by the checklist. A hold of this kind is met by the photo itself. */

import { PhotoCapture } from "../fields/photo-capture.js";
import { element } from "../parts/element.js";

export class PhotoStep {
  #context;
  #capture;

  constructor(context) {
    this.#context = context;
    const { app, job, step } = context;
    this.#capture = new PhotoCapture({ app, job, about: step.slot, onKept: () => app.render() });
    this.element = element("div", { class: "stack" }, this.#capture.element);
  }

  async update(context) {
    this.#context = context;
    await this.#capture.update(context.job);
  }

  get primary() {
    const { app, job, step, goOn } = this.#context;
    if (job.photos(step.slot).length > 0 || step.state === "overridden") return { key: "next", label: app.t("ui.step.next"), press: goOn };
    if (!step.required) return { key: "skip", label: app.t("ui.step.skip"), press: goOn };
    return { key: "camera-now", label: app.t("ui.photo.camera"), press: () => this.#capture.ask(true) };
  }
}
