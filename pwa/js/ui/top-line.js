/** The line at the top: where this is, the way back, and how much still waits to be sent. */

import { button, element, fill } from "./element.js";
import { shape } from "./shape.js";

export class TopLine {
  #t;

  constructor({ t, root }) {
    this.#t = t;
    this.element = root;
  }

  /** @param {{name: string, place: string, back: null|function(): void, unsent: number}} model unsent = entries and photos */
  update({ name, place, back, unsent }) {
    const t = this.#t;
    const backButton = back && button({ key: "back", label: "", name: t("ui.back"), kind: "back", onPress: back });
    backButton?.replaceChildren(shape("back"));
    fill(
      this.element,
      element("div", { class: "top-row" },
        backButton,
        element("div", { class: "top-words" },
          element("p", { class: "top-name", text: name, key: "top-name" }),
          place && element("p", { class: "top-place", text: place, key: "top-place" })),
        unsent > 0 && element("p", { class: "top-unsent", key: "top-unsent" },
          shape("waiting"), element("span", { "aria-hidden": "true", "text": unsent }), element("span", { class: "hidden-text", text: t("ui.unsent.short", { count: unsent }) }))),
    );
  }
}
