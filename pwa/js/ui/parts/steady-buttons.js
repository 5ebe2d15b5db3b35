/**
 * Buttons of something that is drawn anew. They stay the same nodes while they mean the same: one that is made anew
 * under a finger that is down gets no tap. What is pressed is always what was drawn last.
 */

import { button } from "./element.js";

export class SteadyButtons {
  #meant = "";
  #presses = [];
  #nodes = [];

  /**
   * @param {Object[]} options as button() takes them, and `about`: what else a button means, where its words do not say
   *   all of it
   * @returns {HTMLElement[]}
   */
  draw(options) {
    this.#presses = options.map(({ onPress }) => onPress);
    const meant = JSON.stringify(options); // functions are left out
    if (meant === this.#meant) return this.#nodes;
    this.#meant = meant;
    this.#nodes = options.map((each, at) => button({ ...each, onPress: () => this.#presses[at]() }));
    return this.#nodes;
  }
}
