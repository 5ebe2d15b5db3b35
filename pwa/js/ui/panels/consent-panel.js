/** The customer's consent, recorded before anything is taken apart: findings, work, price, risks told, who said yes and how. */

import { currentRound } from "../../domain/checklist.js";
import { KIND } from "../../domain/entry.js";
import { Choices } from "../choices.js";
import { element, fill } from "../element.js";
import { confirmButton } from "../steps/tick-step.js";
import { remark } from "../signal.js";
import { TextField } from "../text-field.js";

const TEXTS = ["findings", "work", "price", "customer"];
const WAYS = ["signed", "in-person", "by-phone", "by-message"];

export class ConsentPanel {
  #context;
  #fields = {};
  #risks;
  #how;
  #other = element("div", { role: "status" });

  constructor(context) {
    this.#context = context;
    const { app: { t }, job, step, typed } = context;
    const kept = typed ?? job.body(step.slot, KIND.CONSENT_RECORDED) ?? {};
    for (const name of TEXTS) {
      this.#fields[name] = new TextField({
        label: t(`ui.consent.${name}`), hint: t(`ui.consent.${name}.hint`), key: `consent-${name}`, lines: name !== "customer",
        text: kept[name] ?? "", onTyping: () => this.#changed(),
      });
    }
    this.#risks = new Choices({
      legend: t("ui.consent.risks"), key: "consent-risks", several: true, chosen: kept.risks_told ? ["told"] : [],
      options: [{ id: "told", label: t("ui.consent.risks.told") }], onChange: () => this.#changed(),
    });
    this.#how = new Choices({
      legend: t("ui.consent.how"), key: "consent-how", chosen: kept.how ?? null,
      options: WAYS.map((id) => ({ id, label: t(`ui.consent.how.${id}`) })), onChange: () => this.#changed(),
    });
    this.element = element("div", { class: "stack wide" },
      this.#other,
      step.state === "done" && remark({ name: "done", text: t("ui.consent.recorded") }),
      TEXTS.slice(0, 3).map((name) => this.#fields[name].element),
      this.#risks.element, this.#fields.customer.element, this.#how.element,
      confirmButton(context, t("ui.consent.confirm"), () => this.#keep()));
  }

  update(context) {
    this.#context = { ...this.#context, ...context };
    const { app: { t }, step: { warning } } = this.#context;
    fill(this.#other, warning && remark({ name: "warning", text: t(`warning.${warning}`), key: warning }));
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
    this.#context.draft.write(this.#typed());
  }

  async #keep() {
    const { app, job, step, draft, goOn } = this.#context;
    const typed = this.#typed();
    const empty = TEXTS.find((name) => !typed[name]);
    if (empty) return this.#fields[empty].refuse(app.t("ui.text.missing"));
    if (!typed.risks_told) return this.#ask(this.#risks, "ui.consent.risks.missing");
    if (!typed.how) return this.#ask(this.#how, "ui.consent.how.missing");
    const [plan] = job.live(`round.${currentRound(job.fold)}.plan`); // the one that the customer agrees to
    const body = { ...typed, plan: plan?.id ?? null };
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
