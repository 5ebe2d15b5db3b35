/**
 * The maker's windows: where they come from, then lowest and highest of each angle, for each wheel or the same for
 * both, and for the axle. "The maker gives none" is an answer of its own and never the same as "not typed yet".
 */

import { makeWindow } from "../../../domain/numbers/angle.js";
import { KIND } from "../../../domain/job/entry.js";
import { PARTS } from "../../../domain/numbers/quantities.js";
import { SIDES } from "../../../domain/numbers/sides.js";
import { AngleAsk } from "../../fields/angle-ask.js";
import { Choices } from "../../fields/choices.js";
import { Draft } from "../../parts/draft.js";
import { element, fill } from "../../parts/element.js";
import { TextField } from "../../fields/text-field.js";
import { isAnswered, windowsOf } from "./window-list.js";
import { windowCard } from "./window-card.js";

export class WindowsPanel {
  #context;
  #source;
  #sourceDraft;
  #alike;
  #cards = element("div", { class: "stack" });
  #overview;
  #ask = null;

  constructor(context) {
    this.#context = context;
    const { app, job } = context;
    this.#sourceDraft = new Draft(app.phone, `window-source.${job.id}`);
    this.#alike = !PARTS.some((part) => differs(job, part));
    this.element = element("div", { class: "stack" });
  }

  async prepare() {
    const { app: { t, frame }, app, job } = this.#context;
    this.#source = new TextField({
      label: t("ui.window.source"), hint: t("ui.window.source.hint"), key: "window-source", lines: true,
      text: (await this.#sourceDraft.read()) ?? job.field("window.source") ?? "",
      onTyping: (text) => { this.#sourceDraft.write(text); frame.call(app); },
    });
    const alike = new Choices({
      legend: t("ui.window.alike"), key: "alike", chosen: this.#alike ? "both" : "each",
      options: ["both", "each"].map((id) => ({ id, label: t(`ui.window.alike.${id}`) })),
      onChange: (chosen) => { this.#alike = chosen === "both"; this.#showCards(); },
    });
    this.#overview = element("div", { class: "stack wide" }, this.#source.element, alike.element, this.#cards);
    fill(this.element, this.#overview);
  }

  update(context) {
    this.#context = context;
    if (!this.#ask) this.#showCards();
  }

  get primary() {
    const { app: { t }, job, goOn } = this.#context;
    if (this.#ask) return this.#ask.primary;
    const typed = this.#source.text.trim();
    if (typed === "" || typed !== job.field("window.source")) return { key: "keep-source", label: t("ui.window.source.keep"), press: () => this.#keepSource() };
    const open = this.#windows().find((each) => !isAnswered(job, each));
    if (open) return { key: "type-window", label: t("ui.window.type", { what: open.name(t) }), press: () => this.#openLow(open) };
    return { key: "next", label: t("ui.step.next"), press: goOn };
  }

  /** While a limit is asked for: the way out of it. */
  get leave() {
    return this.#ask && (() => this.#leave());
  }

  #windows() {
    return windowsOf(this.#alike);
  }

  #showCards() {
    const { app, job } = this.#context;
    fill(this.#cards, this.#windows().map((each) => windowCard({
      app, job, window: each, onType: () => this.#openLow(each), onNone: () => this.#keep(each, null),
    })));
    app.frame();
  }

  async #keepSource() {
    const { app, job } = this.#context;
    const source = this.#source.text.trim();
    if (!source) return this.#source.refuse(app.t("ui.window.source.missing"));
    if (!(await app.save({ job: job.id, kind: KIND.FIELD_SET, slot: "window.source", body: { value: source } }))) return undefined;
    return this.#sourceDraft.drop();
  }

  /** The lower edge waits as a draft until the upper one is kept with it. */
  async #openLow(each) {
    const lowDraft = new Draft(this.#context.app.phone, `window-low.${this.#context.job.id}.${each.slots[0]}`);
    const kept = (await lowDraft.read()) ?? this.#keptWindow(each)?.low;
    await this.#open(each, "low", kept, {
      keep: async (low) => {
        await lowDraft.write(low);
        await this.#openHigh(each, low, lowDraft);
        return true;
      },
    });
  }

  #openHigh(each, low, lowDraft) {
    const { t, words } = this.#context.app;
    return this.#open(each, "high", this.#keptWindow(each)?.high, {
      check: (high) => this.#refusal(each, low, high),
      doubt: (high) => (high.mdeg === low.mdeg ? t("ui.window.single.doubt", { angle: words.window(each.quantity, [low.mdeg, high.mdeg]) }) : ""),
      keep: async (high) => {
        if (!(await this.#keep(each, makeWindow(low, high, each.quantity)))) return false;
        await lowDraft.drop();
        return true;
      },
    });
  }

  async #open(each, edge, kept, { keep, check, doubt }) {
    const { app, job } = this.#context;
    const { t } = app;
    this.#ask = await new AngleAsk({
      app, keep, check, doubt, kept, quantity: each.quantity, side: each.side, purpose: "window",
      draftKey: `${job.id}.${each.slots[0]}.${edge}`,
      title: t(`ui.window.${edge}`, { what: each.name(t) }),
      hint: t(`ui.window.${edge}.${each.quantity}`),
    }).prepare();
    fill(this.element, this.#ask.element);
    app.frame();
    app.toTop();
  }

  /** @returns {Promise<boolean>} whether every slot of the window is saved */
  async #keep(each, limits) {
    const { app, job } = this.#context;
    for (const [at, slot] of each.slots.entries()) {
      if (!(await app.save({ job: job.id, kind: KIND.FIELD_SET, slot, body: { value: limits } }, { joined: at > 0 }))) return false;
    }
    this.#leave();
    return true;
  }

  #leave() {
    this.#ask = null;
    fill(this.element, this.#overview);
    this.#context.app.render();
  }

  /** Limits the wrong way round, said with their ways, since the numbers alone may look right. */
  #refusal({ quantity }, low, high) {
    const { words } = this.#context.app;
    try {
      makeWindow(low, high, quantity);
      return null;
    } catch (error) {
      return Object.assign(error, { code: "limits-wrong-way-round", params: { low: words.say(quantity, low.mdeg), high: words.say(quantity, high.mdeg) } });
    }
  }

  #keptWindow(each) {
    return this.#context.job.field(each.slots[0]);
  }
}

function differs(job, part) {
  const [left, right] = SIDES.map((side) => JSON.stringify(job.field(`window.${side}.${part}`) ?? null));
  return left !== right;
}

