/** One labelled line or block of text, with a hint and a plain refusal beneath it. It keeps nothing by itself. */

import { element, fill, freshId } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { inOrder } from "../words/text.js";

// A paste may bring them, and nobody can see them. For what is no character a server would refuse the whole answer.
const NO_CHARACTER = /\0|\p{Cs}/gu;

export class TextField {
  #input;
  #error;

  /**
   * @param {{label: string, key: string, text?: string, hint?: string, lines?: boolean, inputmode?: string,
   *   autocomplete?: string, capitals?: boolean, labelHidden?: boolean, onTyping?: function(string): void, onEnter?:
   *   function(): void, goesOn?: boolean}} options `goesOn`: Enter leads on, also out of several lines
   */
  constructor({ label, key, text = "", hint, lines = false, inputmode, autocomplete = "off", capitals = false,
      labelHidden = false, onTyping, onEnter, goesOn = false }) {
    const id = freshId(key);
    const errorId = `${id}-error`;
    this.#input = element(lines ? "textarea" : "input", {
      id, key, inputmode, autocomplete, enterkeyhint: goesOn ? "next" : lines ? null : "done",
      type: lines ? null : "text",
      autocapitalize: capitals ? "characters" : null,
      spellcheck: capitals ? "false" : null,
      "aria-describedby": hint ? `${id}-hint ${errorId}` : errorId,
      on: { input: () => { this.#clear(); this.#clean(); onTyping?.(this.text); },
        keydown: (event) => this.#enter(event, lines && !goesOn, onEnter) },
    });
    this.text = text;
    this.#error = element("p", { class: "error", id: errorId, role: "alert", key: `${key}-error` });
    this.element = element("div", { class: "field" },
      element("label", { for: id, text: label, class: labelHidden ? "hidden-text" : null }),
      hint && element("p", { class: "hint", id: `${id}-hint`, text: hint }),
      this.#input,
      this.#error);
  }

  get text() {
    return this.#input.value;
  }

  set text(text) {
    this.#input.value = inOrder(text ?? "");
  }

  focus() {
    this.#input.focus();
  }

  /** Says what is wrong with the text and goes to it. */
  refuse(message) {
    fill(this.#error, stateShape("refused"), element("span", { text: message }));
    this.#input.setAttribute("aria-invalid", "true");
    this.#input.focus();
  }

  #enter(event, isNewLine, onEnter) {
    if (event.key !== "Enter" || event.shiftKey || event.isComposing || isNewLine || !onEnter) return;
    event.preventDefault();
    onEnter();
  }

  #clean() {
    const text = inOrder(this.text).replace(NO_CHARACTER, "");
    if (text !== this.text) this.#input.value = text; // else the caret would move
  }

  #clear() {
    this.#error.replaceChildren();
    this.#input.removeAttribute("aria-invalid");
  }
}
