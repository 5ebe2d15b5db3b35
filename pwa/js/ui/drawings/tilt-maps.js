/**
 * Both wheels' tilt maps side by side, small, as a plan or a result is shown with: zoomed to what was read, the maker's
 * window and what is planned with its spread, an arrow from before to planned; one tap shows all that the rings reach.
 * It computes no place.
 */

import { FRAME, dotsPath, placeOf, spreadEllipse, viewOfAll, viewOfPlan,
  windowBox } from "../../domain/rings/tilt-map.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { button, element, fill, freshId } from "../parts/element.js";
import { drawing, svg } from "../parts/svg.js";
import { mapTable, symbolShape, wordsInDegrees } from "./tilt-map-words.js";
import { words } from "./wheel-signs.js";

/** One map is half as wide as a sheet's card on a phone of 360 px: a unit is a pixel there. */
const PLOT = 140;
const SCALE = PLOT / FRAME.size;
const LEFT = 18;
const TOP = 4;
/** The name of the window, and how wide a bold letter is in the widest of the phones' fonts. */
const NAME_PX = 12;
const NAME_EM = 0.64;
/** How far the sign of a reading reaches from its middle. */
const POINT_PX = 8;
const KEYS = ["base", "predicted", "check", "dots"];

export class TiltMaps {
  #t;
  #say;
  #maps = element("div", { class: "tilt-maps" });
  #key = element("ul", { class: "maps-key" });
  #reach;
  #isWhole = false;
  #models = null;

  /**
   * @param {{t: function, words?: function(string, number): string}} options `words` writes an angle for those who
   *   cannot see the maps
   */
  constructor({ t, words: say = wordsInDegrees(t) }) {
    this.#t = t;
    this.#say = say;
    this.#reach = button({ key: "maps-reach", label: "", kind: "quiet narrow", onPress: () => this.#turn() });
    this.element = element("div", { class: "tilt-maps-card" }, this.#maps, this.#key, this.#reach);
  }

  /**
   * @param {{left: Object, right: Object}} models as tiltMapModel gives them; `predicted` may be null, `tables` empty
   */
  update(models) {
    this.#models = models;
    this.#draw();
  }

  #turn() {
    this.#isWhole = !this.#isWhole;
    this.#draw();
  }

  #draw() {
    const t = this.#t;
    const models = SIDES.map((side) => this.#models[side]);
    const hasDots = models.some(({ tables }) => tables.length > 0);
    fill(this.#maps, models.map((model) => this.#map(model)));
    const shown = { base: models.some(({ base }) => base), predicted: models.some(({ predicted }) => predicted),
      check: models.some(({ check }) => check), dots: hasDots };
    fill(this.#key, KEYS.filter((key) => shown[key])
      .map((key) => element("li", { class: `with-shape key-${key}` }, keySymbol(key),
        element("span", { text: t(`maps.key.${key}`) }))));
    this.#reach.hidden = !hasDots;
    this.#reach.querySelector(".button-label").textContent = t(this.#isWhole ? "maps.closer" : "maps.reach");
    this.#reach.setAttribute("aria-pressed", String(this.#isWhole));
  }

  #map(model) {
    const t = this.#t;
    const { side, base, tables } = model;
    const view = this.#isWhole && base ? viewOfAll(model) : viewOfPlan(model);
    const clip = freshId("map-clip");
    const at = (reading) => inside(placeOf(view, reading));
    return element("figure", { class: "tilt-map-small" },
      element("figcaption", { text: t(`drawing.side.${side}.wheel`) }),
      drawing(
        { kind: "small-map", width: LEFT + PLOT + 2, height: TOP + PLOT + 20,
          title: t("map.title", { side: t(`drawing.side.${side}`) }), description: this.#description(model) },
        svg("clipPath", { id: clip }, svg("rect", { x: LEFT, y: TOP, width: PLOT, height: PLOT })),
        svg("g", { "clip-path": `url(#${clip})` },
          base && tables.length > 0 && svg("path",
            { class: "map-dots sparse", d: dotsPath(view, base, tables),
              transform: `translate(${LEFT - FRAME.left * SCALE} ${TOP - FRAME.top * SCALE}) scale(${SCALE})` }),
          windowShape(view, model.window),
          !this.#isWhole && this.#windowName(view, model.window, [model.base, model.predicted?.at, model.check]
            .filter(Boolean).map(at)),
          arrow(model, at),
          spread(model.predicted, view, at),
          ["base", "predicted", "check"]
            .map((key) => symbol(key, key === "predicted" ? model.predicted?.at : model[key], at))),
        svg("rect", { "class": "map-frame", "x": LEFT, "y": TOP, "width": PLOT, "height": PLOT }),
        svg("text", { "class": "map-small-axis", "font-size": 13, "text-anchor": "middle",
          "transform": `translate(14 ${TOP + PLOT / 2}) rotate(-90)`, "text": t("maps.up") }),
        words(LEFT, TOP + PLOT + 15, 13, t("maps.out"), "map-small-axis", "start"),
        words(LEFT + PLOT, TOP + PLOT + 15, 13, t("maps.in"), "map-small-axis", "end")));
  }

  /** The box is named over it, and never across a line. */
  #windowName(view, window, points) {
    const box = windowBox(view, window);
    if (!box) return null;
    const text = this.#t("maps.window");
    const [x, y] = inside([box.x + box.width / 2, box.y]);
    const half = (text.length * NAME_PX * NAME_EM) / 2;
    const middle = Math.min(Math.max(x, LEFT + half + 4), LEFT + PLOT - half - 4);
    // clear of the edges and of what was read, over the box or else under it; within a tall box only its upright edges
    // stop at the words: an edge that is not drawn means a window without that limit
    const [first, last] = [TOP + NAME_PX + 2, TOP + PLOT - 6];
    const bottom = y + box.height * SCALE;
    const [over, under] = [y - 6, bottom + NAME_PX + 4];
    const lines = [over, under].filter((line) => line >= first - 2 && line <= last);
    const isFree = (line) => !points.some(([px, py]) => Math.abs(px - middle) < half + POINT_PX
      && py > line - NAME_PX - POINT_PX && py < line + 4 + POINT_PX);
    const line = lines.find(isFree) ?? [y + NAME_PX + 6, bottom - 8].find(isFree) ?? lines[0] ?? first;
    return [
      svg("rect", { class: "map-name-back", x: middle - half - 2, y: line - NAME_PX, width: 2 * half + 4,
        height: NAME_PX + 4 }),
      words(middle, line, NAME_PX, text, "map-small-name"),
    ];
  }

  #description(model) {
    if (!model.base) return "";
    const table = element("table", {}, mapTable(model, this.#t, this.#say));
    return [...table.querySelectorAll("tbody tr")]
      .map((row) => [...row.cells].map((cell) => cell.textContent.trim()).join(": ")).join("; ");
  }
}

/** From the plot of the large map to the small one. */
function inside([x, y]) {
  return [LEFT + (x - FRAME.left) * SCALE, TOP + (y - FRAME.top) * SCALE];
}

function windowShape(view, window) {
  const box = windowBox(view, window);
  if (!box) return null;
  const [x, y] = inside([box.x, box.y]);
  const [width, height] = [box.width * SCALE, box.height * SCALE];
  const ends = { left: [x, y, x, y + height], right: [x + width, y, x + width, y + height], top: [x, y, x + width, y],
    bottom: [x, y + height, x + width, y + height] };
  return [
    svg("rect", { class: "map-window", x, y, width, height }),
    box.edges.map((edge) => svg("line", { class: "map-edge", x1: ends[edge][0], y1: ends[edge][1], x2: ends[edge][2],
      y2: ends[edge][3] })),
  ];
}

/** From before to planned, with a head so that the way is seen without a colour. */
function arrow({ base, predicted }, at) {
  if (!base || !predicted?.pair) return null;
  const [from, to] = [at(base), at(predicted.at)];
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  if (length < 16) return null;
  const [dx, dy] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
  const end = [to[0] - dx * 8, to[1] - dy * 8];
  const wing = (turn) => `${end[0] - 9 * dx + turn * 5 * dy} ${end[1] - 9 * dy - turn * 5 * dx}`;
  return svg("g", { class: "map-arrow" },
    svg("line", { x1: from[0] + dx * 8, y1: from[1] + dy * 8, x2: end[0] - dx * 6, y2: end[1] - dy * 6 }),
    svg("path", { d: `M${end[0]} ${end[1]}L${wing(1)}L${wing(-1)}Z` }));
}

function spread(predicted, view, at) {
  if (!predicted?.covariance) return null;
  const [x, y] = at(predicted.at);
  const { along, across, turn_deg } = spreadEllipse(predicted.covariance);
  const scale = PLOT / view.span;
  return svg("ellipse", { class: "map-spread", cx: x, cy: y, rx: along * scale, ry: across * scale,
    transform: `rotate(${turn_deg.toFixed(3)} ${x} ${y})` });
}

function symbol(key, reading, at) {
  if (!reading) return null;
  const [x, y] = at(reading);
  return svg("g", { "class": "map-symbol", "data-key": `map-${key}`, "transform": `translate(${x} ${y}) scale(0.85)` },
    symbolShape(key));
}

function keySymbol(key) {
  const node = svg("svg", { viewBox: "-12 -12 24 24", class: "drawing map-key", "aria-hidden": "true" });
  if (key === "dots") node.append(svg("path",
    { class: "map-dots sparse", d: "M-8 -6h0M-2 -7h0M5 -5h0M-6 0h0M1 0h0M8 1h0M-8 7h0M-1 6h0M5 7h0" }));
  else node.append(...symbolShape(key));
  return node;
}
