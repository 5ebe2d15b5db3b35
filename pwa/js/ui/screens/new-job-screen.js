/** Opens a new job at once: the installed app's shortcut leads here. */

import { element } from "../parts/element.js";

export class NewJobScreen {
  #app;
  #starting = null;

  constructor(app) {
    this.#app = app;
    this.element = element("div", {});
  }

  update() {
    this.#starting ??= this.#app.startJob({ replace: true }); // once, however often the screen is asked to look again
    return this.#starting;
  }

  frame() {
    return { name: this.#app.t("ui.app-name") };
  }
}
