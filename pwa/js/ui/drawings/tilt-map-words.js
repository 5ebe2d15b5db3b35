/**
 * What the tilt map says in words: the list under the plot, which is also its key of symbols.
 * It formats; it computes nothing but the half widths of the spread.
 */

import { SPREAD_SHARE } from "../../domain/rings/tilt-map.js";
import { element } from "../parts/element.js";
import { svg } from "../parts/svg.js";

const SHAPES = {
  base: () => svg("circle", { r: 6 }),
  predicted: () => svg("rect", { x: -6, y: -6, width: 12, height: 12 }),
  check: () => svg("path", { d: "M-7 -7L7 7M7 -7L-7 7" }),
};

/** The outline of a reading's symbol about the origin, with a halo under it so that it shows on any ground. */
export function symbolShape(key) {
  const outline = (kind) => {
    const shape = SHAPES[key]();
    shape.setAttribute("class", `${kind} map-mark-${key}`);
    return shape;
  };
  return [outline("map-halo"), outline("map-mark")];
}

/** The size of an angle in degrees, with as many decimals as the step needs (default: hundredths). */
export function degreesText(t, mdeg, step = 10) {
  const digits = step % 1000 === 0 ? 0 : step % 100 === 0 ? 1 : 2;
  const hundredths = Math.floor((Math.abs(mdeg) + 5) / 10) / 100; // half away from zero, as everywhere
  return t.number(hundredths, digits);
}

/** The default words for an angle: degrees and the way it leans, never a minus sign. */
export function wordsInDegrees(t) {
  return (quantity, mdeg) => {
    const way = Math.abs(mdeg) < 5 ? "zero" : mdeg > 0 ? "plus" : "minus";
    return t(`map.${quantity}.${way}`, { degrees: degreesText(t, mdeg) });
  };
}

/** The rows of the list under the plot. */
export function mapTable({ base, window, predicted, check }, t, words) {
  const angles = (reading) => [words("camber", reading[0]), words("toe", reading[1])];
  const rows = [
    row("base", t("map.base-reading"), angles(base)),
    row("window", t("map.window"),
      [boundsText("camber", window.camber, t, words), boundsText("toe", window.toe, t, words)]),
    predicted && row("predicted", t("map.predicted-reading"), angles(predicted.at)),
    predicted?.covariance && row("spread", t("map.spread", { share: Math.round(SPREAD_SHARE * 10) }),
      [0, 1].map((n) => halfWidthText(predicted.covariance[n][n], t))),
    check && row("check", t("map.check-reading"), angles(check)),
    row("dots", t("map.dots"), []),
  ];
  return [
    element("thead", {}, element("tr", {}, ["map.what", "map.camber", "map.toe"]
      .map((key) => element("th", { scope: "col", text: t(key) })))),
    element("tbody", {}, rows),
  ];
}

function row(key, name, cells) {
  return element("tr", { key: `map-row-${key}` },
    element("th", { scope: "row", colspan: cells.length ? null : 3 },
      element("span", { class: "map-key-name" }, keySymbol(key), name)),
    cells.map((text) => element("td", { text })));
}

function keySymbol(key) {
  const node = svg("svg", { viewBox: "-12 -12 24 24", class: "drawing map-key", "aria-hidden": "true" });
  if (SHAPES[key]) node.append(...symbolShape(key));
  else if (key === "window") node.append(svg("rect", { class: "map-window", x: -6, y: -10, width: 12, height: 20 }),
    svg("path", { class: "map-edge", d: "M-6 -10h12v20h-12z" }));
  else if (key === "spread") node.append(svg("ellipse", { class: "map-spread", rx: 11, ry: 7 }));
  else node.append(svg("path", { class: "map-dots",
    d: "M-8 -6h0M-2 -7h0M5 -5h0M-6 0h0M1 0h0M8 1h0M-8 7h0M-1 6h0M5 7h0" }));
  return node;
}

function boundsText(quantity, bounds, t, words) {
  const [low, high] = bounds ?? [null, null];
  if (low === null && high === null) return t("map.window.none");
  if (low === null) return t(`map.${quantity}.high-only`, { high: words(quantity, high) });
  if (high === null) return t(`map.${quantity}.low-only`, { low: words(quantity, low) });
  return t("map.window.from-to", { low: words(quantity, low), high: words(quantity, high) });
}

function halfWidthText(variance, t) {
  // 9 in 10 of one angle alone
  return t("map.half-width", { degrees: degreesText(t, Math.round(1.645 * Math.sqrt(variance))) });
}
