/** What belongs to this phone: who works with it, language, units, light, what it stores, and what could not be sent. */

import { Choices } from "../fields/choices.js";
import { button, element, fill } from "../parts/element.js";
import { InstallCard } from "./install-card.js";
import { keptCard } from "./kept-card.js";
import { readyWords } from "./phone-status.js";
import { RefusedList } from "./refused-list.js";
import { remark } from "../parts/signal.js";
import { TextField } from "../fields/text-field.js";
import { unitsOf } from "../../domain/numbers/quantities.js";

const THEMES = ["system", "light", "dark", "contrast"];

export class SettingsScreen {
  #app;
  #storage = element("section", { class: "sheet stack", key: "storage" });
  #refused;

  #persistence = "unknown";
  #install;

  constructor(app) {
    this.#app = app;
    const { t, settings } = app;
    this.#install = new InstallCard({ app });
    this.#refused = new RefusedList(app);
    this.element = element("div", { class: "stack wide" },
      element("h1", { text: t("ui.settings.title") }),
      button({ key: "change-name", label: t("ui.settings.name", { name: settings.get("technician") }), onPress: () => app.go({ screen: "name" }) }),
      button({ key: "open-pairing", label: t("pairing.open"), onPress: () => app.go({ screen: "pair" }) }),
      this.#choice("theme", THEMES, settings.get("theme"), (theme) => settings.set("theme", theme)),
      this.#choice("language", app.languages, app.language, (language) => app.changeLanguage(language)),
      this.#choice("camber-unit", unitsOf("camber"), settings.unit("camber"), (unit) => settings.setUnit("camber", "", unit)),
      this.#choice("toe-unit", unitsOf("toe"), settings.unit("toe"), (unit) => settings.setUnit("toe", "", unit)),
      this.#diameter(),
      this.#install.element,
      this.#storage,
      this.#refused.element);
  }

  async update() {
    this.#persistence = (await this.#app.phone.setting("persistence")) ?? "unknown";
    this.#showStorage();
    this.#install.update();
    await this.#refused.update();
  }

  frame() {
    const { t } = this.#app;
    const home = () => this.#app.go({ screen: "start" });
    return { name: t("ui.settings.title"), back: home, primary: { key: "to-start", label: t("ui.to-start"), press: home } };
  }

  #choice(name, ids, chosen, onChange) {
    const { t } = this.#app;
    const labelOf = (id) => (name.endsWith("-unit") ? t(`ui.unit.${id}`) : t(`ui.settings.${name}.${id}`));
    return new Choices({ legend: t(`ui.settings.${name}`), key: name, options: ids.map((id) => ({ id, label: labelOf(id) })), chosen, onChange }).element;
  }

  #diameter() {
    const { t, settings } = this.#app;
    return new TextField({
      label: t("ui.settings.diameter"), hint: t("ui.settings.diameter.hint"), key: "diameter", inputmode: "decimal",
      text: settings.get("diameter_mm"), onTyping: (text) => settings.set("diameter_mm", text.trim()),
    }).element;
  }

  #showStorage() {
    const { t, phone, ready } = this.#app;
    fill(this.#storage,
      element("h2", { text: t("ui.settings.storage") }),
      remark({ name: ready.ready ? "done" : "open", text: readyWords(t, ready) }),
      element("p", { text: t("ui.settings.storage.what") }),
      element("p", { key: "persistence", text: t(`ui.settings.persistence.${this.#persistence}`) }),
      keptCard({ t }),
      !phone.health.ok && remark({ name: "warning", text: t(`error.${phone.health.code}`) }),
      button({ key: "export", label: t("ui.settings.export"), onPress: () => this.#export() }));
  }

  async #export() {
    const { t, phone } = this.#app;
    const url = URL.createObjectURL(await phone.exportUnsent());
    const link = element("a", { href: url, download: `tapermark-not-sent-${new Date().toISOString().slice(0, 10)}.json` });
    link.click();
    URL.revokeObjectURL(url);
    this.#app.say(t("ui.settings.exported"));
  }
}
