/** The proof of one wheel: size and turn, causes, where something between the faces would sit, and the tilt map with all three. */

import { covarianceOf } from "../domain/chance.js";
import { completeSpread } from "../domain/choose-input.js";
import { boltsOf } from "../domain/fit-request.js";
import { baseOf, windowOf } from "../domain/job.js";
import { causesPart, lookAtPart, sizeAndTurn } from "./cause-words.js";
import { element } from "./element.js";
import { GapDrawing } from "./gap-drawing.js";
import { remark } from "./signal.js";
import { TiltMap } from "./tilt-map.js";

/**
 * @param {{app: App, job: JobModel, round: number, side: string, proof: Object, plan: Object, check: number[], table: Object,
 *   nameOf: function(string): string}} options
 */
export function wheelProof(options) {
  const { app: { t }, app, side, proof, nameOf } = options;
  return element("section", { class: "sheet stack", key: `proof-${side}` },
    element("h2", { text: t("proof.wheel", { side: t(`ui.side.${side}`) }) }),
    sizeAndTurn({ app, proof }),
    !proof.explained && remark({ name: "warning", text: t("proof.unexplained") }),
    causesPart({ app, proof, nameOf }),
    gap(options),
    lookAtPart({ app, proof }),
    map(options));
}

const CLEARLY_SDS = 3;

/** A wheel whose pair came out and that got none: there is no change of rings to weigh, only whether it reads as without them. */
export function bareProof({ app: { t }, job, round, side, body, check }) {
  const base = baseOf(job.fold, round)[side];
  const isOff = ["camber", "toe"].some((part, at) =>
    Math.abs(check[side][part] - body.plan.predicted[side][at]) > CLEARLY_SDS * Math.hypot(base[`${part}_sd`], check[side][`${part}_sd`]));
  return element("section", { class: "sheet stack", key: `proof-${side}` },
    element("h2", { text: t("proof.wheel", { side: t(`ui.side.${side}`) }) }),
    remark(isOff ? { name: "warning", text: t("proof.bare.off") } : { name: "inside", text: t("proof.bare") }));
}

function gap({ app: { t }, job, side, proof }) {
  if (!proof.between_faces || !proof.groups[0].includes("between-faces")) return null;
  const { clock_deg, far_edge_mm, centre_mm, diameter_mm } = proof.between_faces;
  const drawing = new GapDrawing({ t });
  drawing.update({ side, clock_deg, far_edge_mm, centre_mm, flange_diameter_mm: diameter_mm, bolts: boltsOf(job.fold)?.at ?? [] });
  return drawing.element;
}

function map({ app: { t }, job, round, side, plan, check, table }) {
  const details = element("details", { class: "more", key: `proof-map-${side}` },
    element("summary", { class: "button quiet" }, element("span", { class: "button-label", text: t("ui.choose.map", { side: t(`ui.side.${side}`) }) })));
  details.addEventListener("toggle", () => {
    const widget = new TiltMap({ t });
    details.append(widget.element);
    widget.update(mapModel({ fold: job.fold, round, side, plan, check, table }));
  }, { once: true });
  return details;
}

/** What the tilt map of one wheel shows after fitting: base, window, prediction with its spread, check reading. */
export function mapModel({ fold, round, side, plan, check, table }) {
  const base = baseOf(fold, round);
  const fitted = plan[side] && table ? { ringSet: table.ring_set, pair: plan[side].pair, effect: plan[side].effect } : null;
  const spread = completeSpread({});
  const covariance = covarianceOf(side === "left" ? fitted : null, side === "right" ? fitted : null, spread);
  const start = side === "left" ? 0 : 2;
  return {
    side,
    base: [base[side].camber, base[side].toe],
    window: { camber: windowOf(fold, `window.${side}.camber`), toe: windowOf(fold, `window.${side}.toe`) },
    tables: table ? [table] : [],
    predicted: { at: plan.predicted[side], covariance: [0, 1].map((row) => covariance[start + row].slice(start, start + 2)), ring_set: plan[side]?.ring_set ?? null, pair: plan[side]?.pair ?? null },
    check,
  };
}
