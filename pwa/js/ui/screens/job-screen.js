/** Opens a job where it was left: at the step last shown, else at the next open one; a closed job shows its list. */

import { element } from "../parts/element.js";

export class JobScreen {
  #app;
  #route;

  constructor(app, route) {
    this.#app = app;
    this.#route = route;
    this.element = element("div", {});
  }

  async update() {
    const job = await this.#app.job(this.#route.job);
    const left = job.step(await this.#app.phone.draft(`place.${job.id}`).catch(() => null));
    const step = left ?? job.next();
    const isOpen = job.fold.state === "open" && step;
    this.#app.go(isOpen ? { screen: "step", job: job.id, slot: step.slot } : { screen: "steps", job: job.id }, { replace: true });
  }

  frame() {
    return { name: this.#app.t("ui.app-name") };
  }
}
