/** Before, predicted, after: each angle of each wheel and of the axle, said in words. It saves nothing. */

import { axleOf } from "../../domain/axle.js";
import { currentRound } from "../../domain/checklist.js";
import { baseOf, windowOf } from "../../domain/job.js";
import { KIND } from "../../domain/entry.js";
import { element, fill } from "../element.js";
import { judgement } from "../judgement.js";
import { remark } from "../signal.js";
import { meanReadings } from "../../domain/readings.js";
import { beyond } from "../../domain/window.js";

const SIDES = ["left", "right"];
const PARTS = ["camber", "toe"];
const AXLE = [["total-toe", "total_toe"], ["thrust", "thrust"], ["cross-camber", "cross_camber"]];

export class ProofPanel {
  #context;

  constructor(context) {
    this.#context = context;
    this.element = element("div", { class: "stack wide", key: "proof" });
  }

  update(context) {
    this.#context = context;
    const { app: { t }, job } = context;
    const round = currentRound(job.fold);
    const before = baseOf(job.fold, round);
    const after = meanReadings(job.fold, `round.${round}.check`);
    const plan = job.body(`round.${round}.plan`, KIND.PLAN_CHOSEN)?.plan ?? null;
    if (!isFull(after)) return fill(this.element, remark({ name: "open", text: t("ui.proof.no-readings") }));
    const lines = [...this.#wheelLines(before, plan, after), ...this.#axleLines(before, plan, after)];
    const outside = lines.filter(({ now, limits }) => limits && beyond(now, limits) !== 0).length;
    return fill(this.element,
      element("div", { class: "sheet big" }, outside === 0
        ? remark({ name: "inside", text: t("ui.proof.all-inside") })
        : remark({ name: "outside", text: t("ui.proof.outside", { count: outside }) })),
      lines.map((line) => this.#section(line)));
  }

  get primary() {
    const { app, goOn } = this.#context;
    return { key: "next", label: app.t("ui.step.next"), press: goOn };
  }

  #wheelLines(before, plan, after) {
    const { app: { t }, job } = this.#context;
    return SIDES.flatMap((side) => PARTS.map((part, at) => ({
      name: t("ui.proof.of-wheel", { side: t(`ui.side.${side}`), part: t(`ui.quantity.${part}`) }),
      quantity: part, was: before[side][part], meant: plan?.predicted[side][at] ?? null, now: after[side][part],
      limits: windowOf(job.fold, `window.${side}.${part}`),
    })));
  }

  /** Total toe and thrust steer the car, so they are always said; cross camber only where the maker gives it. */
  #axleLines(before, plan, after) {
    const { app: { t }, job } = this.#context;
    const was = isFull(before) ? axleOf(before) : null;
    const now = axleOf(after);
    return AXLE.map(([quantity, name]) => ({ quantity, name, limits: windowOf(job.fold, `window.${quantity}`) }))
      .filter(({ name, limits }) => name !== "cross_camber" || limits)
      .map(({ quantity, name, limits }) => ({
        name: t(`ui.quantity.${quantity}`), quantity, limits, was: was?.[name] ?? null, meant: plan?.axle[name] ?? null, now: now[name],
      }));
  }

  #section({ name, quantity, was, meant, now, limits }) {
    const { app, app: { t, words } } = this.#context;
    const row = (key, what) => [element("dt", { text: t(`ui.proof.${key}`) }), element("dd", {}, what)];
    return element("section", { class: "sheet stack" },
      element("h2", { text: name }),
      element("dl", { class: "means" },
        was !== null && row("before", words.say(quantity, was)),
        meant !== null && row("predicted", words.say(quantity, meant)),
        row("after", judgement({ app, quantity, mdeg: now, limits }))));
  }
}

function isFull(wheels) {
  return SIDES.every((side) => PARTS.every((part) => wheels[side][part] !== null));
}
