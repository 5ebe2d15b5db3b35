/** The signs that every drawing of a wheel carries: its top, and where the vehicle's front and rear are. */

import { svg } from "../parts/svg.js";

/** The sign over a wheel that says where its top is; `rim_mm` is the radius that it stands above. */
export function topSign(rim_mm, u, t) {
  return svg("g", { class: "top-sign" },
    svg("path", { d: `M${-7 * u} ${-rim_mm - 45 * u}h${14 * u}l${-7 * u} ${8.5 * u}z` }),
    words(0, -rim_mm - 48 * u, 14 * u, t("drawing.top"), "sign"));
}

/**
 * FRONT and REAR at the sides where they are for the person who looks at that wheel from outside.
 * @param {"left"|"right"} side the wheel; the vehicle's front is on the viewer's left at the left wheel
 */
export function sideSigns(side, half, y, u, t) {
  return ["left", "right"].map((place) => {
    const sign = place === "left" ? -1 : 1;
    const arrow = `M${sign * half} ${-y}l${-sign * 9 * u} ${-6 * u}v${12 * u}z`;
    return svg("g", { class: "side-sign", "data-place": place },
      svg("path", { d: arrow }),
      words(sign * (half - 12 * u), -y + 4.5 * u, 12.5 * u, t(place === side ? "drawing.front" : "drawing.rear"),
        "sign", place === "left" ? "start" : "end"));
  });
}

/** One line of text about a point. */
export function words(x, y, size, text, kind, anchor = "middle") {
  return svg("text", { x, y, "font-size": size, "text-anchor": anchor, class: kind, text });
}
