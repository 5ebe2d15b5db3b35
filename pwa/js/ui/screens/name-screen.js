/**
 * Who works with this phone: asked once, shown on the start screen, changed in the settings. One of the shop's people,
 * once the shop has told any; until then, and in a demo shop, a name is typed. Where the shop has given a person a
 * short code, it is typed first. It keeps names from being mixed up and protects nothing: a few digits are soon
 * guessed.
 */

import { PEOPLE } from "../../domain/job/people.js";
import { shortDigest } from "../../store/photos.js";
import { button, element, fill } from "../parts/element.js";
import { TextField } from "../fields/text-field.js";

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

/** The shop's people as lines to tap; one tap says who works with this phone. */
class PeopleChoice {
  #t;
  #onChosen;
  #asks = element("div", { class: "stack" });

  /**
   * @param {{t: function, people: {id, name, code}[], name: string, onChosen: function(string): *}} options `name` that
   *   works here now
   */
  constructor({ t, people, name, onChosen }) {
    this.#t = t;
    this.#onChosen = onChosen;
    this.element = element("div", { class: "stack", key: "people" },
      element("div", { class: "stack", role: "group", "aria-label": t("ui.name.title") },
        people.map((person) => button({ key: `person-${person.id}`, label: person.name, kind: "option",
          pressed: person.name === name, onPress: () => this.#choose(person) }))),
      this.#asks);
  }

  #choose(person) {
    if (!person.code) return this.#onChosen(person.name);
    const field = new TextField({ label: this.#t("ui.name.code", { name: person.name }), key: "person-code",
      inputmode: "numeric", onEnter: () => this.#try(person, field) });
    fill(this.#asks, field.element,
      button({ key: "keep-code", label: this.#t("ui.name.code.keep"), onPress: () => this.#try(person, field) }));
    return field.focus();
  }

  async #try(person, field) {
    if (await isCodeOf(person, field.text.trim())) return this.#onChosen(person.name);
    return field.refuse(this.#t("ui.name.code.wrong", { name: person.name }));
  }
}

/**
 * Whether a short code is that person's: the twin of code_digest in server/auth/people.py.
 * @param {{id: string, code: string|null}} person as the shop told it
 */
async function isCodeOf({ id, code }, typed) {
  return (await shortDigest(`${id}:${typed}`)) === code;
}
