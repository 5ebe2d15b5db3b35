/**
 * What belongs to this phone: who works with it, language, units, light, what it stores, and what could not be sent.
 */

import { Choices } from "../fields/choices.js";
import { button, element, fill } from "../parts/element.js";
import { InstallCard } from "./install-card.js";
import { readyAsOfNow } from "../../sync/ready.js";
import { readySaid } from "./phone-status.js";
import { RefusedList } from "./refused-list.js";
import { remark } from "../parts/signal.js";
import { TextField } from "../fields/text-field.js";
import { unitsOf } from "../../domain/numbers/quantities.js";

const THEMES = ["system", "light", "dark", "contrast"];
/** Points of what a phone keeps, of what it does not, and of what can take it away. */
const POINTS_OF = { kept: 3, not: 3, lost: 5 };

export class SettingsScreen {
  #app;
  #storage = element("section", { class: "sheet stack", key: "storage" });
  #places = element("div", { class: "stack", key: "rings-places" });
  #refused;
  #install;

  constructor(app) {
    this.#app = app;
    const { t, settings } = app;
    this.#install = new InstallCard({ app });
    this.#refused = new RefusedList(app);
    this.element = element("div", { class: "stack wide" },
      element("h1", { text: t("settings.title") }),
      button({ key: "change-name", label: t("settings.name", { name: settings.get("technician") }),
        onPress: () => app.go({ screen: "name" }) }),
      button({ key: "open-pairing", label: t("ui.start.pair"), onPress: () => app.go({ screen: "pair" }) }),
      this.#choice("theme", THEMES, settings.get("theme"), (theme) => settings.set("theme", theme)),
      this.#choice("language", app.languages, app.language, (language) => app.changeLanguage(language)),
      this.#choice("camber-unit", unitsOf("camber"), settings.unit("camber"),
        (unit) => settings.setUnit("camber", "", unit)),
      this.#choice("toe-unit", unitsOf("toe"), settings.unit("toe"), (unit) => settings.setUnit("toe", "", unit)),
      this.#diameter(),
      this.#places,
      this.#install.element,
      this.#storage,
      this.#refused.element);
  }

  async update() {
    this.#showStorage();
    this.#install.update();
    await this.#showPlaces();
    await this.#refused.update();
  }

  frame() {
    const { t } = this.#app;
    const home = () => this.#app.go({ screen: "start" });
    return { name: t("settings.title"), back: home,
      primary: { key: "to-start", label: t("ui.to-start"), press: home } };
  }

  #choice(name, ids, chosen, onChange) {
    const { t } = this.#app;
    const labelOf = (id) => (name.endsWith("-unit") ? t(`ui.unit.${id}`) : t(`settings.${name}.${id}`));
    return new Choices({ legend: t(`settings.${name}`), key: name,
      options: ids.map((id) => ({ id, label: labelOf(id) })), chosen, onChange }).element;
  }

  /** Where the ring sets lie that are at hand here: of the shop's places, where it has any. */
  async #showPlaces() {
    const { t, phone, settings } = this.#app;
    const list = await phone.lines().then((lines) => lines.list("at-hand")).catch(() => null);
    const places = list?.places ?? [];
    const shown = JSON.stringify(places);
    if (shown === this.#places.dataset.shown) return;
    this.#places.dataset.shown = shown;
    fill(this.#places, places.length > 0 && new Choices({
      legend: t("at-hand.place"), key: "rings-place", chosen: settings.get("rings_place"),
      options: [...places.map(({ id, name }) => ({ id, label: name })), { id: "", label: t("at-hand.place.none") }],
      onChange: (id) => settings.set("rings_place", id),
    }).element);
  }

  #diameter() {
    const { t, settings } = this.#app;
    return new TextField({
      label: t("settings.diameter"), hint: t("settings.diameter.hint"), key: "diameter", inputmode: "decimal",
      text: settings.get("diameter_mm"), onTyping: (text) => settings.set("diameter_mm", text.trim()),
    }).element;
  }

  #showStorage() {
    const { t, phone, ready } = this.#app;
    const [name, text] = readySaid(t, readyAsOfNow(ready, phone));
    fill(this.#storage,
      element("h2", { text: t("settings.storage") }),
      remark({ name, text }),
      element("p", { text: t("settings.storage.what") }),
      element("p", { key: "persistence", text: t(`kept.persistence.${phone.persistence}`) }),
      !phone.isKept && button({ key: "keep-ask", label: t("kept.keep-ask"), onPress: () => this.#askToKeep() }),
      keptCard(t),
      !phone.health.ok && remark({ name: "warning", text: t(`error.${phone.health.code}`) }),
      button({ key: "export", label: t("settings.export"), onPress: () => this.#export() }));
  }

  async #askToKeep() {
    const { t, phone } = this.#app;
    const isKept = await phone.askToKeep();
    this.#showStorage();
    this.#app.say(t(isKept ? "kept.keep-ask.kept" : "kept.keep-ask.not-kept"));
  }

  async #export() {
    const { t, phone } = this.#app;
    const url = URL.createObjectURL(await phone.exportUnsent());
    const link = element("a", { href: url,
      download: `tapermark-not-sent-${new Date().toISOString().slice(0, 10)}.json` });
    link.click();
    URL.revokeObjectURL(url);
    this.#app.say(t("settings.exported"));
  }
}

/** "Ready without network" in plain words. */
function keptCard(t) {
  return element("section", { class: "stack", key: "kept" },
    element("h3", { text: t("kept.title") }),
    Object.entries(POINTS_OF).map(([part, count]) => [
      element("p", { text: t(`kept.${part}`) }),
      element("ul", { class: "points" },
        Array.from({ length: count }, (_, at) => element("li", { text: t(`kept.${part}.${at + 1}`) })))]));
}
