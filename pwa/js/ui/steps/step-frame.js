/**
 * What stands around every step's own widget: caution, hold, how to do it, its state, what people differ about,
 * what it is locked by, and the way past a hold (with a reason, recorded). Where a drawing is what is confirmed it stands right
 * under the title, in sight with the answer, and what else is said comes after.
 */

import { agreement } from "../../domain/job/agreed.js";
import { currentRound } from "../../domain/job/checklist-slots.js";
import { KIND } from "../../domain/job/entry.js";
import { boltLengthWarnings } from "./bolt-length.js";
import { button, element, fill } from "../parts/element.js";
import { remark, signal } from "../parts/signal.js";
import { stateShape } from "../parts/state-shape.js";
import { shownPicture } from "./shown-picture.js";
import { answerWords, sayingEntry, stepName } from "../words/step-words.js";
import { TextField } from "../fields/text-field.js";

/** A reason shorter than this tells nobody why it was safe. */
const LEAST_REASON = 10;

export class StepFrame {
  #app;
  #onUndo;

  /** @param {{app: App, onUndo: function(): void}} options onUndo takes this step's answer back */
  constructor({ app, onUndo }) {
    this.#app = app;
    this.#onUndo = onUndo;
    this.element = element("div", { class: "stack frame" });
    /** Stands after the step's own widget, too: what is told of a drawing that comes first. */
    this.below = element("div", { class: "stack" });
    /** Stands after the step's own widget: the way past a hold is never the first thing at hand. */
    this.wayPast = element("div", { class: "way-past" });
  }

  /** @param {{job: JobModel, step: Object, goOn: function(): void}} context */
  async update({ job, step, goOn }) {
    const { t } = this.#app;
    const key = (part) => `step.${step.id}.${part}`;
    const shown = await shownPicture({ app: this.#app, job, step });
    const detail = t.has(key("detail")) && element("p", { class: "detail-text", text: t(key("detail"), step.params) });
    fill(this.element,
      step.hold && element("p", { class: "hold-mark with-shape", key: "hold" }, stateShape(step.state === "overridden" ? "overridden" : "hold"),
        element("span", { text: t("ui.hold") })),
      step.caution && t.has(key("caution")) && signal({ t, level: step.caution, text: t(key("caution"), step.params) }),
      shown?.isFirst ? shown.picture : detail,
      await boltLengthWarnings({ app: this.#app, job, step }),
      this.#state(job, step),
      step.conflict && this.#conflict(job, step),
      !shown?.isFirst && shown?.picture);
    fill(this.below, shown?.isFirst && detail, shown?.more);
    fill(this.wayPast, step.canOverride && this.#override(job, step, goOn));
  }

  #state(job, step) {
    const { t } = this.#app;
    if (step.state === "locked") return this.#locked(job, step);
    if (step.state === "refused") return remark({ name: "refused", text: t("ui.refused.next"), key: "refused" });
    const isShownBelow = step.type === "panel" || step.type === "photo";
    if (step.state === "open" || (isShownBelow && step.state !== "overridden")) return null;
    const entry = sayingEntry(job, step);
    if (!entry) return null;
    return element("div", { class: "sheet stack", key: "answer" },
      remark({ name: step.state, text: t("ui.step.answered", { answer: answerWords(t, step, entry) || t("ui.answer.step-done"), by: entry.by }) }),
      step.lockedBy && this.#locked(job, step),
      button({ key: "undo-step", label: t("ui.undo.step"), kind: "quiet", onPress: this.#onUndo }));
  }

  #locked(job, step) {
    const { t } = this.#app;
    const lock = job.step(step.lockedBy);
    const words = t(`ui.lock.${step.lockedFor}`, { step: lock ? stepName(t, lock) : step.lockedBy });
    const refusal = lock?.refusal && element("p", { text: t(`refusal.${lock.refusal}`) });
    return element("div", { class: "stack", key: "locked" }, remark({ name: "locked", text: words }), refusal);
  }

  /** Two people said different things: both stand here, and the answer given now supersedes both. */
  #conflict(job, step) {
    const { t } = this.#app;
    return element("div", { class: "sheet stack", role: "alert", key: "conflict" },
      remark({ name: "warning", text: t("ui.conflict") }),
      element("ul", { class: "stack" }, job.live(step.slot).map((entry) =>
        element("li", { text: t("ui.conflict.line", { by: entry.by, answer: answerWords(t, step, entry) || entry.kind }) }))));
  }

  #override(job, step, goOn) {
    const { t } = this.#app;
    const reason = new TextField({ label: t("ui.hold.reason"), key: "override-reason", lines: true });
    const press = async () => {
      const text = reason.text.trim();
      if (!text) return reason.refuse(t("ui.hold.reason.missing"));
      if (text.length < LEAST_REASON) return reason.refuse(t("ui.hold.reason.short", { got: text, least: LEAST_REASON }));
      const plan = step.panel === "consent" && agreement(job.fold, currentRound(job.fold), job.live(step.slot)); // gone past for this plan alone
      const saved = await this.#app.save({ job: job.id, kind: KIND.HOLD_OVERRIDDEN, slot: step.slot, body: { reason: text, ...plan } });
      return saved && goOn();
    };
    return element("details", { class: "override" },
      element("summary", { class: "button quiet", key: "override" }, element("span", { class: "button-label", text: t("ui.hold.go-past") })),
      element("div", { class: "stack" }, reason.element, button({ key: "override-keep", label: t("ui.hold.override"), onPress: press })));
  }
}
