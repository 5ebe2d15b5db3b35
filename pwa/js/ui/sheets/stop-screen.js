/**
 * Stopping a job unfinished, or ending it without rings: why, in which state the vehicle is left, what is awaited, who
 * keeps the key.
 */

import { KIND } from "../../domain/job/entry.js";
import { isTicked } from "../../domain/job/checklist-slots.js";
import { fitSlot, isBegun, mayBoltBeOut } from "../../domain/job/round-work.js";
import { Draft } from "../parts/draft.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { TextField } from "../fields/text-field.js";
import { reopenCard } from "./reopen-card.js";
import { optionWords } from "../words/row-words.js";

const CHOICES = { reason: "stop-reason", vehicle_state: "stop-vehicle" };
const KEYS = ["kept", "with-customer"];

export class StopScreen {
  #app;
  #route;
  #job = null;
  #draft;
  #typed = {};
  #awaited;
  #buttons = [];
  #shown = null;
  #said = element("p", { class: "error", role: "alert", key: "stop-said" });

  constructor(app, route) {
    this.#app = app;
    this.#route = route;
    this.#draft = new Draft(app.phone, `stop.${route.job}`);
    this.element = element("article", { class: "stack wide stop" });
  }

  async update() {
    const isFirst = this.#job === null;
    this.#job = await this.#app.job(this.#route.job);
    if (isFirst) this.#typed = (await this.#draft.read()) ?? {};
    if (this.#isUp && this.#typed.vehicle_state === "as-it-came") delete this.#typed.vehicle_state;
    const was = this.#shown;
    this.#shown = this.#job.fold.state === "stopped" ? "stopped" : "asking";
    if (this.#shown === "stopped") return this.#showStopped();
    if (was !== "asking") this.#build();
    return undefined;
  }

  frame() {
    const { t } = this.#app;
    const back = () => this.#app.go({ screen: "sheet", job: this.#route.job, sheet: null });
    return { name: this.#job?.registration || t("ui.job.no-registration"), place: t("ui.stop"), back,
      primary: this.#job?.fold.state === "stopped"
      ? { key: "to-start", label: t("ui.to-start"), press: () => this.#app.go({ screen: "start" }) } : null };
  }

  #build() {
    const { t } = this.#app;
    const sets = this.#job.checklist.option_sets;
    this.#awaited = new TextField({ label: t("ui.stop.awaited"), hint: t("ui.stop.awaited.hint"), key: "stop-awaited",
      lines: true, text: this.#typed.awaited ?? "", onTyping: (awaited) => this.#change({ awaited }) });
    const choice = (name, options, labelOf) =>
      element("section", { class: "stack", role: "group",
        "aria-label": t(`ui.stop.${name === "vehicle_state" ? "vehicle" : name === "key_kept" ? "key" : name}`) },
      element("h2",
        { text: t(`ui.stop.${name === "vehicle_state" ? "vehicle" : name === "key_kept" ? "key" : name}`) }),
      element("div", { class: "options-list" }, options.map((id) => this.#option(name, id, labelOf(id)))));
    fill(this.element,
      element("h1", { text: t("ui.stop") }),
      this.#mayBoltBeOut && remark({ name: "warning", text: t("ui.stop.bolt-out"), key: "bolt-out" }),
      !this.#job.isEnding && this.#endWithoutRings(),
      Object.entries(CHOICES).map(([name, set]) => choice(name,
        sets[set].map(({ id }) => id).filter((id) => id !== "as-it-came" || !this.#isUp),
        (id) => optionWords(t, set, id))),
      this.#awaited.element,
      choice("key_kept", KEYS, (id) => t(`ui.stop.key.${id}`)),
      this.#said,
      button({ key: "stop-now", label: t("ui.stop.confirm"), kind: "confirm", onPress: () => this.#stop() }));
    this.#show();
  }

  get #rounds() {
    return Array.from({ length: this.#job.round + 1 }, (_, round) => round); // old rings come out in round 0
  }

  /** Nobody leaves a vehicle as it came that was raised and is not let down yet. */
  get #isUp() {
    const { fold } = this.#job;
    const isLifted = (round) => ["lifted", "supported"].some((name) => isTicked(fold, fitSlot(round, name)));
    return this.#rounds.some((round) =>
      isLifted(round) && ["open", "locked"].includes(this.#job.row(fitSlot(round, "lowered"))?.state));
  }

  get #isBegun() {
    return this.#rounds.some((round) => isBegun(this.#job.fold, round));
  }

  /** Whatever was put in or taken out, a bolt that was backed out is in again once somebody says so. */
  get #mayBoltBeOut() {
    const { fold, round } = this.#job;
    return mayBoltBeOut(fold, round) && !isTicked(fold, "finish.bolt-back");
  }

  /** The other way out: the job is finished without rings, on the short Finish. */
  #endWithoutRings() {
    const { t } = this.#app;
    return element("section", { class: "sheet stack" },
      element("p", { text: t(this.#isBegun ? "stop.end.means-begun" : "stop.end.means") }),
      button({ key: "end-without-rings", label: t("stop.end"), onPress: () => this.#end() }));
  }

  async #end() {
    const { id } = this.#job;
    const saved = await this.#app.save({ job: id, kind: KIND.FIELD_SET, slot: "finish.ending",
      body: { value: this.#typed.reason ?? "refused" } });
    if (saved) this.#app.go({ screen: "sheet", job: id, sheet: "finish" });
  }

  #option(name, id, label) {
    const made = button({ key: `${name}-${id}`, label, kind: "option", pressed: false,
      onPress: () => this.#change({ [name]: id }) });
    this.#buttons.push({ name, id, made });
    return made;
  }

  #change(change) {
    Object.assign(this.#typed, change);
    this.#draft.write(this.#typed);
    this.#said.textContent = "";
    this.#show();
  }

  #show() {
    for (const { name, id, made } of this.#buttons) made.setAttribute("aria-pressed", String(this.#typed[name] === id));
  }

  async #stop() {
    const { t } = this.#app;
    const open = ["reason", "vehicle_state", "key_kept"].find((name) => !this.#typed[name]);
    if (open) {
      this.#said.textContent = t(`ui.stop.${open}.missing`);
      return this.#buttons.find(({ name }) => name === open).made.focus();
    }
    const { reason, vehicle_state, awaited = "", key_kept: key } = this.#typed;
    const body = { reason, vehicle_state, awaited: awaited.trim(), key_kept: key === "kept" };
    if (!(await this.#app.save({ job: this.#job.id, kind: KIND.JOB_STOPPED, slot: null, body }))) return undefined;
    await this.#draft.drop();
    return this.#app.say(t("ui.stop.done"));
  }

  #showStopped() {
    const { t } = this.#app;
    fill(this.element, element("h1", { text: t("ui.stop") }),
      this.#job.fold.stopped.map(({ by, body }) => stoppedWords(t, by, body)),
      reopenCard({ app: this.#app, job: this.#job }));
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
