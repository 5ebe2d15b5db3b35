/**
 * Readings of both rear wheels (before, or after fitting) and of the front ones: each angle on a screen of its own,
 * kept as soon as it is typed; then the list with means, repeats and how they stand to the windows.
 */

import { KIND } from "../../../domain/job/entry.js";
import { AngleAsk } from "../../fields/angle-ask.js";
import { button, element, fill } from "../../parts/element.js";
import { ReadingAsks } from "./reading-asks.js";
import { readingsOverview } from "./readings-overview.js";
import { askedReadings } from "./asked-readings.js";

export class ReadingsPanel {
  #context;
  #asked;
  #asks;
  #ask = null;

  constructor(context) {
    this.#context = context;
    this.#asked = askedReadings(context.step, context.job);
    this.#asks = new ReadingAsks(this.#asked);
    this.element = element("div", { class: "stack" });
  }

  update(context) {
    this.#context = context;
    if (!this.#ask) this.#showOverview();
  }

  get primary() {
    const { app: { t }, goOn, job, step } = this.#context;
    if (this.#ask) return this.#ask.primary;
    const next = this.#asks.next(job);
    if (!next) return { key: "next", label: t("ui.step.next"), press: goOn };
    if (!step.required) return { key: "skip", label: t("ui.step.skip"), press: goOn };
    return { key: "read", label: this.#readWords(next), press: () => this.#open(next) };
  }

  /** While an angle is asked for: the way out of it. */
  get leave() {
    return this.#ask && (() => this.#leave());
  }

  #showOverview() {
    const { app, job, step } = this.#context;
    const { t } = app;
    const next = !step.required && this.#asks.next(job);
    fill(this.element,
      next && button({ key: "read", label: this.#readWords(next), onPress: () => this.#open(next) }),
      readingsOverview({ app, job, asked: this.#asked, onChange: (ask) => this.#open(ask), onWithdraw: (slot) => this.#withdraw(slot) }),
      this.#asked.repeats && !this.#asks.next(job) && button({ key: "repeat", label: t("ui.reading.repeat"), onPress: () => this.#repeat() }),
      this.#asked.repeats && !this.#asks.byTotal && button({ key: "by-total", label: t("ui.reading.by-total"), onPress: () => this.#byTotal() }));
    app.frame();
  }

  #repeat() {
    this.#asks.again(this.#context.job);
    this.#open(this.#asks.next(this.#context.job));
  }

  #byTotal() {
    this.#asks.byTotal = true;
    const next = this.#asks.next(this.#context.job);
    if (next) this.#open(next);
    else this.#repeat();
  }

  async #open(ask) {
    const { app, job } = this.#context;
    this.#ask = await new AngleAsk({
      app,
      draftKey: `${job.id}.${ask.slot}.${ask.part}`,
      quantity: ask.part,
      side: ask.side,
      axle: this.#asked.axle,
      title: this.#title(ask),
      kept: this.#asks.kept(job, ask),
      window: this.#asked.window(job, ask),
      keep: (angle) => this.#keep(ask, angle),
    }).prepare();
    fill(this.element, this.#ask.element);
    app.frame();
    app.toTop();
  }

  async #keep(ask, angle) {
    const { app, job } = this.#context;
    for (const [at, content] of this.#asks.contents(job, ask, angle).entries()) {
      if (!(await app.save({ job: job.id, ...content }, { joined: at > 0 }))) return false;
    }
    const now = await app.job(job.id);
    this.#context = { ...this.#context, job: now };
    const next = ask.alone ? null : this.#asks.next(now);
    if (next) await this.#open(next);
    else this.#leave();
    return true;
  }

  #leave() {
    this.#ask = null;
    this.#showOverview();
  }

  async #withdraw(slot) {
    const { app, job } = this.#context;
    if (await app.save({ job: job.id, kind: KIND.READING_TAKEN, slot, body: { camber: null, toe: null } })) app.say(app.t("ui.reading.withdrawn"));
  }

  #readWords({ side, part, prefix }) {
    const { app: { t } } = this.#context;
    const names = { side: side && t(`ui.side.${side}`), part: t(`ui.quantity.${part}`), when: this.#asked.axle === "front" && t(`ui.reading.${prefix}`) };
    return t(side ? `ui.reading.read.${this.#asked.axle}` : "ui.reading.read", names);
  }

  #title(ask) {
    return this.#asked.title(this.#context.app.t, ask);
  }
}
