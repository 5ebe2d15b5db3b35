/** The line at the top: where this is, the way back, and how much still waits to be sent. */

import { button, element, fill } from "./parts/element.js";
import { stateShape } from "./parts/state-shape.js";

export class TopLine {
  #t;
  #back;
  #words = element("div", { class: "top-words" });
  #unsent = element("p", { class: "top-unsent", key: "top-unsent" });
  #goBack = null;
  #row;
  #root;

  constructor({ t, root }) {
    this.#t = t;
    this.#back = button({ key: "back", label: "", name: t("ui.back"), kind: "back", onPress: () => this.#goBack() });
    this.#back.replaceChildren(stateShape("back"));
    this.#row = element("div", { class: "top-row" }, this.#back, this.#words, this.#unsent);
    this.#root = root; // until the first screen it shows what the page came with
  }

  /** @param {{name: string, place: string, back: null|function(): void, unsent: number}} model unsent = entries and photos */
  update({ name, place, back, unsent }) {
    this.#goBack = back;
    this.#back.hidden = !back;
    if (!this.#row.isConnected) fill(this.#root, this.#row);
    fill(this.#words, element("p", { class: "top-name", text: name, key: "top-name" }), place && element("p", { class: "top-place", text: place, key: "top-place" }));
    fill(this.#unsent, unsent > 0 && [
      stateShape("waiting"),
      element("span", { "aria-hidden": "true", "text": unsent }),
      element("span", { class: "hidden-text", text: this.#t("ui.unsent.short", { count: unsent }) })]);
  }
}
