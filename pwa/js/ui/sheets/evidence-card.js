/**
 * What "Do complaint and wear agree with the readings?" is asked about, beside the question: complaint, wear, and how
 * the axle reads.
 */

import { axleOf } from "../../domain/choose/axle.js";
import { isWhole } from "../../domain/job/rounds.js";
import { AXLE_ANGLES, WHEEL_ANGLES } from "../../domain/numbers/quantities.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { element, fill } from "../parts/element.js";
import { answerWords } from "../words/row-words.js";
import { rowTitle } from "../words/titles.js";

const ASKED = [
  "vehicle.complaint", "vehicle.steering-wheel", "vehicle.wear-rear-left", "vehicle.wear-rear-right",
  "vehicle.wear-front-left",
  "vehicle.wear-front-right",
];

export class EvidenceCard {
  static saysTitle = true;
  #context;
  #shown = null;

  constructor(context, row) {
    this.#context = context;
    this.element = element("dl", { class: "evidence" });
    this.update(row);
  }

  update() {
    const { t, job } = this.#context;
    if (this.#shown === job.version) return;
    this.#shown = job.version;
    const told = ASKED.map((id) => job.row(job.slotOf(id))).filter(Boolean)
      .map((row) => [rowTitle(t, row), answerWords(t, row, job.live(row.slot)[0]) || t("evidence.not-asked")]);
    fill(this.element, [...told, ...this.#readings()]
      .map(([name, text]) => element("div", {}, element("dt", { text: name }), element("dd", { text }))));
  }

  #readings() {
    const { t, job, app: { words } } = this.#context;
    const wheels = job.readings("base");
    const windows = job.windows();
    const said = (quantity, mdeg, limits) => [t(`ui.quantity.${quantity}`), words.say(quantity, mdeg),
      limits && `(${words.judge(quantity, mdeg, limits)})`].filter(Boolean).join(" ");
    const ofWheel = (side) => WHEEL_ANGLES.filter((part) => wheels[side][part] !== null)
      .map((part) => said(part, wheels[side][part], windows[side][part])).join(", ");
    const lines = SIDES.map((side) => [t(`ui.side.${side}`), ofWheel(side) || t("evidence.not-read")]);
    if (!isWhole(wheels)) return lines;
    const axle = axleOf(wheels);
    const both = AXLE_ANGLES.filter(([, name]) => name !== "cross_camber")
      .map(([quantity, name]) => said(quantity, axle[name], windows[name])).join(", ");
    return [...lines, [t("plan.both"), both]];
  }
}
