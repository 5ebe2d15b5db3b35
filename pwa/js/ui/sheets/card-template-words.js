/** How to make a card template from a rubbing of the flange, step by step, with the lengths for this wheel's pair. */

import { cardTemplate } from "../../domain/fit/card-template.js";
import { element } from "../parts/element.js";
import { more } from "../parts/more.js";

/** @param {{app: App, fitting: {side, ringSet, pair, bolts}}} options */
export function cardTemplateWords({ app, fitting }) {
  const { t } = app;
  const mm = (length) => t("fitting.mm", { length: t.number(length, 0, 1) });
  const place = ({ way, chord_mm }) => t(`fitting.card.place.${way}`, { chord: mm(chord_mm) });
  const { rings, bolts } = cardTemplate(fitting);
  return more({ label: t("fitting.card"), key: "card-template" },
    element("ol", { class: "stack numbered" },
      ["rub", "top", "face"].map((step) =>
        element("li", { text: t(`fitting.card.${step}`, { side: t(`ui.side.${fitting.side}`) }) })),
      rings.map((ring) => element("li",
        { text: t("fitting.card.ring",
          { ring: t(`fitting.ring.${ring.name}`), outer: mm(ring.outer_mm), bore: mm(ring.bore_mm), mark: ring.mark,
            thick: place(ring.thick) }) })),
      bolts.map((bolt) => element("li", { text: [
        t("fitting.card.bolt", { number: bolt.number, radius: mm(bolt.radius_mm), place: place(bolt.place) }),
        bolt.hole_mm && t("fitting.card.hole",
          { width: mm(bolt.hole_mm), inner: bolt.between.inner.join("–"), outer: bolt.between.outer.join("–") }),
      ].filter(Boolean).join(" ") })),
      element("li", { text: t("fitting.card.compare") })),
    bolts.length === 0 && element("p", { text: t("fitting.card.no-bolts") }));
}
