/**
 * The customer's consent, recorded before anything is taken apart: findings, work, price, risks told, who said yes and how.
 * It names the plan that it was given for; findings and work begin with what readings and plan say.
 */

import { agreement, isBehind } from "../../../domain/job/agreed.js";
import { currentRound } from "../../../domain/job/checklist-slots.js";
import { KIND } from "../../../domain/job/entry.js";
import { Choices } from "../../fields/choices.js";
import { confirmButton } from "../../parts/confirm-button.js";
import { findingsWords, workWords } from "./consent-words.js";
import { element, fill } from "../../parts/element.js";
import { remark } from "../../parts/signal.js";
import { TextField } from "../../fields/text-field.js";

const TEXTS = ["findings", "work", "price", "customer"];
const WAYS = ["signed", "in-person", "by-phone", "by-message"];

export class ConsentPanel {
  #context;
  #fields = {};
  #risks;
  #how;
  #other = element("div", { class: "stack", role: "status" });
  #isPrefilled = false;

  constructor(context) {
    this.#context = context;
    this.element = element("div", { class: "stack wide" });
  }

  async prepare() {
    const { app: { t }, step } = this.#context;
    const start = await this.#start();
    for (const name of TEXTS) {
      this.#fields[name] = new TextField({
        label: t(`ui.consent.${name}`), hint: t(`ui.consent.${name}.hint`), key: `consent-${name}`, lines: name !== "customer",
        text: start[name] ?? "", onTyping: () => this.#changed(),
      });
    }
    this.#risks = new Choices({
      legend: t("ui.consent.risks"), key: "consent-risks", several: true, chosen: start.risks_told ? ["told"] : [],
      options: [{ id: "told", label: t("ui.consent.risks.told") }], onChange: () => this.#changed(),
    });
    this.#how = new Choices({
      legend: t("ui.consent.how"), key: "consent-how", chosen: start.how ?? null,
      options: WAYS.map((id) => ({ id, label: t(`ui.consent.how.${id}`) })), onChange: () => this.#changed(),
    });
    fill(this.element,
      this.#other,
      step.state === "done" && remark({ name: "done", text: t("ui.consent.recorded") }),
      TEXTS.slice(0, 3).map((name) => this.#fields[name].element),
      this.#risks.element, this.#fields.customer.element, this.#how.element,
      confirmButton(this.#context, t("ui.consent.confirm"), () => this.#keep()));
  }

  /** What was typed; else what is kept; for a plan that nobody has agreed to, its own words and a yes still to be given. */
  async #start() {
    const { job, step, typed } = this.#context;
    const given = job.entries.findLast(({ kind }) => kind === KIND.CONSENT_RECORDED)?.body ?? {};
    if (typed || step.state !== "open") return typed ?? given;
    this.#isPrefilled = Boolean(job.planEntry);
    return { price: given.price, customer: given.customer, ...(await this.#fromPlan()) };
  }

  async #fromPlan() {
    const { app, job } = this.#context;
    if (!job.planEntry) return {};
    const sets = await app.phone.ringSets();
    const nameOf = (id) => sets.find((set) => set.id === id)?.name ?? id;
    const round = currentRound(job.fold);
    return { findings: findingsWords(app, job.fold, round), work: workWords(app, job.fold, round, nameOf) };
  }

  update(context) {
    this.#context = { ...this.#context, ...context };
    const { app: { t }, step: { warning }, job, typed } = this.#context;
    fill(this.#other,
      warning && remark({ name: "warning", text: t(`warning.${warning}`), key: warning }),
      typed && isBehind(job.fold, currentRound(job.fold), typed.plan ?? null) && remark({ name: "warning", text: t("fitting.consent.plan-changed"), key: "consent-behind" }),
      this.#isPrefilled && element("p", { text: t("fitting.consent.prefilled") }));
  }

  get primary() {
    const { app: { t }, step, goOn } = this.#context;
    return step.state === "done" || step.state === "overridden" ? { key: "next", label: t("ui.step.next"), press: goOn } : null;
  }

  #typed() {
    const texts = Object.fromEntries(TEXTS.map((name) => [name, this.#fields[name].text.trim()]));
    return { ...texts, risks_told: this.#risks.chosen.length > 0, how: this.#how.chosen };
  }

  #changed() {
    const { draft, job } = this.#context;
    draft.write({ ...this.#typed(), plan: job.planEntry?.id ?? null });
  }

  async #keep() {
    const { app, job, step, draft, goOn } = this.#context;
    const typed = this.#typed();
    const empty = TEXTS.find((name) => !typed[name]);
    if (empty) return this.#fields[empty].refuse(app.t("ui.text.missing"));
    if (!typed.risks_told) return this.#ask(this.#risks, "ui.consent.risks.missing");
    if (!typed.how) return this.#ask(this.#how, "ui.consent.how.missing");
    const body = { ...typed, ...agreement(job.fold, currentRound(job.fold), job.live(step.slot)) };
    if (!(await app.save({ job: job.id, kind: KIND.CONSENT_RECORDED, slot: step.slot, body }))) return undefined;
    await draft.drop();
    return goOn();
  }

  #ask(choices, key) {
    const { app } = this.#context;
    app.say(app.t(key));
    choices.focus();
  }
}
