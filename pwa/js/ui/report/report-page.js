/**
 * The customer's report on one page: before and after with windows, tilt map, photos, what was fitted, replaced, measured
 * with and not done. It says what was measured; it never says that a vehicle is roadworthy. It computes nothing.
 */

import { SIDES } from "../../domain/numbers/sides.js";
import { element } from "../parts/element.js";
import { wheelFitted } from "../words/ring-pair-words.js";
import { stepName } from "../words/step-words.js";
import { dateAndTime } from "../words/when.js";

const MOST_NOT_DONE = 12;

/**
 * @param {{app: App, report: Object, setOf: function(Object): {name, ring_set}|null, maps: HTMLElement[], photos: {url: string, about: string}[],
 *   shop: string}} options setOf gives the ring set of what is fitted
 * @returns {HTMLElement}
 */
export function reportPage(options) {
  const { app: { t, locale }, report, shop } = options;
  return element("article", { class: "report", key: "report", lang: locale },
    element("header", { class: "report-head" },
      element("h1", { text: t("report.title") }),
      shop && element("p", { text: shop }),
      element("p", { class: "report-vehicle", text: [report.facts["vehicle.registration"], report.facts["vehicle.description"]].filter(Boolean).join(" · ") }),
      element("p", { text: facts(options) }),
      element("p", { text: t("report.when", { first: dateAndTime(report.first_at, locale), last: dateAndTime(report.last_at, locale), by: report.by.join(", ") }) }),
      element("p", { class: "report-state", key: "report-state", text: stateWords(options) })),
    element("p", { class: "report-measured", key: "report-measured", text: [t("report.measured"), options.app.words.lengthNote()].filter(Boolean).join(" ") }),
    angles(options),
    element("div", { class: "report-middle" }, element("div", { class: "report-maps" }, options.maps), label(options)),
    fittedPart(options),
    worked(options),
    notDone(options),
    cautions(options),
    options.photos.length > 0 && element("div", { class: "report-photos" }, options.photos.map(({ url, about }) => element("figure", {},
      element("img", { src: url, alt: about }), element("figcaption", { text: about })))));
}

function facts({ app: { t }, report }) {
  const odometer = report.facts["vehicle.odometer"];
  return [
    report.facts["vehicle.vin"] && t("report.vin", { vin: report.facts["vehicle.vin"] }),
    odometer && t("report.odometer", { distance: `${odometer.text} ${t(`unit.${odometer.unit}`)}` }),
    report.facts["vehicle.complaint"] && t("report.complaint", { complaint: report.facts["vehicle.complaint"] }),
  ].filter(Boolean).join(" · ");
}

function stateWords({ app: { t }, report }) {
  if (report.state === "signed") return t("report.state.signed", { by: report.signed_by.join(", ") });
  if (report.state === "open") return t("report.state.open");
  const { reason, vehicle_state: vehicle } = report.stopped;
  return t("report.state.stopped", { reason: t(`option.stop-reason.${reason}`), vehicle: t(`option.stop-vehicle.${vehicle}`) });
}

function angles({ app: { t, words }, report }) {
  const cell = (column, quantity, mdeg, window) => element("td", { "data-column": t(`report.column.${column}`) }, mdeg === null ? t("report.not-read") : [
    element("strong", { text: words.say(quantity, mdeg) }), window && element("span", { text: ` ${words.judge(quantity, mdeg, window)}` })]);
  const name = ({ side, quantity }) => (side ? t("ui.proof.of-wheel", { side: t(`ui.side.${side}`), part: t(`ui.quantity.${quantity}`) }) : t(`ui.field.${quantity}`));
  const row = (line) => element("tr", {}, element("th", { scope: "row", text: name(line) }),
    element("td", { "data-column": t("report.column.window"), "text": line.window ? words.window(line.quantity, line.window) : t("report.no-window") }),
    cell("before", line.quantity, line.before, line.window), cell("after", line.quantity, line.after, line.window));
  const frontRow = (line) => element("tr", {}, element("th", { scope: "row", text: t("report.front", { what: name(line) }) }),
    element("td", { "data-column": t("report.column.window"), "text": "–" }), cell("before", line.quantity, line.before, null), cell("after", line.quantity, line.after, null));
  return element("table", { class: "report-angles", key: "report-angles" },
    element("thead", {}, element("tr", {}, ["angle", "window", "before", "after"].map((column) => element("th", { scope: "col", text: t(`report.column.${column}`) })))),
    element("tbody", {}, report.rows.map(row), report.front.map(frontRow)));
}

function fittedPart(options) {
  const { app: { t }, report } = options;
  return element("section", {},
    element("h2", { text: t("report.fitted") }),
    element("ul", { key: "report-fitted" }, SIDES.map((side) => element("li", { text: t("report.wheel", { side: t(`ui.side.${side}`), what: wheelFitted({ t, ...options }, side) }) }))),
    report.rounds.length > 1 && element("p", { text: t("report.rounds", { count: report.rounds.length }) }));
}

/** "LEFT: R2", with what became of those rings, and every answer where people differ. */
function lotWords(t, { side, texts, state }) {
  const text = texts.length > 1 ? t("report.lot.differ", { texts: texts.join(" / ") }) : texts[0];
  const what = state === "in" ? text : t(`report.lot.${state}`, { text });
  return side ? t("report.wheel", { side: t(`ui.side.${side}`), what }) : what;
}

function worked({ app: { t }, report }) {
  const names = (items) => items.map((item) => t(`report.part.${item}`)).join(", ");
  const { torque } = report;
  const lots = report.lots.map((lot) => lotWords(t, lot));
  return element("section", {},
    element("h2", { text: t("report.with") }),
    element("ul", {},
      isOpened(report) && element("li", { key: "report-parts", text: t("report.replaced", { parts: names(report.replaced) || t("report.not-noted") }) }),
      lots.length > 0 && element("li", { key: "report-lots", text: t("report.lots", { lots: lots.join("; ") }) }),
      element("li", { key: "report-equipment", text: t("report.equipment", { equipment: report.equipment ?? t("report.not-noted") }) }),
      isOpened(report) && element("li", { key: "report-wrench", text: t("report.wrench", { wrench: report.wrench ?? t("report.not-noted") }) }),
      isOpened(report) && torque && element("li", { text: t("report.torque", { torque: `${torque.text} ${t(`ui.unit.${torque.unit}`)}`, source: torque.source }) })));
}

function notDone({ app: { t }, report }) {
  const shown = report.not_done.slice(0, MOST_NOT_DONE);
  const more = report.not_done.length - shown.length;
  const lines = [
    ...report.told.map((code) => t(`warning.${code}`)),
    ...report.to_order.map((item) => t("report.to-order", { part: t(`report.part.${item}`) })),
    ...shown.map((step) => (step.reason ? t("report.gone-past", { step: stepName(t, step), reason: step.reason }) : stepName(t, step))),
  ];
  return element("section", { key: "report-not-done" },
    element("h2", { text: t("report.not-done") }),
    lines.length === 0 ? element("p", { text: t("report.nothing-left") }) : element("ul", {}, lines.map((text) => element("li", { text })), more > 0 && element("li", { text: t("report.more", { count: more }) })));
}

function cautions({ app: { t }, report }) {
  const keys = [...(isOpened(report) ? ["fasteners"] : []), ...(hasRings(report) ? ["second-pair", "next"] : []), ...(report.engagement_unknown ? ["engagement"] : []), "maker"];
  return element("section", {},
    element("h2", { text: t("report.cautions") }),
    element("ul", { key: "report-cautions" }, keys.map((key) => element("li", { text: t(`report.caution.${key}`) }))));
}

/** Small enough to stick on the vehicle: what sits there, for whoever opens the hub next. */
function label(options) {
  const { app: { t, locale }, report } = options;
  if (!hasRings(report)) return null;
  const date = new Intl.DateTimeFormat(locale, { dateStyle: "medium" }).format(new Date(report.last_at));
  return element("aside", { class: "report-label", key: "report-label" },
    element("p", { class: "report-label-head", text: t("report.label") }),
    SIDES.map((side) => element("p", { text: t("report.wheel", { side: t(`ui.side.${side}`), what: wheelFitted({ t, ...options }, side) }) })),
    element("p", { text: [report.facts["vehicle.registration"], date].filter(Boolean).join(" · ") }),
    element("p", { text: t("report.label.never") }));
}

/** Whether the plan of any round opens a wheel: to put rings in, or to take them out. */
function isOpened({ rounds }) {
  return rounds.some(({ open }) => open.length > 0);
}

function hasRings({ fitted }) {
  return SIDES.some((side) => fitted[side]);
}
