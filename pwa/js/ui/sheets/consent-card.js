/**
 * The customer's yes, recorded before anything is taken apart: findings and work as readings and plan say them, price,
 * what may happen, who agreed and how. Everything typed stays until it is recorded; the yes is to the plan that stands.
 */

import { agreement, isForOtherWork } from "../../domain/job/agreed-plan.js";
import { KIND } from "../../domain/job/entry.js";
import { TextField } from "../fields/text-field.js";
import { button, element, fill } from "../parts/element.js";
import { more } from "../parts/more-fold.js";
import { remark } from "../parts/signal.js";
import { stateShape } from "../parts/state-shape.js";
import { findingsWords, workWords } from "./consent-words.js";

const TEXTS = ["findings", "work", "price", "customer"];
/** Where Enter leads from a field. */
const AFTER = { price: "customer", customer: null };
const WAYS = ["in-person", "signed", "by-phone", "by-message"];

export class ConsentCard {
  #context;
  #row;
  #key;
  #fields = {};
  #given;
  #risks;
  #ways = new Map();
  #typed;
  #said = element("div", { class: "stack", role: "status" });
  #record;

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    this.#key = `${row.slot}.typed`;
    const { t, typing } = context;
    this.#given = context.job.entries.findLast(({ kind }) => kind === KIND.CONSENT_RECORDED)?.body ?? {};
    this.#typed = typing.at(this.#key) ?? {};
    for (const name of TEXTS) {
      this.#fields[name] = new TextField({
        label: t(`ui.consent.${name}`), hint: t(`ui.consent.${name}.hint`), key: `consent-${name}`,
        lines: name !== "customer" && name !== "price",
        text: this.#typed[name] ?? "", onTyping: (text) => this.#change({ [name]: text }),
        goesOn: name in AFTER, onEnter: () => (AFTER[name] ? this.#fields[AFTER[name]].focus() : this.#risks.focus()),
      });
    }
    this.#risks = element("button",
      { type: "button", class: "tick", key: "consent-risks",
        on: { click: () => this.#change({ risks_told: !this.#isTold() }) } },
      element("span", { class: "tick-box" }),
      element("span", { class: "tick-words" },
        element("span", { class: "row-title", text: t("ui.consent.risks.told") })));
    const ways = WAYS.map((id) => {
      this.#ways.set(id, button({ key: `consent-how-${id}`, label: t(`ui.consent.how.${id}`), kind: "option",
        pressed: false, onPress: () => this.#agreed(id) }));
      return this.#ways.get(id);
    });
    this.#record = button({ key: "record-consent", label: t("plan.consent.record"), kind: "take",
      onPress: () => this.#keep() });
    this.element = element("div", { class: "stack" },
      this.#said,
      more({ label: t("plan.consent.words"), summaryKey: "consent-words" },
        element("div", { class: "stack" }, this.#fields.findings.element, this.#fields.work.element)),
      this.#fields.price.element, this.#fields.customer.element, this.#risks,
      element("p", { class: "cells-title", text: t("ui.consent.how") }),
      element("div", { class: "options four", role: "group", "aria-label": t("ui.consent.how") }, ways),
      this.#record);
    this.update(row);
  }

  update(row) {
    this.#row = row;
    this.#given = this.#context.job.entries.findLast(({ kind }) => kind === KIND.CONSENT_RECORDED)?.body ?? {};
    this.#show();
  }

  reveal() {
    const empty = ["price", "customer"].find((name) => !this.#value(name));
    (empty ? this.#fields[empty].element.querySelector("input, textarea") : this.#risks).focus({ preventScroll: true });
  }

  /**
   * What was typed; else what was recorded for this plan; else the plan's own words. Who agreed and to what price
   * carries over, the yes never.
   */
  #value(name) {
    if (this.#typed[name] !== undefined) return this.#typed[name];
    if (this.#isRecorded || name === "price" || name === "customer") return this.#given[name] ?? "";
    const { app, job } = this.#context;
    if (!job.planEntry) return "";
    const nameOf = (id) => job.names[id] ?? id;
    return name === "findings" ? findingsWords(app, job.fold, this.#row.round)
      : workWords(app, job.fold, this.#row.round, nameOf);
  }

  get #isRecorded() {
    return this.#row.state === "done";
  }

  #isTold() {
    return this.#typed.risks_told ?? (this.#isRecorded && this.#given.risks_told) ?? false;
  }

  #how() {
    return this.#typed.how ?? (this.#isRecorded ? this.#given.how : null) ?? null;
  }

  #change(change) {
    this.#typed = { ...this.#typed, ...change, plan: this.#context.job.planEntry?.id ?? null };
    this.#context.typing.write(this.#key, this.#typed);
    this.#show();
  }

  /** How it was agreed is said last: where nothing else is missing, that records it. */
  #agreed(how) {
    this.#change({ how });
    const isWhole = this.#isTold() && TEXTS.every((name) => this.#fields[name].text.trim());
    return isWhole && this.#context.job.planEntry ? this.#keep() : undefined;
  }

  #show() {
    const { t, job } = this.#context;
    for (const name of TEXTS) {
      const text = this.#value(name);
      if (this.#fields[name].text !== text && !this.#fields[name].element.contains(document.activeElement))
        this.#fields[name].text = text;
    }
    this.#risks.setAttribute("aria-pressed", String(this.#isTold()));
    fill(this.#risks.firstElementChild, stateShape(this.#isTold() ? "done" : "open"));
    for (const [id, way] of this.#ways) way.setAttribute("aria-pressed", String(id === this.#how()));
    const isBehind = this.#typed.plan !== undefined && isForOtherWork(job.fold, this.#row.round, this.#typed.plan);
    const isChanged = TEXTS.some((name) => this.#typed[name] !== undefined) || this.#typed.how !== undefined
      || this.#typed.risks_told !== undefined;
    fill(this.#said,
      this.#isRecorded && remark(isChanged
        ? { name: "open", text: t("ui.consent.changed", { button: t("plan.consent.record") }), key: "consent-said" }
        : { name: "done", text: t("ui.consent.recorded"), key: "consent-said" }),
      isBehind && remark({ name: "warning", text: t("fitting.consent.plan-changed"), key: "consent-behind" }));
    this.#record.hidden = this.#isRecorded && !isChanged;
    this.#record.disabled = !job.planEntry;
  }

  async #keep() {
    const { app, t, job, save, typing } = this.#context;
    const texts = Object.fromEntries(TEXTS.map((name) => [name, this.#fields[name].text.trim()]));
    const empty = TEXTS.find((name) => !texts[name]);
    if (empty) {
      this.#fields[empty].element.closest("details")?.setAttribute("open", "");
      return this.#fields[empty].refuse(t("ui.text.missing"));
    }
    if (!this.#isTold()) return this.#ask(this.#risks, "ui.consent.risks.missing");
    if (!this.#how()) return this.#ask(this.#ways.get(WAYS[0]), "ui.consent.how.missing");
    const body = { ...texts, risks_told: true, how: this.#how(),
      ...agreement(job.fold, this.#row.round, job.live(this.#row.slot)) };
    if (!(await save(this.#row, { kind: KIND.CONSENT_RECORDED, body }))) return undefined;
    this.#typed = {};
    await typing.drop(this.#key);
    app.say(t("ui.consent.recorded"));
    return this.#show();
  }

  #ask(node, key) {
    this.#context.app.say(this.#context.t(key));
    node.focus();
  }
}
