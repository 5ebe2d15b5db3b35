/**
 * Where something between the faces would sit, drawn on the flange as the person at that wheel sees it, with the two
 * readings of its thickness. It only shows what proving has computed; it never says that something is there.
 */

import { seenAt } from "../../domain/rings/placement.js";
import { element, fill } from "../parts/element.js";
import { clockText } from "./ring-words.js";
import { svg } from "../parts/svg.js";
import { FACE, boltPlaces, scaleOf, wheelFace } from "./wheel-face.js";
import { words } from "./wheel-signs.js";

const HALF_SECTOR = (32 * Math.PI) / 180; // drawn wide: the numbers do not know it better

export class GapDrawing {
  #t;

  /** @param {{t: function}} options */
  constructor({ t }) {
    this.#t = t;
    this.element = element("div", { class: "gap-drawing", key: "gap-drawing" });
  }

  /**
   * @param {{side: "left"|"right", clock_deg: number, far_edge_mm: number, centre_mm: number,
   *   flange_diameter_mm: number, bolts: number[][]}} model the place from the top towards the rear; its thickness if
   *   the faces touch at the far edge, and if they hinge at the centre
   */
  update({ side, clock_deg, far_edge_mm, centre_mm, flange_diameter_mm, bolts }) {
    const t = this.#t;
    const clock = (clock_deg * Math.PI) / 180;
    const place = clockText(clock, t);
    const scale = scaleOf(bolts, flange_diameter_mm / 2);
    const said = t("gap.place", { place });
    fill(this.element,
      element("p", { class: "drawing-side", text: t(`drawing.side.${side}.wheel`) }),
      wheelFace({ side, kind: "gap-picture", t, title: t("gap.title", { side: t(`drawing.side.${side}`) }),
        description: said },
        sector(side, clock),
        boltPlaces(side, bolts, scale).map(([x, y], n) => svg("g", { class: "bolt", "data-bolt": String(n + 1) },
          svg("circle", { class: "bolt-head", "stroke-width": 1.2, cx: x, cy: y, r: 7 }),
          words(x, y + 3.2, 9, String(n + 1), "bolt-number"))),
        mark(side, clock, t)),
      element("ul", { class: "gap-words" },
        element("li", { key: "gap-place", text: said }),
        element("li", { key: "gap-far", text: t("gap.far-edge", { thickness: t.number(far_edge_mm, 2) }) }),
        element("li", { key: "gap-centre", text: t("gap.centre", { thickness: t.number(centre_mm, 2) }) }),
        element("li", { text: t("gap.look") })));
  }
}

function sector(side, clock) {
  const [from, to] = [clock - HALF_SECTOR, clock + HALF_SECTOR];
  const at = (radius, angle) => { const [x, y] = seenAt(side, radius, angle);
    return `${x.toFixed(3)} ${(-y).toFixed(3)}`; };
  const [inside, outside] = [FACE.rim * 0.45, FACE.rim];
  const sweep = side === "left" ? 1 : 0; // towards the rear runs clockwise as seen on the left wheel
  return svg("path", {
    class: "gap-sector",
    d: `M${at(inside, from)}L${at(outside, from)}A${outside} ${outside} 0 0 ${sweep} ${at(outside, to)}L${at(inside,
      to)}A${inside} ${inside} 0 0 ${1 - sweep} ${at(inside, from)}Z`,
  });
}

function mark(side, clock, t) {
  const [x, y] = seenAt(side, FACE.rim * 0.2, clock);
  const [from, to] = [0.34, 0.96].map((share) => seenAt(side, FACE.rim * share, clock));
  return svg("g", {},
    svg("line", { class: "gap-line", "data-gap": "middle", x1: from[0], y1: -from[1], x2: to[0], y2: -to[1] }),
    words(x, -y + 4, 12, t("gap.here"), "gap-name"));
}
