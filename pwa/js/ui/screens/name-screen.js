/**
 * Who works with this phone: asked once, shown on the start screen, changed in the settings. One of the shop's people,
 * once the shop has told any; until then, and in a demo shop, a name is typed.
 */

import { PEOPLE } from "../../domain/job/people.js";
import { element, fill } from "../parts/element.js";
import { TextField } from "../fields/text-field.js";
import { PeopleChoice } from "./people-choice.js";

export class NameScreen {
  #app;
  #name;
  #who = element("div", {});
  #shown = null;

  constructor(app) {
    this.#app = app;
    const { t } = app;
    this.#name = new TextField({ t, key: "technician", label: t("ui.name.label"), text: app.settings.get("technician"),
      autocomplete: "name" });
    this.element = element("div", { class: "stack wide" },
      element("h1", { text: t("ui.name.title") }),
      element("p", { text: t("ui.name.why") }),
      this.#who,
      element("p", { class: "sheet", text: t("ui.standing-line") }));
  }

  async update() {
    const { t, settings } = this.#app;
    const people = await settings.renew(PEOPLE);
    const shown = JSON.stringify(people);
    if (shown === this.#shown) return;
    this.#shown = shown;
    fill(this.#who, people.length === 0 ? this.#name.element
      : new PeopleChoice({ t, people, name: settings.get("technician"), onChosen: (name) => this.#take(name) })
      .element);
  }

  frame() {
    const { t, settings } = this.#app;
    return {
      name: t("ui.app-name"),
      back: settings.get("technician") ? () => this.#app.go({ screen: "settings" }) : null,
      primary: settings.get(PEOPLE).length === 0
        ? { key: "keep-name", label: t("ui.name.keep"), press: () => this.#keep() } : null,
    };
  }

  async #keep() {
    const name = this.#name.text.trim();
    if (!name) return this.#name.refuse(this.#app.t("ui.name.missing"));
    return this.#take(name);
  }

  async #take(name) {
    await this.#app.settings.set("technician", name);
    return this.#app.go({ screen: "start" }, { replace: true });
  }
}
