/**
 * The in-page keypad: digits, the decimal mark of the person's language, and the keys that a unit needs.
 * It has no minus key on purpose: the sign is said by the way keys beside it ("in", "out").
 * It knows nothing of angles; it only reports what was pressed.
 */

import { button, element } from "../parts/element.js";

const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

/** What a unit adds to the digits: the text put in, and the key of the words for it; `face` is the text itself or the words. */
const UNIT_KEYS = {
  "deg": [],
  "deg-min": [{ text: "°", words: "ui.key.degrees", face: "sign" }, { text: "′", words: "ui.key.minutes", face: "sign" }],
  "mm": [],
  "inch": [{ text: "/", words: "ui.key.over", face: "sign" }, { text: " ", words: "ui.key.and", face: "word" }],
};

export class Keypad {
  #t;
  #mark;
  #onPress;

  /**
   * @param {{t: function, mark: string, onPress: function({insert?: string, erase?: "last"|"all"}): void}} options
   *   mark is the decimal mark, "." or ","
   */
  constructor({ t, mark, onPress }) {
    this.#t = t;
    this.#mark = mark;
    this.#onPress = onPress;
    this.element = element("div", { class: "keypad", role: "group" });
  }

  /** @param {{unit: "deg"|"deg-min"|"mm"|"inch", types: string}} model `types` names the number that the keys go into */
  update({ unit, types }) {
    const [first, second] = UNIT_KEYS[unit];
    this.element.setAttribute("aria-label", this.#t("ui.keypad", { types }));
    this.element.classList.toggle("plain", !first);
    const rows = [
      ...DIGITS.slice(0, 3).map((digit) => this.#insert(digit)),
      this.#erase("last"),
      ...DIGITS.slice(3, 6).map((digit) => this.#insert(digit)),
      first && this.#insertMore(first),
      ...DIGITS.slice(6, 9).map((digit) => this.#insert(digit)),
      second && this.#insertMore(second),
      this.#insert(this.#mark),
      this.#insert("0"),
      this.#erase("all"),
    ];
    this.element.replaceChildren(...rows.filter(Boolean));
  }

  #insert(text) {
    const isMark = text === this.#mark;
    const key = button({
      key: `key-${isMark ? "mark" : text}`,
      label: text,
      name: isMark ? this.#t("ui.key.mark") : undefined,
      kind: "key",
      onPress: () => this.#onPress({ insert: text }),
    });
    if (text === "0") key.classList.add("zero");
    return key;
  }

  /** A sign fills its key as a digit does; small as it is written, it is drawn larger. */
  #insertMore({ text, words, face }) {
    const name = this.#t(words);
    const key = face === "sign" ? `key-${text}` : "key-and";
    return button({ key, label: face === "sign" ? text : name, name, kind: `key ${face}`, onPress: () => this.#onPress({ insert: text }) });
  }

  #erase(what) {
    const label = this.#t(what === "last" ? "ui.key.erase" : "ui.key.clear");
    return button({ key: `key-${what === "last" ? "erase" : "clear"}`, label, kind: `key word ${what}`, onPress: () => this.#onPress({ erase: what }) });
  }
}
