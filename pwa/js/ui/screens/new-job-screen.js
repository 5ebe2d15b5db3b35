/** Opens a new job at once; the installed app's shortcut leads here too. A phone that cannot save starts none. */

import { element } from "../parts/element.js";

export class NewJobScreen {
  #app;
  #opening = null;

  constructor(app) {
    this.#app = app;
    this.element = element("div", {});
  }

  update() {
    this.#opening ??= this.#open(); // once, however often the screen is asked to look again
    return this.#opening;
  }

  frame() {
    return { name: this.#app.t("ui.app-name") };
  }

  async #open() {
    const { phone, t } = this.#app;
    const health = await phone.check();
    const job = health.ok ? await this.#app.openJob() : null;
    const why = health.ok ? "" : t("ui.start.cannot-save", { why: t(`error.${health.code}`) });
    // never awaited: it waits for this screen
    this.#app.goSaying(why, job ? { screen: "sheet", job } : { screen: "start" }, { replace: true });
  }
}
