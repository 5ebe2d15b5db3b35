/**
 * The readings taken so far, wheel by wheel, each as it was typed; their mean, in the technician's unit, and how it stands to
 * its window.
 */

import { windowOf } from "../../../domain/job/job.js";
import { PARTS } from "../../../domain/numbers/quantities.js";
import { readingsOf } from "../../../domain/job/readings.js";
import { SIDES } from "../../../domain/numbers/sides.js";
import { meanMdeg } from "../../../domain/numbers/stats.js";
import { KIND } from "../../../domain/job/entry.js";
import { button, element } from "../../parts/element.js";
import { angleJudged } from "../../words/angle-judged.js";

/**
 * @param {{app: App, job: JobModel, asked: Object, onChange: function(Object): void, onWithdraw: function(string): void}} options
 *   onChange gets the ask of one angle to type again
 * @returns {HTMLElement[]}
 */
export function readingsOverview(options) {
  return options.asked.sets.flatMap((set) => SIDES.map((side) => wheel(options, set, side)));
}

function wheel(options, set, side) {
  const { app: { t }, asked } = options;
  const readings = listed(options, set, side);
  return element("section", { class: `sheet stack wheel ${side}`, key: `wheel-${set.key}-${side}` },
    element("h2", {}, t(`ui.reading.wheel.${asked.axle}`, { side: t(`ui.side.${side}`) }), asked.axle === "front" && `, ${t(`ui.reading.${set.prefix}`)}`),
    readings.length === 0 && element("p", { text: t("ui.reading.none") }),
    readings.map((reading) => line(options, set, side, reading)),
    asked.repeats && readings.length > 0 && means(options, side, readings));
}

/** Front readings have no number: one per wheel and time. */
function listed({ job, asked }, { prefix }, side) {
  if (asked.repeats) return readingsOf(job.fold, prefix, side).map((reading) => ({ ...reading, n: Number(reading.slot.split(".").at(-1)) }));
  const slot = asked.slot(prefix, side);
  const body = job.body(slot, KIND.READING_TAKEN);
  return body && (body.camber || body.toe) ? [{ slot, n: 1, camber: body.camber?.mdeg ?? null, toe: body.toe?.mdeg ?? null }] : [];
}

function line({ app: { t, words }, job, onChange, onWithdraw }, { prefix }, side, { slot, n }) {
  const typed = job.body(slot, KIND.READING_TAKEN);
  const press = (part) => onChange({ prefix, side, n, part, slot, alone: true });
  return element("div", { class: "reading", key: `reading-${slot}` },
    PARTS.map((part) => {
      const angle = typed[part] ? words.typed(part, typed[part]) : t("ui.reading.missing");
      const names = { n, part: t(`ui.quantity.${part}`), angle };
      const detail = element("span", { class: "detail", text: t("ui.reading.part", names) });
      return button({ key: `change-${slot}-${part}`, label: angle, name: t("ui.reading.change", names), detail, onPress: () => press(part) });
    }),
    button({ key: `withdraw-${slot}`, kind: "quiet", label: t("ui.reading.withdraw", { n }), onPress: () => onWithdraw(slot) }));
}

function means({ app, job }, side, readings) {
  const { t } = app;
  return element("dl", { class: "means" }, PARTS.map((part) => {
    const mdegs = readings.map((reading) => reading[part]).filter((mdeg) => mdeg !== null);
    if (mdegs.length === 0) return null;
    const name = t(mdegs.length > 1 ? "ui.reading.mean" : "ui.reading.single", { part: t(`ui.quantity.${part}`), count: mdegs.length });
    return [element("dt", { text: name }), element("dd", {}, angleJudged({ app, quantity: part, mdeg: meanMdeg(mdegs), limits: windowOf(job.fold, `window.${side}.${part}`) }))];
  }));
}
