/** What the fitting aids say of one wheel, in words and one table: bolts, spacers, room, rings that are cut already. */

import { RINGS } from "../../domain/numbers/sides.js";
import { element } from "../parts/element.js";
import { more } from "../parts/more-fold.js";
import { remark } from "../parts/signal.js";

/** Which step of the checklist answers a field that the fitting aids miss. */
const ASKED_IN = {
  "vehicle.mounting": "vehicle.mounting", "vehicle.driven": "vehicle.driven-allowed",
  "vehicle.ring_place": "vehicle.ring-place",
  "vehicle.pilot": "vehicle.pilot", "vehicle.pilot_diameter_mm": "vehicle.pilot-diameter",
  "vehicle.pilot_length_mm": "vehicle.pilot-length",
  "vehicle.flange_bore_mm": "vehicle.flange-bore", "vehicle.sensor": "vehicle.sensor",
  "vehicle.sensor_gap_mm": "vehicle.sensor-gap-now",
  "vehicle.brake": "vehicle.rear-brake", "vehicle.bracket": "vehicle.caliper-bracket",
  "vehicle.tyre_radius_mm": "vehicle.tyre-radius",
  "vehicle.arch_gap_mm": "vehicle.arch-gap", "vehicle.flange_diameter_mm": "vehicle.flange-diameter",
  "vehicle.pairs_fitted": "vehicle.pair-fitted",
  "vehicle.sensor_gap_most_mm": "vehicle.sensor-gap-most", "pair": "choose.plan", "cut_pair": "choose.plan",
};

const ASKED_TOGETHER = { bolts: "vehicle.bolts", bracket: "vehicle.bracket-lugs", torque: "fit.torque" };

/** The step that answers a field; bolts, bracket and torque with all their parts are one step each. */
function stepOf(field) {
  return ASKED_IN[field] ?? ASKED_TOGETHER[/^\w+/.exec(field)[0]];
}

/** @returns {string[]} steps that answer what is missing, each once */
function stepsAsked(missing) {
  return [...new Set(missing.map(stepOf))];
}

/** @returns {string} what cannot be computed with: an answer of this job by its step, or the ring set's own data */
export function wrongWords(t, { field, params: { got } }) {
  if (field.startsWith("ring_set")) return t("fitting.wrong.ring-set", { got });
  return t("fitting.wrong", { step: t(`row.${stepOf(field)}.title`), got });
}

/** @returns {string[]} codes, each once: inner and outer ring may find the same */
export function codesOf(findings) {
  return [...new Set(findings.map(({ code }) => code))];
}

/** Refusals and warnings of the gate, then what it could not judge. */
export function gateWords({ app: { t }, gate, job, onOpen }) {
  return [
    codesOf(gate.refusals).map((code) =>
      remark({ name: "refused", text: t(`refusal.${code}`), key: `refusal-${code}` })),
    codesOf(gate.warnings).map((code) =>
      remark({ name: "warning", text: t(`warning.${code}`), key: `warning-${code}` })),
    gate.error && remark({ name: "warning", text: wrongWords(t, gate.error) }),
    gate.missing.length > 0 && more({ label: t("fitting.not-judged", { count: stepsAsked(gate.missing).length }),
      key: "not-judged" },
      element("ul", { class: "stack" }, stepsAsked(gate.missing).map((id) => element("li", {},
        job.row(id)
          ? element("button", { type: "button", class: "button quiet", key: `answer-${id}`, text: t(`row.${id}.title`),
            on: { click: () => onOpen(id) } })
          : t(`row.${id}.title`))))),
  ];
}

/** Engagement left at each bolt, and the bolts that are wanted. */
export function boltsPart({ app, bolts, longer }) {
  const { t } = app;
  const mm = lengths(app);
  if (!longer) return element("p", { text: unknownLength({ t, bolts }) });
  return [
    longerBolts({ app, longer }),
    element("table", { class: "bolt-table", key: "engagement" },
      element("thead", {}, element("tr", {}, ["bolt", "stack", "left", "longer-by"]
        .map((name) => element("th", { scope: "col", text: t(`fitting.bolts.${name}`) })))),
      element("tbody", {}, bolts.map(({ number, stack_mm, engagement }) => element("tr", {},
        element("th", { scope: "row", text: String(number) }),
        [mm(stack_mm), mm(engagement.left_mm), engagement.longer_by_mm === 0 ? t("fitting.bolts.fits")
          : mm(engagement.longer_by_mm)].map((text) => element("td", { text })))))),
  ];
}

/** The bolts that are wanted, in one line. */
export function longerBolts({ app, longer: { at_least_mm: least, less_than_mm: most, possible } }) {
  const { t } = app;
  const mm = lengths(app);
  const says = !possible ? ["refused", t("refusal.bolts-bottom")]
    : least === 0 ? ["inside", t("fitting.bolts.enough")]
      : ["warning", t(most === null ? "fitting.bolts.longer" : "fitting.bolts.longer-less",
        { least: mm(least), most: mm(most ?? 0) })];
  return remark({ name: says[0], text: says[1], key: "longer-bolts" });
}

/** The same of one wheel where bolts are ordered: the length itself, where those that are in were measured. */
export function boltsToOrder({ app, bolts, side, longer, was_mm: was }) {
  const { t } = app;
  const mm = lengths(app);
  const title = element("p", { class: "cells-title", text: t(`ui.side.${side}`) });
  if (!longer) return element("div", { key: `longer-${side}` }, title,
    element("p", { text: unknownLength({ t, bolts }) }));
  const { at_least_mm: least, less_than_mm: most, possible } = longer;
  const isLengthKnown = was && possible && least > 0;
  return element("div", { key: `longer-${side}` }, title,
    isLengthKnown ? remark({ name: "warning",
      text: t(most === null ? "fitting.bolts.length" : "fitting.bolts.length-less",
        { was: mm(was), least: mm(was + least), most: mm(was + (most ?? 0)) }) }) : longerBolts({ app, longer }));
}

/** Why the bolts that are wanted cannot be said. */
export function unknownLength({ t, bolts }) {
  return t(bolts ? "fitting.bolts.not-known" : "fitting.bolts.none");
}

/** Spacers under the bracket's lugs, from stock. */
export function spacersPart({ app, spacers }) {
  const { t } = app;
  const mm = lengths(app);
  return element("ul", { class: "stack", key: "spacers" },
    spacers.map(({ number, wanted_mm, pieces_mm, off_mm, near_enough, left_mm }) => element("li", {},
    remark({ name: near_enough ? "inside" : "warning",
      text: t(pieces_mm.length > 0 ? "fitting.spacer" : "fitting.spacer.none",
        { number, wanted: mm(wanted_mm), pieces: pieces_mm.map(mm).join(" + ") }) }),
    !near_enough && element("p", { text: t(off_mm < 0 ? "fitting.spacer.thin" : "fitting.spacer.thick",
      { off: mm(Math.abs(off_mm)) }) }),
    left_mm !== null && element("p", { text: t("fitting.spacer.left", { left: mm(left_mm) }) }))));
}

/** Pilot, sensor and arch, each in a line where it can be said. */
export function roomPart({ app, stack, pilot, sensor, arch }) {
  const { t } = app;
  const mm = lengths(app);
  return element("ul", { class: "stack" },
    element("li", { text: t("fitting.stack",
      { centre: mm(stack.centre_mm), least: mm(stack.least_mm), most: mm(stack.most_mm) }) }),
    pilot && element("li", { text: t("fitting.pilot", { left: mm(pilot.depth_left_mm) }) }),
    sensor && sensor.grows_mm > 0 && element("li", { text: t("fitting.sensor", { grows: mm(sensor.grows_mm) }) }),
    arch && element("li", { text: t(arch.left_mm === null ? "fitting.arch" : "fitting.arch.left",
      { moves: mm(arch.moves_out_mm), left: mm(arch.left_mm ?? 0) }) }));
}

/**
 * Whether the rings that are cut already serve again; `fromNow`: turned over means from how a ring sits now, which may
 * be the wrong way round, else from how it was planned.
 */
export function cutRingsPart({ app: { t }, cut, fromNow = false }) {
  if (!cut) return element("p", { text: t("fitting.cut.not-known") });
  return element("ul", { class: "stack", key: "cut-rings" }, RINGS.map((ring) => {
    const { serves, turned_over: over } = cut[ring];
    const key = !serves ? "new" : !over ? "again" : fromNow ? "over-now" : "over";
    return element("li", {}, remark({ name: serves ? "inside" : "refused",
      text: t(`fitting.cut.${key}`, { ring: t(`fitting.ring.${ring}`) }) }));
  }));
}

/** @returns {function(number): string} a length in mm, to the hundredth at most */
export function lengths({ t }) {
  return (length) => t("fitting.mm", { length: t.number(length, 0, 2) });
}
