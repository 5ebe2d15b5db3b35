/**
 * Which wheel this sheet is about, in letters that nobody overlooks, what goes in there, and every caution that is
 * still in force. While something of the sheet is typed or read back, or bolts are tightened, it stays over that in
 * short (sheets.css); a tap shows it whole.
 */

import { button, element, fill } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { rowPart } from "../words/row-words.js";

export class WheelBanner {
  #t;
  #side;
  #what = element("span", { class: "banner-what" });
  #short;
  #cautions = element("ul", { class: "banner-cautions", key: "in-force" });

  /** @param {{t: function, side: "left"|"right"}} parts */
  constructor({ t, side }) {
    this.#t = t;
    this.#side = side;
    this.#short = button({ key: "in-force-short", label: "", kind: "banner-short",
      onPress: () => this.#open(!this.element.classList.contains("whole")) });
    this.element = element("div", { class: `wheel-banner ${side}`, key: "side" },
      element("p", { class: "banner-line" }, element("span", { class: "banner-side", text: t(`ui.side.${side}`) }),
        this.#what), this.#short, this.#cautions);
    this.#open(false);
  }

  update(job) {
    const t = this.#t;
    const fitted = job.planEntry?.body.plan[this.#side];
    const [inner, outer] = fitted?.pair ?? [];
    const ofWheel = job.rows.filter(({ wheel }) => wheel === this.#side);
    // what is to be read off the rings must not stand here to be copied
    const isReadBack = ofWheel.some(({ id, state }) => id === "fit.read-back" && state === "open");
    const set = fitted && element("span",
      { class: "banner-set", text: `${job.names[fitted.ring_set] ?? fitted.ring_set} · ` });
    fill(this.#what, element("span", { class: "banner-wheel", text: t("ui.side.rear-wheel") }),
      fitted && !isReadBack && element("span", { class: "banner-pair" }, set, t("on-sheet.pair", { inner, outer })));
    const inForce = inForceOf(ofWheel);
    fill(this.#cautions, inForce.map((row) => element("li", { class: "with-shape" }, stateShape("warning"),
      element("span", { text: rowPart(t, row, "caution") }))));
    fill(this.#short, stateShape("warning"),
      element("span", { class: "button-label", text: inForce.map((row) => rowPart(t, row, "short")).join(" · ") }));
    this.#cautions.hidden = inForce.length === 0;
    this.#short.hidden = inForce.length === 0;
  }

  #open(isWhole) {
    this.element.classList.toggle("whole", isWhole);
    this.#short.setAttribute("aria-expanded", String(isWhole));
  }
}

/** Cautions of rows that were answered and whose end has not come yet. */
function inForceOf(rows) {
  const isOver = ({ state }) => state === "done" || state === "overridden";
  return rows.filter((row) => row.stays && isOver(row)
    && rows.some((end) => end.id === row.stays && end.round === row.round && !isOver(end)));
}
