/**
 * The customer's report on one page: before and after with windows, tilt map, photos, what was fitted, replaced,
 * measured with and not done. It says what was measured; it never says that a vehicle is roadworthy. It computes
 * nothing.
 */

import { SIDES } from "../../domain/numbers/sides.js";
import { element } from "../parts/element.js";
import { doubtedWords } from "../words/doubt-words.js";
import { recheckWords } from "../words/recheck-words.js";
import { wheelFitted } from "../words/ring-pair-words.js";
import { answerWords, rowName } from "../words/row-words.js";
import { rowTitle } from "../words/titles.js";
import { dateAndTime } from "../words/date-words.js";

/**
 * @param {{app: App, report: Object, setOf: function(Object): {name, ring_set}|null, maps: HTMLElement[],
 *   photos: {url: string|null, about: string, away: string, read?: string[]}[], url null: the photo is not here, and
 *   `away` says why, read: what was read off it, earlier: {round: number, photos: Object[]}[], further: string[],
 *   shop: {name, address, telephone, footer: string, logo: string|null}|null}} options setOf gives the ring set of what
 *   is fitted; further: names of photos for which there is no room; logo: address of the picture
 * @returns {HTMLElement}
 */
export function reportPage(options) {
  const { app: { t, locale }, report, shop } = options;
  return element("article", { class: "report", key: "report", lang: locale },
    element("header", { class: "report-head" },
      shop && shopHead(t, shop),
      element("h1", { text: t("report.title") }),
      element("p", { class: "report-vehicle",
        text: [report.facts["vehicle.registration"], report.facts["vehicle.description"]].filter(Boolean)
        .join(" · ") }),
      element("p", { text: facts(options) }),
      element("p", { text: t("report.when",
        { first: dateAndTime(report.first_at, locale), last: dateAndTime(report.last_at, locale),
          by: report.by.join(", ") }) }),
      element("p", { class: "report-state", key: "report-state", text: stateWords(options) })),
    element("p", { class: "report-measured", key: "report-measured",
      text: [t("report.measured"), options.app.words.lengthNote()].filter(Boolean).join(" ") }),
    notDone(options),
    angles(options),
    agreed(options),
    element("div", { class: "report-middle" }, element("div", { class: "report-maps" }, options.maps),
      element("div", { class: "report-fitted" }, label(options), fittedPart(options))),
    worked(options),
    cautions(options),
    element("div", { class: "report-all-photos" }, pictures(options.photos, "report-photos"),
      options.earlier.map(({ round, photos }) => photos.length > 0 && element("section", {},
        element("h2", { text: options.app.t("report.earlier", { round }) }),
        pictures(photos, `report-photos-${round}`)))),
    options.further.length > 0 && element("p", { key: "report-further",
      text: t("report.further-photos", { names: options.further.join("; ") }) }),
    shop?.footer && element("footer", { class: "report-foot", key: "report-foot", text: shop.footer }));
}

function shopHead(t, { name, address, telephone, logo }) {
  return element("div", { class: "report-shop", key: "report-shop" },
    element("div", {},
      element("p", { class: "report-shop-name", text: name }),
      address && element("p", { class: "report-as-typed", text: address }),
      telephone && element("p", { text: t("report.telephone", { telephone }) })),
    logo && element("img", { class: "report-logo", src: logo, alt: "" }));
}

/** A photo that cannot be shown is named: nobody should think that it was never taken. */
function pictures(photos, key) {
  return photos.length > 0 && element("div", { class: "report-photos", key },
    photos.map(({ url, about, away, read = [] }) => element("figure", {},
    url ? element("img", { src: url, alt: about })
      : element("p", { class: "report-photo-away", text: away }),
    element("figcaption", {}, about, read.map((text) => element("strong", { class: "report-read", text }))))));
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
  return t("report.state.stopped",
    { reason: t(`option.stop-reason.${reason}`), vehicle: t(`option.stop-vehicle.${vehicle}`) });
}

function angles({ app: { t, words }, report }) {
  const cell = (column, quantity, mdeg, window) => element("td", { "data-column": t(`report.column.${column}`) },
      mdeg === null ? t("report.not-read") : [
    element("strong", { text: words.say(quantity, mdeg) }),
    window && element("span", { text: ` ${words.judge(quantity, mdeg, window)}` })]);
  const name = ({ side, quantity }) =>
    (side ? t("ui.proof.of-wheel", { side: t(`ui.side.${side}`), part: t(`ui.quantity.${quantity}`) })
      : t(`ui.field.${quantity}`));
  const row = (line) => element("tr", {}, element("th", { scope: "row", text: name(line) }),
    element("td", { "data-column": t("report.column.window"),
      "text": line.window ? words.window(line.quantity, line.window) : t("report.no-window") }),
    cell("before", line.quantity, line.before, line.window), cell("after", line.quantity, line.after, line.window));
  const frontRow = (line) => element("tr", {},
    element("th", { scope: "row", text: t("report.front", { what: name(line) }) }),
    element("td", { "data-column": t("report.column.window"), "text": "–" }),
    cell("before", line.quantity, line.before, null), cell("after", line.quantity, line.after, null));
  return element("table", { class: "report-angles", key: "report-angles" },
    element("thead", {}, element("tr", {}, ["angle", "window", "before", "after"]
      .map((column) => element("th", { scope: "col", text: t(`report.column.${column}`) })))),
    element("tbody", {}, report.rows.map(row), report.front.map(frontRow)));
}

function fittedPart(options) {
  const { app: { t }, report } = options;
  return element("section", {},
    element("h2", { text: t("report.fitted") }),
    element("ul", { key: "report-fitted" },
      SIDES.map((side) => element("li",
        { text: t("report.wheel", { side: t(`ui.side.${side}`), what: wheelFitted({ t, ...options }, side) }) })),
      report.spacers.map((each) => element("li", { key: `report-spacers-${each.side}`, text: spacerWords(t, each) }))),
    doubted(options).map((text) => element("p", { key: "report-doubted", text })),
    report.rounds.length > 1 && element("p", { text: t("report.rounds", { count: report.rounds.length }) }));
}

/** @returns {string[]} for each ring set that is fitted, or planned, although its data were in doubt */
export function doubted({ app: { t }, report, setOf }) {
  const nameOf = (id) => SIDES.map((side) => report.fitted[side]).filter((fitted) => fitted?.ring_set === id)
    .map((fitted) => setOf(fitted)?.name)[0] ?? report.names[id] ?? id;
  return Object.entries(report.doubted).map(([id, doubts]) => doubtedWords(t, nameOf(id), doubts));
}

/** "LEFT: R2", with what became of those rings, and every answer where people differ. */
function lotWords(t, { side, texts, state }) {
  const text = texts.length > 1 ? t("report.lot.differ", { texts: texts.join(" / ") }) : texts[0];
  const what = state === "in" ? text : t(`report.lot.${state}`, { text });
  return side ? t("report.wheel", { side: t(`ui.side.${side}`), what }) : what;
}

/** What the customer agreed to, in the words that were recorded, and what became of the complaint. */
function agreed({ app: { t, locale }, report }) {
  if (report.agreed.length === 0 && report.answers.length === 0) return null;
  const yes = ({ at, body, stands }) => [
    t(stands ? "report.agreed.by" : "report.agreed.earlier",
      { customer: body.customer, how: body.how ? t(`ui.consent.how.${body.how}`) : t("report.not-noted"),
        when: dateAndTime(at, locale) }),
    body.work && t("report.agreed.work", { work: body.work }),
    t("report.agreed.price", { price: body.price || t("report.not-noted") }),
  ].filter(Boolean);
  return element("section", { key: "report-agreed" },
    element("h2", { text: t("report.agreed") }),
    element("ul", {}, [...report.agreed.flatMap(yes),
      ...report.answers.map(({ row, entry }) => t(`report.answer.${row.id}`, { answer: answerWords(t, row, entry) }))]
      .map((text) => element("li", { text }))));
}

function torqueWords(t, { row, value, sides }) {
  const torque = [`${value.text} ${t(`ui.unit.${value.unit}`)}`,
    value.angle_deg && t("report.torque.angle", { angle: value.angle_deg })].filter(Boolean).join(" ");
  return t("report.torque", { what: rowTitle(t, row), sides: sides.map((side) => t(`ui.side.${side}`)).join(", "),
    torque, source: value.source });
}

function spacerWords(t, { side, spacers }) {
  const lugs = spacers.map(({ lug, mm }) =>
    t("report.spacers.lug", { lug, thick: t("fitting.mm", { length: t.number(mm, 0, 2) }) }));
  return t("report.spacers", { side: t(`ui.side.${side}`), lugs: lugs.join(", ") });
}

function boltWords(t, { side, record }) {
  const mm = (length) => t("fitting.mm", { length: t.number(length, 0, 2) });
  const screwedIn = record.least_mm ?? record.measured_mm ?? null;
  const length = record.length_mm ? mm(record.length_mm) : t("report.not-noted");
  const what = record.new ? t("report.bolts.new", { length, class: record.class ?? t("report.not-noted") })
    : t("report.bolts.before", { length });
  const text = [what, screwedIn !== null
    && t(record.outcome === "measured" ? "report.bolts.measured" : "bolt-length.record.left", { left: mm(screwedIn) })]
    .filter(Boolean).join("; ");
  return t("report.bolts", { side: t(`ui.side.${side}`), what: text });
}

function worked({ app: { t }, report }) {
  const names = (items) => items.map((item) => t(`report.part.${item}`)).join(", ");
  const lots = report.lots.map((lot) => lotWords(t, lot));
  return element("section", { key: "report-with" },
    element("h2", { text: t("report.with") }),
    element("ul", {},
      isOpened(report) && element("li",
        { key: "report-parts", text: t("report.replaced",
          { parts: names(report.replaced) || t("report.not-noted") }) }),
      lots.length > 0 && element("li", { key: "report-lots", text: t("report.lots", { lots: lots.join("; ") }) }),
      element("li", { key: "report-equipment",
        text: t("report.equipment", { equipment: report.equipment ?? t("report.not-noted") }) }),
      report.torques.length > 0 && element("li",
        { key: "report-wrench", text: t("report.wrench", { wrench: report.wrench ?? t("report.not-noted") }) }),
      report.torques.map((torque) => element("li", { key: `report-${torque.row.id}`, text: torqueWords(t, torque) })),
      report.bolts.map((bolts) => element("li", { key: `report-bolts-${bolts.side}`, text: boltWords(t, bolts) }))));
}

function notDone({ app: { t }, report }) {
  const lines = [
    ...report.not_done.map(({ row, reason }) => (reason ? t("report.gone-past", { step: rowName(t, row), reason })
      : rowName(t, row))),
    ...report.told.map((code) => t(`warning.${code}`)),
    ...report.to_order.map((item) => t("report.to-order", { part: t(`report.part.${item}`) })),
  ];
  return element("section", { key: "report-not-done" },
    element("h2", { text: t("report.not-done") }),
    lines.length === 0 ? element("p", { text: t("report.nothing-left") })
      : element("ul", {}, lines.map((text) => element("li", { text }))));
}

function cautions({ app: { t }, report }) {
  const keys = [...(isOpened(report) ? ["fasteners"] : []), ...(hasRings(report) ? ["second-pair", "next"] : []),
    ...(report.engagement_unknown ? ["engagement"] : []), "maker"];
  return element("section", {},
    element("h2", { text: t("report.cautions") }),
    element("ul", { key: "report-cautions" },
      keys.map((key) => element("li",
        { text: key === "fasteners" ? fasteners({ t, report }) : t(`report.caution.${key}`) }))));
}

function fasteners({ t, report: { recheck } }) {
  return recheck ? t("report.caution.recheck", { when: recheckWords(t, recheck) }) : t("report.caution.fasteners");
}

/** Small enough to stick on the vehicle: what sits there, for whoever opens the hub next. */
function label(options) {
  const { app: { t, locale }, report } = options;
  if (!hasRings(report)) return null;
  const date = new Intl.DateTimeFormat(locale, { dateStyle: "medium" }).format(new Date(report.last_at));
  return element("aside", { class: "report-label", key: "report-label" },
    element("p", { class: "report-label-head", text: t("report.label") }),
    SIDES.map((side) => element("p",
      { text: t("report.wheel", { side: t(`ui.side.${side}`), what: wheelFitted({ t, ...options }, side) }) })),
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
