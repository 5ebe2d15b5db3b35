/**
 * A flange with its bolts as the person at that wheel sees it, in units of a fixed sheet, so that signs keep their
 * size whatever the flange measures. The drawings of tightening and of something between the faces stand on it.
 */

import { seenAt } from "../../domain/rings/placement.js";
import { drawing, svg } from "../parts/svg.js";
import { sideSigns, topSign, words } from "./wheel-signs.js";

/** Radius of the flange on the sheet and half the sheet's width. */
export const FACE = { rim: 74, half: 92 };

/** mm to units of the sheet, so that the outermost bolt's sign stays on the flange. */
export function scaleOf(bolts, rim_mm) {
  const reach_mm = Math.max(rim_mm ?? 0, ...bolts.map(([radius_mm]) => radius_mm * 1.3), 1);
  return FACE.rim / reach_mm;
}

/** Places of the bolts on the sheet, y down. */
export function boltPlaces(side, bolts, scale) {
  return bolts.map(([radius_mm, clock_deg]) => {
    const [x, y] = seenAt(side, radius_mm * scale, (clock_deg * Math.PI) / 180);
    return [x, -y];
  });
}

/** The sheet: flange, signs and side; `children` are drawn on the flange. */
export function wheelFace({ side, kind, title, description, t }, ...children) {
  const { rim, half } = FACE;
  const top = rim + 38;
  return drawing(
    { kind: `wheel-face ${kind}`, left: -half, top: -top, width: 2 * half, height: top + rim + 28, title, description },
    svg("circle", { class: "ring-body", r: rim }),
    children,
    topSign(rim - 26, 1, t),
    sideSigns(side, half, rim + 14, 1, t),
    words(0, rim + 22, 15, t(`drawing.side.${side}.wheel`), "ring-side"));
}
