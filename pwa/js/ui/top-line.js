/** The line at the top: where this is, the way back, how much waits to be sent; under it the strip of sheets. */

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
  #said = null;

  constructor({ t, root }) {
    this.#t = t;
    this.#back = button({ key: "back", label: "", name: t("ui.back"), kind: "back", onPress: () => this.#goBack() });
    this.#back.replaceChildren(stateShape("back"));
    this.#row = element("div", { class: "top-row" }, this.#back, this.#words, this.#unsent);
    this.#root = root; // until the first screen it shows what the page came with
  }

  /**
   * @param {{name: string, place: string, strip: HTMLElement|null, back: null|function(): void, unsent: number|null}}
   *   model unsent = entries and photos; null: not known
   */
  update({ name, place, strip, back, unsent }) {
    this.#goBack = back;
    this.#back.hidden = !back;
    if (!this.#row.isConnected || this.#root.children[1] !== (strip ?? undefined)) fill(this.#root, this.#row, strip);
    const model = JSON.stringify([name, place, unsent]);
    if (model === this.#said) return;
    this.#said = model;
    fill(this.#words, element("p", { class: "top-name", text: name, key: "top-name" }),
      place && element("p", { class: "top-place", text: place, key: "top-place" }));
    const said = unsent === null ? this.#t("ui.status.unsent-unknown") : this.#t("ui.unsent.short", { count: unsent });
    fill(this.#unsent, unsent !== 0 && [
      stateShape(unsent === null ? "unknown" : "waiting"),
      unsent !== null && element("span", { "aria-hidden": "true", "text": unsent }),
      element("span", { class: "hidden-text", text: said })]);
  }
}
