/**
 * The shop's people as lines to tap; one tap says who works with this phone. Where the shop has given a person a short
 * code, it is typed first. It keeps names from being mixed up and protects nothing: a few digits are soon guessed.
 */

import { TextField } from "../fields/text-field.js";
import { button, element, fill } from "../parts/element.js";
import { isCodeOf } from "../../store/people-codes.js";

export class PeopleChoice {
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
