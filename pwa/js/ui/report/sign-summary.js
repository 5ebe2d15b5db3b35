/**
 * What a signature stands for, in a few lines: what is fitted where, how it reads now, what stays outside, which holds
 * were gone past.
 */

import { WHEEL_ANGLES } from "../../domain/numbers/quantities.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { beyond } from "../../domain/numbers/window.js";
import { element } from "../parts/element.js";
import { doubted } from "./report-page.js";
import { wheelFitted } from "../words/ring-pair-words.js";
import { remark } from "../parts/signal.js";
import { rowName } from "../words/row-words.js";

/** @param {{app: App, report: Object, setOf: function(Object): Object|null}} options as the report is written from */
export function signSummary({ app, report, setOf }) {
  const { t } = app;
  const judged = report.rows.filter(({ after, window }) => after !== null && window);
  const outside = judged.filter(({ after, window }) => beyond(after, window) !== 0);
  const note = app.words.lengthNote();
  const past = report.not_done.filter(({ reason }) => reason);
  return element("section", { class: "sheet stack", key: "sign-summary" },
    element("h2", { text: t("report.sign") }),
    element("ul", {}, SIDES.map((side) => element("li", { text: wheelWords({ app, report, setOf }, side) }))),
    doubted({ app, report, setOf }).map((text) => remark({ name: "warning", text })),
    note && element("p", { class: "detail-text", text: note }),
    judged.length > 0 && remark(outside.length > 0 ? { name: "outside", text: outsideWords(app, outside) }
      : { name: "inside", text: t("ui.proof.all-inside") }),
    report.engagement_unknown && remark({ name: "warning", text: t("report.caution.engagement") }),
    past.map(({ row, reason }) =>
      remark({ name: "overridden", text: t("report.gone-past", { step: rowName(t, row), reason }) })));
}

function wheelWords({ app: { t, words }, report, setOf }, side) {
  const reads = WHEEL_ANGLES.map((quantity) => {
    const { after } = report.rows.find((row) => row.side === side && row.quantity === quantity);
    return after === null ? null : `${t(`ui.quantity.${quantity}`)} ${words.say(quantity, after)}`;
  }).filter(Boolean).join(", ");
  return t("report.sign.wheel", { side: t(`ui.side.${side}`), what: wheelFitted({ t, report, setOf }, side),
    reads: reads || t("report.not-read") });
}

function outsideWords({ t, words }, lines) {
  const name = ({ side, quantity }) =>
    (side ? t("ui.proof.of-wheel", { side: t(`ui.side.${side}`), part: t(`ui.quantity.${quantity}`) })
      : t(`ui.quantity.${quantity}`));
  return lines.map((line) => t("report.sign.outside",
    { name: name(line), judged: words.judge(line.quantity, line.after, line.window) })).join("; ");
}
