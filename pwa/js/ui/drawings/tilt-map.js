/**
 * The tilt map: a plain plot of one wheel's camber and toe with the window, the base reading (disc), everything the
 * rings can reach (dots), the prediction (square) with its spread (ellipse) and the check reading (cross).
 * It zooms, pans and reports the point that was tapped; it never chooses and never saves.
 */

import {
  FRAME, SHEET, axisTicks, dotsPath, namesBeside, nearestPoint, panned, placeOf, readingAt, spreadEllipse, viewOfAll,
  windowBox, zoomed,
} from "../../domain/rings/tilt-map.js";
import { button, element, fill, freshId } from "../parts/element.js";
import { degreesText, mapTable, symbolShape, wordsInDegrees } from "./tilt-map-words.js";
import { svg } from "../parts/svg.js";

const CLOSER = 1 / 1.6;
const PAN_SHARE = 0.25;
const TAP_REACH = 44; // units of the drawing: a gloved fingertip beside the cloud still means its edge
const SPARSE_PATH = 9000; // characters: with few dots in view there is room for bigger ones
const NAME = { size: 15, perLetter: 8.6 };

export class TiltMap {
  #t; #onTry; #words; #model = null; #view = null; #dots = { key: [], node: null }; #pinch = null;
  #plot; #layers; #title; #description; #table; #said;

  /**
   * @param {{t: function, onTry?: function({ring_set: string, pair: number[], effect: number[]}),
   *   words?: function(string, number): string}} options `words(quantity, mdeg)` writes "camber" or "toe" in the
   *   technician's unit; default: degrees
   */
  constructor({ t, onTry = null, words = wordsInDegrees(t) }) {
    this.#t = t;
    this.#onTry = onTry;
    this.#words = words;
    this.#title = svg("title", { id: freshId("map-title") });
    this.#description = svg("desc", { id: freshId("map-text") });
    // A touch belongs to the node under the finger; every redraw replaces the layers, so the plot itself must be that
    // node.
    this.#layers = svg("g", { "pointer-events": "none" });
    this.#plot = svg("svg", {
      viewBox: `0 0 ${SHEET.width} ${SHEET.height}`, class: "drawing tilt-map", role: "img", "data-key": "tilt-map",
      "aria-labelledby": this.#title.id, "aria-describedby": this.#description.id,
    }, this.#title, this.#description, this.#layers);
    this.#table = element("table", { class: "map-table" });
    this.#said = element("p", { class: "map-said", role: "status" });
    this.element = element("div", { class: "map" }, this.#plot, this.#buttons(), this.#said, this.#table);
    this.#listen();
  }

  /**
   * Draws the model (see the module's first lines for the symbols); keeps the zoom while only the pair tried changes.
   */
  update(model) {
    const before = this.#model;
    this.#model = model;
    const same = before && ["side", "base", "window", "check"]
      .every((key) => String(JSON.stringify(before[key])) === String(JSON.stringify(model[key])));
    if (!same) this.#view = viewOfAll(model);
    this.#said.textContent = "";
    this.#title.textContent = this.#t("map.title", { side: this.#t(`drawing.side.${model.side}`) });
    fill(this.#table, mapTable(model, this.#t, this.#words));
    this.#description.textContent = [...this.#table.querySelectorAll("tr")].slice(1)
      .map((row) => [...row.cells].map((cell) => cell.textContent.trim()).join(": ")).join("; ");
    this.#draw();
  }

  /** Goes back to the view that shows everything. */
  showAll() {
    this.#show(viewOfAll(this.#model));
  }

  #buttons() {
    const press = (key, label, change) => button({
      key: `map-${key}`, label, name: this.#t(`map.${key}`), kind: "map-button",
      onPress: () => this.#model && this.#show(change(this.#view)),
    });
    return element("div", { class: "map-buttons", role: "group", "aria-label": this.#t("map.controls") },
      press("closer", "+", (view) => zoomed(view, CLOSER, this.#held())),
      press("wider", "−", (view) => zoomed(view, 1 / CLOSER, this.#held())),
      press("all", this.#t("map.all"), () => viewOfAll(this.#model)),
      this.#onTry && button({ key: "map-middle", label: this.#t("map.middle"), kind: "map-button",
        onPress: () => this.#model && this.#try([this.#view.camber, this.#view.toe]) }),
      press("left", "←", (view) => panned(view, 0, -PAN_SHARE)),
      press("right", "→", (view) => panned(view, 0, PAN_SHARE)),
      press("up", "↑", (view) => panned(view, PAN_SHARE, 0)),
      press("down", "↓", (view) => panned(view, -PAN_SHARE, 0)));
  }

  // What stays in place while a button enlarges: what the person looks at, as long as it is in view.
  #held() {
    const { predicted, check } = this.#model;
    return [predicted?.at, check].find((reading) => reading && inPlot(placeOf(this.#view, reading)));
  }

  #listen() {
    this.#plot.addEventListener("click", (event) => this.#model
      && this.#try(readingAt(this.#view, this.#placeOfEvent(event))));
    this.#plot.addEventListener("touchstart", (event) => this.#pinchFrom(event), { passive: false });
    this.#plot.addEventListener("touchmove", (event) => this.#pinchTo(event), { passive: false });
    for (const end of ["touchend", "touchcancel"]) this.#plot.addEventListener(end, () => { this.#pinch = null; });
  }

  #placeOfEvent({ clientX, clientY }) {
    const { x, y } = new DOMPoint(clientX, clientY).matrixTransform(this.#plot.getScreenCTM().inverse());
    return [x, y];
  }

  #try(reading) {
    if (!this.#onTry) return;
    const { tables, base } = this.#model;
    const point = nearestPoint(tables, base, reading, (TAP_REACH * this.#view.span) / FRAME.size);
    if (!point) {
      this.#said.textContent = this.#t("map.nothing-there");
      return;
    }
    this.#onTry(point);
    this.#said.textContent = this.#t("map.tried", { inner: point.pair[0], outer: point.pair[1] });
  }

  // One finger scrolls the page as everywhere; two fingers belong to the plot.
  #pinchFrom(event) {
    if (event.touches.length !== 2 || !this.#model) return;
    event.preventDefault();
    this.#pinch = { view: this.#view, from: this.#fingers(event) };
  }

  #pinchTo(event) {
    if (!this.#pinch || event.touches.length !== 2) return;
    event.preventDefault();
    const { view, from } = this.#pinch;
    const to = this.#fingers(event);
    const held = readingAt(view, from.middle);
    const scaled = zoomed(view, from.apart / to.apart, held);
    const [camber, toe] = readingAt(scaled, to.middle);
    this.#show({ ...scaled, camber: scaled.camber + held[0] - camber, toe: scaled.toe + held[1] - toe });
  }

  #fingers({ touches }) {
    const [[ax, ay], [bx, by]] = [...touches].map((touch) => this.#placeOfEvent(touch));
    return { middle: [(ax + bx) / 2, (ay + by) / 2], apart: Math.max(1, Math.hypot(ax - bx, ay - by)) };
  }

  #show(view) {
    this.#view = view;
    this.#draw();
  }

  #draw() {
    const { left, top, size } = FRAME;
    const clip = freshId("map-clip");
    this.#layers.replaceChildren(
      svg("clipPath", { id: clip }, svg("rect", { x: left, y: top, width: size, height: size })),
      this.#axes(),
      svg("g", { "clip-path": `url(#${clip})` }, this.#window(), this.#dotsNow(), this.#spread(), this.#symbols()),
      svg("rect", { class: "map-frame", x: left, y: top, width: size, height: size }),
      ...this.#names());
  }

  #dotsNow() {
    const { base, tables } = this.#model;
    const key = [...tables, ...base, this.#view];
    if (key.length !== this.#dots.key.length || key.some((part, n) => part !== this.#dots.key[n])) {
      const path = dotsPath(this.#view, base, tables);
      this.#dots = { key, node: svg("path",
        { class: path.length < SPARSE_PATH ? "map-dots sparse" : "map-dots", d: path }) };
    }
    // the node itself is kept too: reading thousands of dots anew takes longer than all the rest
    return this.#dots.node;
  }

  #axes() {
    const { left, top, size } = FRAME;
    const { camber, toe } = axisTicks(this.#view);
    const across = (x, y, text, anchor, kind = "map-tick") =>
      svg("text", { x, y, "text-anchor": anchor, class: kind, text });
    // Which way stands in whole words under the number: "in" beside a number would be read as inches.
    const tick = (quantity, mdeg, step, [x, y], anchor) => [
      across(x, y, degreesText(this.#t, mdeg, step), anchor),
      mdeg !== 0 && across(x, y + 14, this.#t(`map.${quantity}.${mdeg > 0 ? "plus" : "minus"}-tick`), anchor),
    ];
    const middle = left + size / 2;
    return svg("g", {},
      camber.values.map((mdeg) => {
        const y = placeOf(this.#view, [mdeg, 0])[1];
        return [
          svg("line", { class: mdeg === 0 ? "map-zero" : "map-grid", x1: left, x2: left + size, y1: y, y2: y }),
          tick("camber", mdeg, camber.step, [left - 5, mdeg === 0 ? y + 5 : y - 10], "end"),
        ];
      }),
      toe.values.map((mdeg) => {
        const x = placeOf(this.#view, [0, mdeg])[0];
        const labelled = mdeg % (toe.step * toe.every) === 0 && x < left + size - 30;
        return [
          svg("line", { class: mdeg === 0 ? "map-zero" : "map-grid", x1: x, x2: x, y1: top, y2: top + size }),
          labelled && tick("toe", mdeg, toe.step, [x, top + size + 18], "middle"),
        ];
      }),
      across(left, 18, this.#t("map.camber.axis"), "start", "map-axis"),
      across(middle, SHEET.height - 26, this.#t("map.toe.axis"), "middle", "map-axis"),
      across(left, SHEET.height - 6, this.#t("map.toe.minus-way"), "start", "map-axis"),
      across(left + size, SHEET.height - 6, this.#t("map.toe.plus-way"), "end", "map-axis"),
      this.#onTry && [[middle, top, "M-6 0h12l-6 8z"], [middle, top + size, "M-6 0h12l-6 -8z"],
        [left, top + size / 2, "M0 -6v12l8 -6z"], [left + size, top + size / 2, "M0 -6v12l-8 -6z"]]
        .map(([x, y, d]) => svg("path", { class: "map-middle", d, transform: `translate(${x} ${y})` })));
  }

  #window() {
    const box = windowBox(this.#view, this.#model.window);
    if (!box) return null;
    const { x, y, width, height, edges } = box;
    const ends = { left: [x, y, x, y + height], right: [x + width, y, x + width, y + height], top: [x, y, x + width, y],
      bottom: [x, y + height, x + width, y + height] };
    return svg("g", { "data-key": "map-window" },
      svg("rect", { class: "map-window", x, y, width, height }),
      edges.map((edge) => svg("line", { class: "map-edge", x1: ends[edge][0], y1: ends[edge][1], x2: ends[edge][2],
        y2: ends[edge][3] })));
  }

  #spread() {
    const { predicted } = this.#model;
    if (!predicted?.covariance) return null;
    const [x, y] = placeOf(this.#view, predicted.at);
    const { along, across, turn_deg } = spreadEllipse(predicted.covariance);
    const scale = FRAME.size / this.#view.span;
    const shape = (kind) => svg("ellipse",
      { class: kind, cx: x, cy: y, rx: along * scale, ry: across * scale,
        transform: `rotate(${turn_deg.toFixed(3)} ${x} ${y})` });
    return [shape("map-spread-halo"), shape("map-spread")];
  }

  #readings() {
    const { base, predicted, check } = this.#model;
    return [["base", base], ["predicted", predicted?.at], ["check", check]].filter(([, at]) => at)
      .map(([key, at]) => ({ key, at: placeOf(this.#view, at) }));
  }

  #symbols() {
    return this.#readings().map(({ key, at: [x, y] }) =>
      svg("g", { class: "map-symbol", "data-key": `map-${key}`, transform: `translate(${x} ${y})` }, symbolShape(key)));
  }

  #names() {
    const named = this.#readings().map(({ key, at }) => {
      const text = this.#t(`map.${key}`);
      return { key, at, text, radius: 11, width: text.length * NAME.perLetter, height: NAME.size + 3 };
    });
    return namesBeside(named.filter(({ at }) => inPlot(at))).map(({ key, x, y }) => {
      const { text, width } = named.find((name) => name.key === key);
      return svg("text", { class: "map-name", x: x + width / 2, y: y + NAME.size - 1, "text-anchor": "middle", text });
    });
  }
}

function inPlot([x, y]) {
  return x >= FRAME.left && y >= FRAME.top && x <= FRAME.left + FRAME.size && y <= FRAME.top + FRAME.size;
}
