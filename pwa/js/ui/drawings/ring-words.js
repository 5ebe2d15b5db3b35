/**
 * What the ring drawing shows, in words: faces, thick points, where each bolt's clearance lies. It computes nothing.
 */

import { degreesOf, halfTurn } from "../../domain/numbers/arithmetic.js";
import { element } from "../parts/element.js";

/** The list under the drawing. @param {object} geometry of domain/rings/ring-drawing.js @param {function} t */
export function ringWords(geometry, t) {
  const { rings, stack, bolts, front } = geometry;
  return element("div", { class: "ring-words" },
    element("ul", {},
      item("front", t(`drawing.front-is.${front}`)),
      item("witness", t("drawing.witness")),
      rings.map((ring) => ringItem(ring, t)),
      item("stack", stackText(stack, t))),
    bolts.length > 0 && boltTable(bolts, t));
}

/**
 * A clock angle in words: "at the top", "31 degrees from the top towards the rear", "at the bottom".
 * @param {number} clock_rad from the top towards the rear
 */
export function clockText(clock_rad, t) {
  const degrees = Math.round(degreesOf(halfTurn(clock_rad, 2 * Math.PI)));
  if (degrees === 0) return t("drawing.clock.top");
  if (Math.abs(degrees) === 180) return t("drawing.clock.bottom");
  if (degrees === 90) return t("drawing.clock.rear");
  if (degrees === -90) return t("drawing.clock.front");
  return t(degrees > 0 ? "drawing.clock.to-rear" : "drawing.clock.to-front", { degrees: Math.abs(degrees) });
}

function item(key, text) {
  return element("li", { key: `drawing-${key}`, text });
}

function ringItem(ring, t) {
  return element("li", { key: `drawing-${ring.name}` },
    element("strong", { text: t(`drawing.ring.${ring.name}`, { mark: ring.markAtTop }) }), " ",
    t(`drawing.looks.${ring.looks}`), " ",
    t(`drawing.run.${ring.run}`), " ",
    t("drawing.thick.at", { mark: ring.thick.mark, place: clockText(ring.thick.clock_rad, t) }));
}

function stackText({ thick, most_mm, least_mm }, t) {
  if (!thick) return t("drawing.stack.even", { thickness: t.number(most_mm, 2) });
  return t("drawing.stack.thick",
    { place: clockText(thick.clock_rad, t), most: t.number(most_mm, 2), least: t.number(least_mm, 2) });
}

function boltTable(bolts, t) {
  const marks = (pair) => t("drawing.between", { from: pair[0], to: pair[1] });
  const none = t("drawing.no-cut");
  return element("table", { class: "bolt-table", key: "drawing-bolts" },
    element("caption", { text: t("drawing.bolts") }),
    element("thead", {}, element("tr", {}, ["bolt", "place", "cut-inner", "cut-outer", "stack-here"]
      .map((key) => element("th", { scope: "col", text: t(`drawing.bolts.${key}`) })))),
    element("tbody", {}, bolts.map((bolt) => element("tr", {},
      element("th", { scope: "row", text: String(bolt.number) }),
      [clockText(bolt.clock_rad, t), bolt.cut ? marks(bolt.cut.inner) : none, bolt.cut ? marks(bolt.cut.outer) : none,
        t("drawing.mm", { value: t.number(bolt.thickness_mm, 2) })]
        .map((text) => element("td", { text }))))));
}
