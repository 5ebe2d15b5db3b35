/** Who works with this phone: asked once, shown on the start screen, changed in the settings. */

import { element } from "../parts/element.js";
import { TextField } from "../fields/text-field.js";

export class NameScreen {
  #app;
  #name;

  constructor(app) {
    this.#app = app;
    const { t } = app;
    this.#name = new TextField({ t, key: "technician", label: t("ui.name.label"), text: app.settings.get("technician"), autocomplete: "name" });
    this.element = element("div", { class: "stack wide" },
      element("h1", { text: t("ui.name.title") }),
      element("p", { text: t("ui.name.why") }),
      this.#name.element,
      element("p", { class: "sheet", text: t("ui.standing-line") }));
  }

  async update() {}

  frame() {
    const { t, settings } = this.#app;
    return {
      name: t("ui.app-name"),
      back: settings.get("technician") ? () => this.#app.go({ screen: "settings" }) : null,
      primary: { key: "keep-name", label: t("ui.name.keep"), press: () => this.#keep() },
    };
  }

  async #keep() {
    const name = this.#name.text.trim();
    if (!name) return this.#name.refuse(this.#app.t("ui.name.missing"));
    await this.#app.settings.set("technician", name);
    return this.#app.go({ screen: "start" }, { replace: true });
  }
}
