/**
 * Which wheel this sheet is about, in letters that nobody overlooks, what goes in there, and every caution that is
 * still in force, in words that fold nowhere. It stays over the rows, so it is low: what the top line and the bench
 * have said already makes room for a caution.
 */

import { element, fill } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { rowPart } from "../words/row-words.js";

export class WheelBanner {
  #t;
  #side;
  #what = element("span", { class: "banner-what" });
  #cautions = element("ul", { class: "banner-cautions", key: "in-force" });

  /** @param {{t: function, side: "left"|"right"}} parts */
  constructor({ t, side }) {
    this.#t = t;
    this.#side = side;
    this.element = element("div", { class: `wheel-banner ${side}`, key: "side" },
      element("p", { class: "banner-line" }, element("span", { class: "banner-side", text: t(`ui.side.${side}`) }),
        this.#what), this.#cautions);
  }

  /** How many px it hides of what lies at the top edge. */
  get covers() {
    return getComputedStyle(this.element).position === "sticky" ? this.element.offsetHeight : 0;
  }

  /** @returns {boolean} whether it has another height now */
  update(job) {
    const t = this.#t;
    const fitted = job.planEntry?.body.plan[this.#side];
    const [inner, outer] = fitted?.pair ?? [];
    const ofWheel = job.rows.filter(({ wheel }) => wheel === this.#side);
    // what is to be read off the rings must not stand here to be copied
    const isReadBack = ofWheel.some(({ id, state }) => id === "fit.read-back" && state === "open");
    const inForce = inForceOf(ofWheel);
    const isCalm = inForce.length === 0;
    const before = this.#cautions.childElementCount;
    fill(this.#what, isCalm && element("span", { class: "banner-wheel", text: t("ui.side.rear-wheel") }),
      fitted && !isReadBack && element("span", { class: "banner-pair" },
        isCalm && `${job.names[fitted.ring_set] ?? fitted.ring_set} · `, t("on-sheet.pair", { inner, outer })));
    fill(this.#cautions, inForce.map((row) => element("li", {}, stateShape("warning"), rowPart(t, row, "in-force"))));
    this.#cautions.hidden = isCalm;
    return before !== inForce.length;
  }
}

/** Cautions of rows that were answered and whose end has not come yet. */
function inForceOf(rows) {
  const isOver = ({ state }) => state === "done" || state === "overridden";
  return rows.filter((row) => row.stays && isOver(row)
    && rows.some((end) => end.id === row.stays && end.round === row.round && !isOver(end)));
}
