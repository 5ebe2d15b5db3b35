/** Stopping a job unfinished: why, in which state the vehicle is left, what is awaited, who keeps the key. */

import { KIND } from "../../../domain/job/entry.js";
import { Choices } from "../../fields/choices.js";
import { confirmButton } from "../../parts/confirm-button.js";
import { element, fill } from "../../parts/element.js";
import { remark } from "../../parts/signal.js";
import { optionWords } from "../../words/step-words.js";
import { TextField } from "../../fields/text-field.js";

export class StopPanel {
  #context;
  #form;
  #parts;

  constructor(context) {
    this.#context = context;
    const { app: { t }, job, typed } = context;
    const kept = typed ?? {};
    const of = (set) => job.checklist.option_sets[set].map(({ id }) => ({ id, label: optionWords(t, set, id) }));
    const onChange = () => context.draft.write(this.#typed());
    this.#parts = {
      reason: new Choices({ legend: t("ui.stop.reason"), key: "stop-reason", options: of("stop-reason"), chosen: kept.reason, onChange }),
      vehicle_state: new Choices({ legend: t("ui.stop.vehicle"), key: "stop-vehicle", options: of("stop-vehicle"), chosen: kept.vehicle_state, onChange }),
      awaited: new TextField({ label: t("ui.stop.awaited"), hint: t("ui.stop.awaited.hint"), key: "stop-awaited", lines: true, text: kept.awaited, onTyping: onChange }),
      key_kept: new Choices({ legend: t("ui.stop.key"), key: "stop-key", options: ["kept", "with-customer"].map((id) => ({ id, label: t(`ui.stop.key.${id}`) })), chosen: kept.key_kept, onChange }),
    };
    this.#form = element("div", { class: "stack wide" }, Object.values(this.#parts).map((part) => part.element),
      confirmButton(context, t("ui.stop.confirm"), () => this.#stop()));
    this.element = element("div", {});
  }

  update(context) {
    this.#context = { ...this.#context, ...context };
    const { app: { t }, job } = context;
    if (job.fold.state !== "stopped") return fill(this.element, this.#form);
    return fill(this.element, element("div", { class: "stack" }, job.fold.stopped.map(({ by, body }) => stoppedWords(t, by, body))));
  }

  get primary() {
    const { app, job } = this.#context;
    if (job.fold.state === "stopped") return { key: "to-start", label: app.t("ui.to-start"), press: () => app.go({ screen: "start" }) };
    return null;
  }

  #typed() {
    const { reason, vehicle_state: vehicle, awaited, key_kept: key } = this.#parts;
    return { reason: reason.chosen, vehicle_state: vehicle.chosen, awaited: awaited.text.trim(), key_kept: key.chosen };
  }

  async #stop() {
    const { app, job, draft } = this.#context;
    const typed = this.#typed();
    const open = ["reason", "vehicle_state", "key_kept"].find((name) => !typed[name]);
    if (open) {
      app.say(app.t(`ui.stop.${open}.missing`));
      return this.#parts[open].focus();
    }
    const body = { ...typed, key_kept: typed.key_kept === "kept" };
    if (!(await app.save({ job: job.id, kind: KIND.JOB_STOPPED, slot: null, body }))) return undefined;
    await draft.drop();
    return app.say(app.t("ui.stop.done"));
  }
}

/** @returns {HTMLElement} the hand-over of a stopped job in words */
export function stoppedWords(t, by, { reason, vehicle_state: vehicle, awaited, key_kept: key }) {
  return element("div", { class: "sheet stack", key: "stopped" },
    remark({ name: "stopped", text: t("ui.stop.stopped", { by, reason: optionWords(t, "stop-reason", reason) }) }),
    element("p", { text: optionWords(t, "stop-vehicle", vehicle) }),
    awaited && element("p", { text: t("ui.stop.waits-for", { awaited }) }),
    element("p", { text: t(key ? "ui.stop.key.kept" : "ui.stop.key.with-customer") }));
}
