/** Whether rings can go in here at all: what the answers before refuse, and what they warn of, in one list. */

import { refusals, warnings } from "../../../domain/job/checklist.js";
import { button, element, fill } from "../../parts/element.js";
import { remark } from "../../parts/signal.js";
import { stepName } from "../../words/step-words.js";

export class CanGoInPanel {
  #context;

  constructor(context) {
    this.#context = context;
    this.element = element("div", { class: "stack", key: "can-go-in" });
  }

  update(context) {
    this.#context = context;
    const { app: { t }, job, step } = context;
    const refused = refusals(job.checklist, job.fold);
    const warned = warnings(job.checklist, job.fold);
    const unanswered = job.steps.filter(({ gate, state }) => gate && state === "open");
    fill(this.element,
      refused.map((finding) => this.#finding(finding, "refused", "refusal")),
      warned.map((finding) => this.#finding(finding, "warning", "warning")),
      unanswered.map((open) => this.#link(open, remark({ name: "open", text: t("ui.gate.unanswered", { step: stepName(t, open) }) }))),
      step.state === "done" && refused.length === 0 && element("div", { class: "sheet big" }, remark({ name: "done", text: t(this.#freeKey()) })));
  }

  /** A pair fitted already is asked after only later. */
  #freeKey() {
    return this.#context.job.field("vehicle.pair-fitted") === "none" ? "ui.gate.free" : "ui.gate.free-so-far";
  }

  get primary() {
    const { app, job, goOn } = this.#context;
    const { t } = app;
    const refused = refusals(job.checklist, job.fold)[0];
    const open = job.steps.find(({ gate, state }) => gate && state === "open");
    const target = refused ?? open;
    if (!target) return { key: "next", label: t("ui.step.next"), press: goOn };
    return { key: "to-answer", label: t(refused ? "ui.gate.change" : "ui.gate.answer"),
      press: () => app.go({ screen: "step", job: job.id, slot: target.slot }) };
  }

  #finding(finding, shapeName, kind) {
    const { app: { t } } = this.#context;
    return this.#link(finding, remark({ name: shapeName, text: t(`${kind}.${finding.code}`) }));
  }

  #link({ slot }, what) {
    const { app, job } = this.#context;
    const step = job.step(slot);
    return element("div", { class: "sheet stack" }, what,
      button({ key: `open-${slot}`, kind: "quiet", label: app.t("ui.gate.open", { step: stepName(app.t, step) }), onPress: () => app.go({ screen: "step", job: job.id, slot }) }));
  }
}
