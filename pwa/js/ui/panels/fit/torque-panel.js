/**
 * The tightening torque from the vehicle's service information, typed in with its source. The program offers none
 * of its own and fills in nothing; without its source a torque is not taken.
 */

import { KIND } from "../../../domain/job/entry.js";
import { axleNotes } from "../../../domain/job/axle-notes.js";
import { boltsOf, TORQUE_UNITS } from "../../../domain/job/fit-request.js";
import { numberFrom } from "../../../domain/numbers/plain-number.js";
import { NM_PER } from "../../../domain/fit/torque.js";
import { decimalMark } from "../../../domain/numbers/units.js";
import { keptJobs } from "../../kept-jobs.js";
import { button, element, fill } from "../../parts/element.js";
import { NumberEntry } from "../../fields/number-entry.js";
import { remark } from "../../parts/signal.js";
import { TextField } from "../../fields/text-field.js";
import { torqueJudged } from "./torque-words.js";

/** Newton metres in one unit: 1 lbf ft = 0.3048 m x 4.4482216152605 N, exact by definition. */
const UNITS = ["nm", "lbf-ft"];
const newtonMetres = (number, unit) => number * NM_PER[TORQUE_UNITS[unit]];

export class TorquePanel {
  #context;
  /** The torque, and beside it the angle to turn by afterwards. */
  #torque;
  #source;
  #judged = element("div", { role: "status", key: "torque-judged" });
  #noted = element("div", { class: "stack" });

  constructor(context) {
    this.#context = context;
    const { app: { t, locale }, job, step, typed, draft } = context;
    const kept = job.field(step.slot);
    const start = typed ?? (kept ? { torque: { text: kept.text, unit: kept.unit, beside: angleText(kept) }, source: kept.source } : {});
    const onTyping = () => { draft.write(this.#typed()); context.app.frame(); this.#judge(); };
    this.#torque = new NumberEntry({
      t, mark: decimalMark(locale), key: "torque", label: t("ui.torque"), start: { beside: start.angle, ...start.torque }, onTyping, // a draft of the version before has the angle by itself
      units: UNITS.map((id) => ({ id, label: t(`ui.unit.${id}`) })),
      beside: { key: "torque-angle", label: t("ui.torque.angle"), short: t("ui.torque.angle.short") },
    });
    this.#source = new TextField({ label: t("ui.torque.source"), hint: t("ui.torque.source.hint"), key: "torque-source", lines: true, text: start.source ?? "", onTyping });
    this.element = element("div", { class: "stack wide" },
      element("h2", { text: t("ui.torque") }), element("p", { class: "soft", text: t("ui.torque.angle.hint") }), this.#torque.element, this.#judged, this.#source.element, this.#noted);
    this.#judge();
  }

  /** Where an earlier vehicle described the same way had its torque from: the source alone, never the figure. */
  async prepare() {
    const { app, app: { t }, job } = this.#context;
    const source = axleNotes(await keptJobs(app.phone), job.description, job.id)?.torque_source;
    fill(this.#noted, source && !this.#source.text && button({
      key: "take-source", kind: "quiet", label: t("fitting.notes.use-source", { source }),
      onPress: () => { this.#source.text = source; this.#context.draft.write(this.#typed()); fill(this.#noted); app.frame(); },
    }));
  }

  /** Low, usual or high for thread and class; it judges only what is typed. */
  #judge() {
    const { app: { t }, job } = this.#context;
    const { torque } = this.#typed();
    const number = numberFrom(torque.text);
    if (!number) return fill(this.#judged);
    const typed = { value: number, unit: TORQUE_UNITS[torque.unit], angle_deg: torque.beside === "" ? null : numberFrom(torque.beside) };
    const { shape, text } = torqueJudged(t, typed, boltsOf(job.fold));
    return fill(this.#judged, remark({ name: shape, text }));
  }

  get primary() {
    const { app, step, job, goOn } = this.#context;
    const kept = job.field(step.slot);
    const { torque, source } = this.#typed();
    const same = kept && torque.text === kept.text && torque.unit === kept.unit && source.trim() === kept.source && torque.beside === angleText(kept);
    if (same) return { key: "next", label: app.t("ui.step.next"), press: goOn };
    return { key: "keep", label: app.t("ui.keep"), press: () => this.#keep() };
  }

  update(context) {
    this.#context = { ...this.#context, ...context };
  }

  #typed() {
    return { torque: this.#torque.typed, source: this.#source.text };
  }

  async #keep() {
    const { app, job, step, draft, goOn } = this.#context;
    const torque = this.#torque.read();
    if (!torque) return undefined;
    const { beside } = this.#torque.typed;
    const angle = beside === "" ? null : numberFrom(beside);
    if (torque.number <= 0) return this.#torque.refuse(app.t("ui.torque.zero"));
    if (torque.number < 0.1 || torque.number > 1000) return this.#torque.refuse(app.t("ui.torque.range", { got: torque.text }));
    if (beside !== "" && !(angle >= 1 && angle <= 360)) return this.#torque.refuse(app.t("ui.torque.angle.wrong", { got: beside }), { isBeside: true });
    if (!this.#source.text.trim()) return this.#source.refuse(app.t("ui.torque.source.missing"));
    const value = {
      value_nm: Math.round(newtonMetres(torque.number, torque.unit) * 10) / 10,
      text: torque.text,
      unit: torque.unit,
      source: this.#source.text.trim(),
      angle_deg: angle,
    };
    if (!(await app.save({ job: job.id, kind: KIND.FIELD_SET, slot: step.slot, body: { value } }))) return undefined;
    await draft.drop();
    return goOn();
  }
}

function angleText({ angle_deg: angle }) {
  return angle ? String(angle) : "";
}
