/** Before, predicted and after of one round, angle by angle: as lines to count, and as sections to read. */

import { baseOf, windowOf } from "../../domain/job/job.js";
import { axleOf } from "../../domain/choose/axle.js";
import { AXLE_ANGLES, WHEEL_ANGLES } from "../../domain/numbers/quantities.js";
import { isWhole } from "../../domain/job/rounds.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { beyond } from "../../domain/numbers/window.js";
import { element } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";

/**
 * @param {{app: App, job: Job, round: number, body: Object, check: Object}} options check as meanReadings gives it
 * @returns {Object[]} {name, quantity, was, meant, now, limits}; mdeg, null where not known
 */
export function roundLines({ app: { t }, job, round, body, check }) {
  const before = baseOf(job.fold, round);
  const plan = body?.plan ?? null;
  const wheels = SIDES.flatMap((side) => WHEEL_ANGLES.map((part, at) => ({
    name: t("ui.proof.of-wheel", { side: t(`ui.side.${side}`), part: t(`ui.quantity.${part}`) }),
    quantity: part, was: before[side][part], meant: plan?.predicted[side][at] ?? null, now: check[side][part],
    limits: windowOf(job.fold, `window.${side}.${part}`),
  })));
  return [...wheels, ...axleLines({ t, job, before, plan, check })];
}

/** Total toe and thrust steer the car, so they are always said; cross camber only where the maker gives it. */
function axleLines({ t, job, before, plan, check }) {
  const was = isWhole(before) ? axleOf(before) : null;
  const now = axleOf(check);
  return AXLE_ANGLES.map(([quantity, name]) => ({ quantity, name, limits: windowOf(job.fold, `window.${quantity}`) }))
    .filter(({ name, limits }) => name !== "cross_camber" || limits)
    .map(({ quantity, name, limits }) => ({
      name: t(`ui.quantity.${quantity}`), quantity, limits, was: was?.[name] ?? null, meant: plan?.axle[name]
        ?? null, now: now[name],
    }));
}

/** @returns {Object[]} the lines whose angle is outside now */
export function outsideOf(lines) {
  return lines.filter(({ now, limits }) => limits && beyond(now, limits) !== 0);
}

export function roundSections(options) {
  const { app, app: { t, words }, round } = options;
  const row = (key, what) => [element("dt", { text: t(key) }), element("dd", {}, what)];
  return roundLines(options).map(({ name, quantity, was, meant, now, limits }) =>
    element("section", { class: "sheet stack" },
    element("h2", { text: name }),
    element("dl", { class: "means" },
      was !== null && row(round > 1 ? "proof.start-estimate" : "ui.proof.before", words.say(quantity, was)),
      meant !== null && row("ui.proof.predicted", words.say(quantity, meant)),
      row("ui.proof.after", angleJudged({ app, quantity, mdeg: now, limits })))));
}

/**
 * An angle with how it stands to its window: the number with its way, then "inside" or "outside by", with a shape.
 * @param {{app: App, quantity: string, mdeg: number, limits: [number, number]|null}} options
 * @returns {HTMLElement}
 */
function angleJudged({ app: { t, words }, quantity, mdeg, limits }) {
  const judged = limits ? words.judge(quantity, mdeg, limits) : t("ui.no-window");
  const name = limits && (beyond(mdeg, limits) === 0 ? "inside" : "outside");
  return element("div", { class: "judgement" },
    element("span", { class: "angle number", text: words.say(quantity, mdeg) }),
    element("span", { class: "with-shape" }, name && stateShape(name), element("span", { text: judged })));
}
