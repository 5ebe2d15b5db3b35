/**
 * The proof of one wheel: size and turn, causes, where something between the faces would sit, and the tilt map with all
 * three. Of a wheel that came out as planned and inside no more is said than that; the rest waits behind a tap.
 */

import { boltsOf } from "../../domain/job/fit-request.js";
import { baseOf, windowsAt } from "../../domain/job/job.js";
import { WHEEL_ANGLES } from "../../domain/numbers/quantities.js";
import { beyond } from "../../domain/numbers/window.js";
import { more } from "../parts/more-fold.js";
import { causesPart, lookAtPart, sizeAndTurn } from "./cause-words.js";
import { element } from "../parts/element.js";
import { GapDrawing } from "../drawings/gap-drawing.js";
import { remark } from "../parts/signal.js";
import { tiltMapModel } from "../drawings/tilt-map-model.js";
import { TiltMap } from "../drawings/tilt-map.js";

/**
 * @param {{app: App, job: Job, round: number, side: string, proof: Object, body: Object, check: number[], table:
 *   Object, nameOf: function(string): string}} options
 */
export function wheelProof(options) {
  const { app: { t }, side } = options;
  return element("section", { class: "sheet stack", key: `proof-${side}` },
    element("h2", { text: t("proof.wheel", { side: t(`ui.side.${side}`) }) }),
    isAsPlanned(options) ? [remark({ name: "inside", text: t("proof.as-planned"), key: `as-planned-${side}` }),
      folded(t("proof.all-said"), `all-said-${side}`, said(options))] : said(options),
    map(options));
}

function said(options) {
  const { app, app: { t }, proof, nameOf } = options;
  return [
    sizeAndTurn({ app, proof }),
    !proof.explained && remark({ name: "warning", text: t("proof.unexplained") }),
    causesPart({ app, proof, nameOf }),
    gap(options),
    lookAtPart({ app, proof }),
  ];
}

/** As planned is what the numbers say first, and both its angles are inside their windows. */
function isAsPlanned({ job, side, proof, check }) {
  const limits = windowsAt(job.fold, side);
  const isInside = WHEEL_ANGLES.every((part, at) => !limits[part] || beyond(check[at], limits[part]) === 0);
  return proof.causes[0].code === "as-planned" && isInside;
}

function folded(label, key, inside) {
  return more({ label, key },
    element("div", { class: "stack" }, inside));
}

const CLEARLY_SDS = 3;
const LIES_BETWEEN = ["between-faces", "thin-dirt"];

/**
 * A wheel whose pair came out and that got none: there is no change of rings to weigh, only whether it reads as without
 * them.
 */
export function bareProof({ app: { t }, job, round, side, body, check }) {
  const base = baseOf(job.fold, round)[side];
  const isOff = WHEEL_ANGLES.some((part, at) =>
    Math.abs(check[side][part] - body.plan.predicted[side][at]) > CLEARLY_SDS * Math.hypot(base[`${part}_sd`],
      check[side][`${part}_sd`]));
  return element("section", { class: "sheet stack", key: `proof-${side}` },
    element("h2", { text: t("proof.wheel", { side: t(`ui.side.${side}`) }) }),
    remark(isOff ? { name: "warning", text: t("proof.bare.off") } : { name: "inside", text: t("proof.bare") }));
}

function gap({ app: { t }, job, side, proof }) {
  if (!proof.between_faces || !LIES_BETWEEN.some((code) => proof.groups[0].includes(code))) return null;
  const { clock_deg, far_edge_mm, centre_mm, diameter_mm } = proof.between_faces;
  const drawing = new GapDrawing({ t });
  drawing.update({ side, clock_deg, far_edge_mm, centre_mm, flange_diameter_mm: diameter_mm,
    bolts: boltsOf(job.fold)?.at ?? [] });
  return drawing.element;
}

function map({ app: { t }, job, round, side, body, check, table }) {
  const details = more({ label: t("ui.choose.map", { side: t(`ui.side.${side}`) }), key: `proof-map-${side}` });
  details.addEventListener("toggle", () => {
    const widget = new TiltMap({ t });
    details.append(widget.element);
    const base = baseOf(job.fold, round)[side];
    widget.update(tiltMapModel({
      side, check, base: [base.camber, base.toe], window: windowsAt(job.fold, side), plan: body.plan,
      spread: body.input.spread,
      ringSetOf: () => table?.ring_set, tables: table ? [table] : [],
    }));
  }, { once: true });
  return details;
}
