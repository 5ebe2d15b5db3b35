/**
 * The ring drawing: both rings with all marks as the person at that wheel sees them, the two marks that meet at the
 * top, thick points, bolts and clearances, and the same in words. It computes no angle: domain/rings/ring-drawing.js does.
 */

import { halfTurn } from "../../domain/numbers/arithmetic.js";
import { BOLT_SIGN, ringDrawing } from "../../domain/rings/ring-drawing.js";
import { element, fill, freshId } from "../parts/element.js";
import { more } from "../parts/more.js";
import { ringWords } from "./ring-words.js";
import { drawing, svg } from "../parts/svg.js";
import { sideSigns, topSign, words } from "./wheel-signs.js";

const STRIP_SCALE = 3;

export class RingDrawing {
  #t;
  #inside;

  /** @param {{t: function, isFolded?: boolean}} options folded: strip and words stand in `more`, behind a tap, and the ring picture comes first */
  constructor({ t, isFolded = false }) {
    this.#t = t;
    this.element = element("div", { class: `ring-drawing${isFolded ? " first" : ""}`, key: "ring-drawing" });
    this.#inside = element("div", { class: "stack" });
    this.more = isFolded ? more({ label: t("drawing.more"), key: "drawing-more" }, this.#inside) : null;
  }

  /**
   * @param {{side: "left"|"right", ringSet: object, pair: number[], bolts: number[][],
   *   clearance_mm: number|null}} model pair = [mark of the inner ring, mark of the outer ring] at the top; bolts as
   *   [radius in mm, clock in degrees from the top towards the rear]
   */
  update(model) {
    const t = this.#t;
    const geometry = ringDrawing(model);
    const [inner, outer] = model.pair;
    fill(this.element,
      element("p", { class: "drawing-side", key: "drawing-side", text: t(`drawing.side.${model.side}.wheel`) }),
      element("p", { class: "drawing-meets", key: "drawing-meets" },
        element("span", { class: "drawing-figures", text: t("drawing.meets", { inner, outer }) }), " ",
        element("span", { class: "drawing-at-top", text: t("drawing.at-top") })),
      this.more ? wholeRing(geometry, t) : [strip(geometry, t), wholeRing(geometry, t), ringWords(geometry, t)]);
    if (this.more) fill(this.#inside, strip(geometry, t), ringWords(geometry, t));
  }
}

function wholeRing(geometry, t) {
  const { unit: u, rim_mm, rings, bolts, stack, side } = geometry;
  const half = rim_mm + 34 * u;
  const top = rim_mm + 62 * u, bottom = half + 24 * u;
  return drawing(
    {
      kind: "ring-picture", left: -half, top: -top, width: 2 * half, height: top + bottom,
      title: t("drawing.title", { side: t(`drawing.side.${side}`) }),
      description: t("drawing.description", { inner: rings[0].markAtTop, outer: rings[1].markAtTop }),
    },
    rings.map((ring) => svg("circle", { class: "ring-body", r: ring.rim_mm, "data-rim": ring.name })),
    svg("circle", { class: "ring-bore", r: Math.min(...rings.map((ring) => ring.bore_mm)) }),
    rings[0].bore_mm !== rings[1].bore_mm && svg("circle", { class: "ring-edge", r: Math.max(...rings.map((ring) => ring.bore_mm)) }),
    stackWedge(stack, rings, u, t),
    bolts.map((bolt) => slot(bolt)),
    bolts.map((bolt) => boltSign(bolt, u)),
    rings.map((ring) => scale(ring, u)),
    thickSigns(rings, rim_mm, u, t),
    svg("line", { class: "witness-line", "stroke-width": 3.2 * u, x1: 0, x2: 0, y1: -rim_mm - 4 * u, y2: -rim_mm + 4 * u }),
    topSign(rim_mm, u, t),
    sideSigns(side, half, rim_mm + 39 * u, u, t),
    rings.map(({ name }) => scaleName(name, half, u, t)),
    words(0, bottom - 5 * u, 16 * u, t(`drawing.side.${side}.wheel`), "ring-side"));
}

// In the lower corners, which ring's numbers stand where: the outer ring's outside the rim, the inner ring's inside.
function scaleName(name, half, u, t) {
  const at = name === "outer" ? { "x": -half + 2 * u, "text-anchor": "start" } : { "x": half - 2 * u, "text-anchor": "end" };
  return ["where", "ring"].map((line, n) => svg("text", {
    ...at, "class": "thick-name", "data-scale": name, "font-size": 8.6 * u, "y": half - (8 - 10 * n) * u, "text": t(`drawing.scale.${name}.${line}`),
  }));
}

// Marks and numbers of one ring; on a face that looks away the ticks are dashed and the numbers hollow.
function scale(ring, u) {
  const away = ring.looks === "inboard" ? " away" : "";
  return svg("g", { class: `ring-scale${away}`, "data-ring": ring.name },
    ring.marks.map(({ mark, kind, at, tickEnd }) => svg("line", {
      class: `ring-tick ${kind}`, "stroke-width": (kind === "top" ? 1.8 : kind === "plain" ? 0.8 : 1.3) * u, "data-mark": String(mark),
      "stroke-dasharray": away ? `${1.4 * u} ${1.1 * u}` : null,
      x1: at[0], y1: -at[1], x2: tickEnd[0], y2: -tickEnd[1],
    })),
    ring.marks.filter(({ numbered }) => numbered).map(({ mark, kind, numberAt: [x, y] }) => {
      const size = (kind === "top" ? 12 : 8.4) * u;
      return [
        kind === "top" && svg("rect", { class: "top-box", "stroke-width": 1.2 * u, x: x - (String(mark).length * 3.7 + 2) * u, width: (String(mark).length * 7.4 + 4) * u, y: -y - 6.2 * u, height: 12.4 * u, rx: 1.5 * u }),
        words(x, -y + size * 0.36, size, String(mark), `ring-number ${kind}`),
      ];
    }),
    svg("circle", { class: "thick-point", "data-thick": ring.name, cx: ring.thick.at[0], cy: -ring.thick.at[1], r: 1.9 * u }));
}

function boltSign({ number, at: [x, y], numberAt: [nx, ny], crowded }, u) {
  return svg("g", { class: "bolt", "data-bolt": String(number) },
    crowded && svg("circle", { class: "bolt-number-ground", cx: nx, cy: -ny, r: BOLT_SIGN * u }),
    svg("circle", { class: "bolt-head", "stroke-width": 1.2 * u, cx: x, cy: -y, r: (crowded ? 3.6 : BOLT_SIGN) * u }),
    words(nx, -ny + 3.1 * u, 8.6 * u, String(number), "bolt-number"));
}

function slot({ number, cut }) {
  if (!cut) return null;
  const { start, wall, farWall, end, half_mm } = cut.outline;
  const [a, b, c, d] = [start, wall, farWall, end].map(([x, y]) => `${x.toFixed(3)} ${(-y).toFixed(3)}`);
  return svg("path", { class: "ring-cut", "data-cut": String(number), d: `M${a}L${b}A${half_mm} ${half_mm} 0 0 0 ${c}L${d}` });
}

// The stack's wedge, wrapped round the bore: broadest where the stack is thickest, nothing opposite. No arrow anywhere.
function stackWedge({ thick }, rings, u, t) {
  if (!thick) return null;
  const radius = 0.93 * Math.min(...rings.map((ring) => ring.bore_mm));
  const turn = screenTurn(thick.at);
  const along = (share) => [Math.sin(turn) * radius * share, -Math.cos(turn) * radius * share];
  const circle = (r, [x, y]) => `M${x - r} ${y}a${r} ${r} 0 0 0 ${2 * r} 0a${r} ${r} 0 0 0 ${-2 * r} 0z`;
  const [x, y] = along(0.24), [thinX, thinY] = along(-0.66);
  return svg("g", { class: "stack-thick" },
    svg("path", { class: "wedge", "fill-rule": "evenodd", d: circle(radius, [0, 0]) + circle(radius * 0.8, along(-0.2)) }),
    svg("circle", { class: "thick-anchor", "data-thick": "stack", cx: thick.at[0], cy: -thick.at[1], r: 0 }),
    words(x, y - 0.6 * u, 8.4 * u, t("drawing.thick.stack"), "thick-name"),
    words(x, y + 8 * u, 8.4 * u, t("drawing.thick.word"), "thick-name"),
    words(thinX, thinY + 3 * u, 8.4 * u, t("drawing.thin.word"), "thick-name"));
}

// Each ring's thick point: a crescent outside the numbers that is broadest there, and its name along the arc.
function thickSigns(rings, rim_mm, u, t) {
  const turns = rings.map((ring) => screenTurn(ring.thick.at));
  const apart = halfTurn(turns[1] - turns[0], 2 * Math.PI);
  const together = Math.abs(apart) < (4 * Math.PI) / 180;
  const names = together ? [t("drawing.thick.both")] : rings.map((ring) => t(`drawing.thick.${ring.name}`));
  const radius = rim_mm + 25.5 * u;
  const widths = names.map((name) => (name.length * 5.4 * u + 5 * u) / radius);
  const wanted = together ? 0 : (widths[0] + widths[1]) / 2;
  const push = together ? 0 : Math.max(0, wanted - Math.abs(apart)) / 2;
  const sign = apart < 0 ? -1 : 1;
  const places = together ? [turns[0]] : [turns[0] - sign * push, turns[1] + sign * push];
  return [
    (together ? rings.slice(0, 1) : rings).map((ring, n) => svg("path", { class: `crescent ${ring.name}`, d: crescent(turns[n], rim_mm + 17.5 * u, 6.5 * u), "stroke-width": 0.9 * u })),
    names.map((name, n) => alongArc(name, places[n], radius, 8.6 * u)),
  ];
}

function crescent(turn, radius, height) {
  const steps = Array.from({ length: 25 }, (_, n) => (n - 12) / 12);
  const at = (r, angle) => `${(r * Math.sin(angle)).toFixed(3)} ${(-r * Math.cos(angle)).toFixed(3)}`;
  const outside = steps.map((share) => at(radius + height * Math.cos((share * Math.PI) / 2), turn + share * 0.26));
  const inside = steps.map((share) => at(radius, turn + share * 0.26)).reverse();
  return `M${[...outside, ...inside].join("L")}Z`;
}

function alongArc(text, turn, radius, size) {
  const upright = Math.cos(turn) > -0.2;
  const r = upright ? radius : radius + size * 0.72;
  const [from, to] = upright ? [turn - 0.9, turn + 0.9] : [turn + 0.9, turn - 0.9];
  const at = (angle) => `${(r * Math.sin(angle)).toFixed(3)} ${(-r * Math.cos(angle)).toFixed(3)}`;
  const id = freshId("arc");
  return [
    svg("path", { id, class: "no-ink", d: `M${at(from)}A${r} ${r} 0 0 ${upright ? 1 : 0} ${at(to)}` }),
    svg("text", { class: "thick-name", "font-size": size }, svg("textPath", { href: `#${id}`, startOffset: "50%", "text-anchor": "middle", text })),
  ];
}

// The top of both rims, enlarged: the marks that meet, and which way the numbers run on either side of them.
function strip({ rings, rim_mm, unit: u, side }, t) {
  const half = rim_mm + 34 * u, height = 92 * u;
  return drawing(
    {
      kind: "ring-strip", left: -half, top: -height / 2, width: 2 * half, height,
      title: t("drawing.strip.title", { side: t(`drawing.side.${side}`) }),
      description: t("drawing.description", { inner: rings[0].markAtTop, outer: rings[1].markAtTop }),
    },
    svg("line", { class: "ring-edge", "stroke-width": 1.2 * u, x1: -half, x2: half, y1: 0, y2: 0 }),
    rings.map((ring) => stripHalf(ring, half, u, t)),
    svg("line", { class: "witness-line", "stroke-width": 4 * u, x1: 0, x2: 0, y1: -10 * u, y2: 10 * u }));
}

function stripHalf(ring, half, u, t) {
  const up = ring.name === "outer" ? -1 : 1; // outwards is up
  const away = ring.looks === "inboard";
  const shown = ring.marks.filter(({ at: [x, y] }) => y > 0 && Math.abs(x * STRIP_SCALE) < half - 11 * u);
  const digits = Math.max(...shown.map(({ mark }) => String(mark).length));
  const spacing = ((2 * Math.PI) / ring.marks.length) * Math.hypot(...ring.marks[0].at) * STRIP_SCALE;
  const every = Math.ceil(((digits * 8.6 + 8) * u) / spacing);
  return svg("g", { class: `ring-scale${away ? " away" : ""}`, "data-strip": ring.name },
    shown.map(({ mark, kind, at: [x] }) => {
      const place = x * STRIP_SCALE, top = kind === "top", size = (top ? 18 : 13) * u;
      return [
        svg("line", { class: `ring-tick ${kind}`, "stroke-width": (top ? 2.4 : 1.2) * u, "stroke-dasharray": away ? `${2 * u} ${1.4 * u}` : null, x1: place, x2: place, y1: 0, y2: up * 9 * u }),
        top && svg("rect", { class: "top-box", "stroke-width": 1.6 * u, x: place - (String(mark).length * 5.6 + 2) * u, width: (String(mark).length * 11.2 + 4) * u, y: up * 21 * u - 9.5 * u, height: 19 * u, rx: 2 * u }),
        (mark - ring.markAtTop) % every === 0 && words(place, up * 21 * u + size * 0.36, size, String(mark), `ring-number hollow ${kind}`),
      ];
    }),
    words(0, up * 38 * u + 3 * u, 9 * u, t(`drawing.strip.${ring.name}.${ring.looks}`), "strip-name"));
}

function screenTurn([x, y]) {
  return Math.atan2(x, y);
}
