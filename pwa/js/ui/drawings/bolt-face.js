/**
 * The bolts of a hub as the person at that wheel sees them, in the order in which they are tightened: the next one
 * heavy, those of this stage that are done ticked.
 */

import { svg } from "../parts/svg.js";
import { boltPlaces, scaleOf, wheelFace } from "./wheel-face.js";
import { words } from "./wheel-signs.js";

const SIGN = 15;

export class BoltFace {
  #t;
  #drawn = null;
  #signs = [];
  #at = 0;

  /** @param {{t: function}} options */
  constructor({ t }) {
    this.#t = t;
    this.element = svg("svg", {});
  }

  /** @param {{side: "left"|"right", order: number[], places: number[][], at: number}} model numbers of the bolts in
   *   their order, where bolt 1, 2, ... sit as [radius in mm, clock in degrees], and how many of this stage are done */
  update({ side, order, places, at }) {
    const seen = boltPlaces(side, places, scaleOf(places));
    const drawn = JSON.stringify([side, order, places]);
    const signs = order.map((bolt, n) => (drawn === this.#drawn && stateOf(n, at) === stateOf(n, this.#at)
      ? this.#signs[n] : sign(bolt, stateOf(n, at), seen[bolt - 1])));
    if (drawn !== this.#drawn) this.#draw(side, order, signs);
    // a touch changes two signs, and has no time to draw the flange anew
    else this.#signs.forEach((before, n) => { if (before !== signs[n]) before.replaceWith(signs[n]); });
    [this.#drawn, this.#signs, this.#at] = [drawn, signs, at];
  }

  #draw(side, order, signs) {
    const t = this.#t;
    const face = wheelFace({ side, kind: "bolt-picture", t,
      title: t("bolts.title", { side: t(`drawing.side.${side}`) }),
      description: t("bolts.description", { order: order.join(", ") }) }, signs);
    this.element.replaceWith(face);
    this.element = face;
  }
}

function stateOf(n, at) {
  if (n === at) return "next";
  return n < at ? "done" : "later";
}

// Done: filled with a tick. Next: a heavy double ring. Later: a thin ring.
function sign(bolt, state, [x, y]) {
  return svg("g", { "class": `order-sign ${state}`, "data-bolt": String(bolt), "transform": `translate(${x} ${y})` },
    svg("circle", { class: "order-ring", r: SIGN - 1 }),
    state === "next" && svg("circle", { class: "order-inner", r: SIGN - 4.5 }),
    words(0, state === "done" ? SIGN * 0.12 : SIGN * 0.36, SIGN * 0.95, String(bolt), "order-number"),
    state === "done" && svg("path",
      { class: "order-tick",
        d: `M${-SIGN * 0.35} ${SIGN * 0.4}l${SIGN * 0.25} ${SIGN * 0.22}l${SIGN * 0.45} ${-SIGN * 0.4}` }));
}
