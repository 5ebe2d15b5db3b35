/**
 * Tightening, bolt by bolt: the bolts as the person sees them, with the numbers that the ring drawing gives them, the
 * order as a line of those numbers, one bolt in front at a time, in stages. It offers no torque: the stages' texts are given. It saves nothing: it says how far one has come.
 */

import { button, element, fill } from "../parts/element.js";
import { clockText } from "./ring-words.js";
import { svg } from "../parts/svg.js";
import { boltPlaces, scaleOf, wheelFace } from "./wheel-face.js";
import { words } from "./wheel-signs.js";

const SIGN = 15; // 56 px across on the smallest phone, where the bolts stand far enough apart

export class BoltOrder {
  #t; #onTightened; #model;

  /**
   * @param {{t: function, onTightened: function(number)}} options `onTightened` gets how many turns of a bolt are done
   *   in all: bolts of the stages before, and of this one
   */
  constructor({ t, onTightened }) {
    this.#t = t;
    this.#onTightened = onTightened;
    this.element = element("div", { class: "bolt-order", key: "bolt-order" });
  }

  /**
   * @param {{side: "left"|"right", bolts: number[][], order: number[], stages: string[], tightened: number}} model
   *   bolts as [radius in mm, clock in degrees towards the rear]; `order` their numbers, first of the list = 1
   */
  update(model) {
    this.#model = model;
    const t = this.#t;
    const { order, stages, tightened } = model;
    const total = order.length * stages.length;
    const stage = Math.min(Math.floor(tightened / order.length), stages.length - 1);
    const place = tightened - stage * order.length;
    const finished = tightened >= total;
    fill(this.element,
      element("p", { class: "drawing-side", text: t(`drawing.side.${model.side}.wheel`) }),
      element("p", { class: "drawing-figures", key: "bolt-stage", text: t("bolts.stage", { stage: stage + 1, stages: stages.length, torque: stages[stage] }) }),
      element("p", { key: "bolt-sequence", text: t("bolts.order", { order: order.join(", ") }) }),
      this.#drawing(place),
      element("p", { class: "bolt-now", key: "bolt-now", role: "status", text: finished ? t("bolts.finished") : this.#nowText(place) }),
      element("div", { class: "bolt-buttons" },
        button({ key: "bolt-undo", label: t("bolts.undo"), onPress: () => this.#go(tightened - 1) }),
        !finished && button({ key: "bolt-done", label: t("bolts.done", { number: order[place] }), kind: "primary", onPress: () => this.#go(tightened + 1) })));
    this.element.querySelector("[data-key=bolt-undo]").disabled = tightened === 0;
  }

  #go(tightened) {
    this.update({ ...this.#model, tightened });
    this.#onTightened(tightened);
  }

  #nowText(place) {
    const { order, bolts } = this.#model;
    const clock_deg = bolts[order[place] - 1][1];
    return this.#t("bolts.now", { number: order[place], place: place + 1, count: order.length, where: clockText((clock_deg * Math.PI) / 180, this.#t) });
  }

  #drawing(place) {
    const t = this.#t;
    const { side, bolts, order } = this.#model;
    const places = boltPlaces(side, bolts, scaleOf(bolts));
    const apart = Math.min(...places.flatMap(([x, y], n) => places.slice(n + 1).map(([ox, oy]) => Math.hypot(x - ox, y - oy))));
    const radius = Math.min(SIGN, apart / 2 - 1.5);
    return wheelFace({ side, kind: "bolt-picture", t, title: t("bolts.title", { side: t(`drawing.side.${side}`) }), description: t("bolts.description", { order: order.join(", ") }) },
      order.map((bolt, n) => this.#sign(bolt, n, place, places[bolt - 1], radius)));
  }

  // Done: filled with a tick under it. Next: a heavy double ring. Later: a thin ring.
  #sign(bolt, n, place, [x, y], radius) {
    const state = n < place ? "done" : n === place ? "next" : "later";
    const node = svg("g", { class: `order-sign ${state}`, "data-bolt": String(bolt), "data-order": String(n + 1), transform: `translate(${x} ${y})` },
      svg("circle", { class: "order-ring", r: radius - 1 }),
      state === "next" && svg("circle", { class: "order-inner", r: radius - 4.5 }),
      words(0, state === "done" ? radius * 0.12 : radius * 0.36, radius * 0.95, String(bolt), "order-number"),
      state === "done" && svg("path", { class: "order-tick", d: `M${-radius * 0.35} ${radius * 0.4}l${radius * 0.25} ${radius * 0.22}l${radius * 0.45} ${-radius * 0.4}` }));
    if (state === "next") node.addEventListener("click", () => this.#go(this.#model.tightened + 1));
    return node;
  }
}
