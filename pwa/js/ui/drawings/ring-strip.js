/**
 * The rings as the person at that wheel sees them: the top third of both rims laid out as a strip, with numbers large
 * enough to compare with the ring in the hand, the two that meet in frames; and one small whole ring with the thick
 * points and where top, front and rear are. It computes no angle: domain/rings/ring-drawing.js does.
 */

import { ringDrawing } from "../../domain/rings/ring-drawing.js";
import { element, fill } from "../parts/element.js";
import { drawing, svg } from "../parts/svg.js";
import { words } from "./wheel-signs.js";

/** The strip is as wide as a sheet's card on a phone of 360 px, so that a unit is a pixel there. */
const WIDTH = 328;
const HALF_DRAWN = 150;
const THIRD_RAD = Math.PI / 3;
const NUMBER_SIZE = 15;
const TOP_SIZE = 24;
const SMALL_RIM = 50;

export class RingStrip {
  #t;

  /** @param {{t: function}} options */
  constructor({ t }) {
    this.#t = t;
    this.element = element("div", { class: "ring-strip-card", key: "ring-strip" });
  }

  /**
   * @param {{side: "left"|"right", ringSet: object, pair: number[]}} model pair = [mark of the inner, of the outer
   *   ring] at the top
   */
  update({ side, ringSet, pair }) {
    const t = this.#t;
    const geometry = ringDrawing({ side, ringSet, pair, bolts: [], clearance_mm: null });
    fill(this.element, strip(geometry, t),
      element("div", { class: "ring-whole" }, wholeRing(geometry, t), thickWords(geometry, t)));
  }
}

function strip({ side, rings }, t) {
  const [inner, outer] = rings;
  const rearward = side === "left" ? 1 : -1; // the rear is on the viewer's right at the left wheel
  return drawing(
    {
      kind: "rim-strip", left: -WIDTH / 2, top: -76, width: WIDTH, height: 176,
      title: t("drawing.strip.title", { side: t(`drawing.side.${side}`) }),
      description: t("drawing.description", { inner: inner.markAtTop, outer: outer.markAtTop }),
    },
    words(0, -62, 14, t("drawing.strip.outer"), "strip-name"),
    words(0, 76, 14, t("drawing.strip.inner"), "strip-name"),
    svg("line", { "class": "ring-edge", "stroke-width": 2, "x1": -WIDTH / 2, "x2": WIDTH / 2, "y1": 0, "y2": 0 }),
    [outer, inner].map((ring) => rim(ring, rearward)),
    svg("line", { "class": "witness-line", "stroke-width": 5, "x1": 0, "x2": 0, "y1": -12, "y2": 12 }),
    ends(side, t));
}

/**
 * One rim: every mark, as many numbers as can be read, and the one at the top in a frame. Outer above the line, inner
 * below.
 */
function rim(ring, rearward) {
  const up = ring.name === "outer" ? -1 : 1;
  const away = ring.looks === "inboard";
  const placed = ring.marks.map(({ mark, clock_rad, kind }) =>
    ({ mark, kind, x: (rearward * turned(clock_rad) * HALF_DRAWN) / THIRD_RAD }))
    .filter(({ x }) => Math.abs(x) <= HALF_DRAWN)
    .sort((one, other) => one.x - other.x); // beside mark 1 stands the last
  const digits = Math.max(...placed.map(({ mark }) => String(mark).length));
  const spacing = ((2 * Math.PI) / ring.marks.length) * (HALF_DRAWN / THIRD_RAD);
  const every = Math.ceil((digits * 0.6 * NUMBER_SIZE + 5) / spacing);
  const room = (String(ring.markAtTop).length * 0.64 * TOP_SIZE + 8) / 2 + digits * 0.3 * NUMBER_SIZE + 8;
  return svg("g", { "class": `ring-scale${away ? " away" : ""}`, "data-strip": ring.name },
    placed.map(({ mark, kind, x }, n) => {
      const top = kind === "top";
      const stepsFromTop = n - placed.findIndex((other) => other.kind === "top");
      const shown = top || (stepsFromTop % every === 0 && Math.abs(x) > room);
      const size = top ? TOP_SIZE : NUMBER_SIZE;
      const half = (String(mark).length * 0.62 * TOP_SIZE + 8) / 2;
      return [
        svg("line", { "class": `ring-tick ${kind}`, "data-mark": String(mark), "stroke-width": top ? 4 : 2, "x1": x,
          "x2": x, "y1": 0, "y2": up * 12,
          "stroke-dasharray": away ? "3 2" : null }),
        top && svg("rect", { "class": "top-box", "stroke-width": 2.5, "x": x - half, "width": 2 * half,
          "y": up * 32 - 16, "height": 32, "rx": 3 }),
        shown && words(x, up * 32 + size * 0.36, size, String(mark), `ring-number ${kind}${away ? " hollow" : ""}`),
      ];
    }));
}

/** FRONT and REAR where they are for the person who looks at that wheel from outside. */
function ends(side, t) {
  return ["left", "right"].map((place) => {
    const sign = place === "left" ? -1 : 1;
    const name = t(place === side ? "drawing.front" : "drawing.rear");
    return svg("g", { "class": "side-sign", "data-place": place },
      svg("path", { d: `M${sign * 162} 78l${-sign * 10} -7v14z` }),
      words(sign * 147, 83, 15, name, "sign", place === "left" ? "start" : "end"));
  });
}

/** The whole ring, small and without numbers: only where it is thick, and how it stands to the vehicle. */
function wholeRing({ side, rings, rim_mm }, t) {
  const scale = SMALL_RIM / rim_mm;
  const sign = side === "left" ? 1 : -1;
  return drawing(
    { kind: "small-ring", left: -82, top: -80, width: 164, height: 150,
      title: t("drawing.small.title", { side: t(`drawing.side.${side}`) }),
      description: t(`drawing.front-is.${side}`) },
    svg("circle", { "class": "ring-body", "r": SMALL_RIM, "stroke-width": 2 }),
    svg("circle", { "class": "ring-bore", "r": Math.min(...rings.map(({ bore_mm }) => bore_mm)) * scale,
      "stroke-width": 2 }),
    rings.map(({ name, thick }) => thickPoint(name, thick, rim_mm)),
    svg("line", { "class": "witness-line", "stroke-width": 4, "x1": 0, "x2": 0, "y1": -SMALL_RIM - 5,
      "y2": -SMALL_RIM + 5 }),
    words(0, -64, 13, t("drawing.top"), "sign"),
    words(sign * -80, 62, 13, t("drawing.front"), "sign", sign > 0 ? "start" : "end"),
    words(sign * 80, 62, 13, t("drawing.rear"), "sign", sign > 0 ? "end" : "start"));
}

/** A filled mark for the inner ring, inside the rim; a hollow one for the outer ring, outside it. */
function thickPoint(name, { at: [x, y] }, rim_mm) {
  const radius = name === "outer" ? SMALL_RIM + 8 : SMALL_RIM - 8;
  const turn = Math.atan2(x, y);
  return svg("circle", { "class": `thick-${name}`, "data-thick": name, "cx": radius * Math.sin(turn),
    "cy": -radius * Math.cos(turn), "r": 6, "stroke-width": 2.5 });
}

function thickWords({ rings }, t) {
  return element("ul", { class: "thick-words" }, rings.map(({ name }) =>
    element("li", { class: `thick-key ${name}`, text: t(`drawing.thick.key.${name}`) })));
}

/** A clock angle within half a turn of the top. */
function turned(clock_rad) {
  return Math.atan2(Math.sin(clock_rad), Math.cos(clock_rad));
}
