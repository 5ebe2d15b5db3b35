/** "Show how": whether the why of every row is shown. A switch of the person, on for newcomers. */

import { button } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";

export class ShowHow {
  #settings;

  /** @param {{app: App, onChange: function(): void}} parts */
  constructor({ app, onChange }) {
    this.#settings = app.settings;
    this.element = button({ key: "show-how", label: app.t("on-sheet.show-how"), kind: "quiet show-how",
      onPress: () => this.#set(!this.isOn).then(onChange) });
    this.#mark();
  }

  get isOn() {
    return this.#settings.get("show_how")[this.#person] ?? true;
  }

  get #person() {
    return this.#settings.get("technician");
  }

  async #set(isOn) {
    await this.#settings.set("show_how", { ...this.#settings.get("show_how"), [this.#person]: isOn });
    this.#mark();
  }

  #mark() {
    this.element.setAttribute("aria-pressed", String(this.isOn));
    this.element.querySelector(".shape")?.remove();
    this.element.prepend(stateShape(this.isOn ? "done" : "open"));
  }
}
