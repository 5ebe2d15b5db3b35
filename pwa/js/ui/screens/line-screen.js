/** A job of which this phone has only a line: what is known of it, and taking it along, which needs the network. */

import { bringJob } from "../../sync/find-jobs.js";
import { element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { dateAndTime } from "../words/date-words.js";

const TROUBLES = new Set(["offline", "not-our-server", "not-paired"]);

export class LineScreen {
  #app;
  #job;
  #line = null;
  #about = element("div", { class: "stack wide", key: "line-about" });
  #outcome = element("div", { class: "stack wide", role: "status", key: "line-outcome" });
  #isAsking = false;

  constructor(app, { job }) {
    this.#app = app;
    this.#job = job;
    this.element = element("div", { class: "stack wide" }, element("h1", { text: app.t("line.title") }),
      this.#about, this.#outcome);
  }

  async update() {
    const { t, locale, phone } = this.#app;
    this.#line = await phone.lines().then((lines) => lines.jobs.one(this.#job)).catch(() => null);
    if (!this.#line) return fill(this.#about,
      element("p", { class: "big", key: "line-unknown", text: t("line.unknown") }));
    const { vehicle, state, conflicts, changed_ms: changed } = this.#line;
    return fill(this.#about,
      element("p", { class: "big", text: this.#registration() }),
      vehicle && element("p", { text: vehicle }),
      element("p",
        { text: `${t(`line.state.${state}`)} · ${t("line.changed", { when: dateAndTime(changed, locale) })}` }),
      conflicts > 0 && remark({ name: "warning", key: "line-conflicts",
        text: t("line.conflicts", { count: conflicts }) }),
      element("p", { text: t("line.how") }));
  }

  frame() {
    const { t } = this.#app;
    return {
      name: this.#registration(),
      place: t("line.not-here"),
      back: () => this.#app.go({ screen: "start" }),
      primary: { key: "take-along", label: t("line.bring"), press: () => this.#takeAlong() },
    };
  }

  #registration() {
    return this.#line?.registration || this.#app.t("ui.job.no-registration");
  }

  /** Once it is here, the address shows the job itself. */
  async #takeAlong() {
    if (this.#isAsking) return;
    this.#isAsking = true;
    const { t } = this.#app;
    fill(this.#outcome, element("p", { text: t("line.bringing") }));
    try {
      await bringJob(this.#app.phone, this.#job);
      await this.#app.render();
    } catch (trouble) {
      fill(this.#outcome, remark({ name: "warning", key: "line-trouble", text: this.#words(trouble) }));
    } finally {
      this.#isAsking = false;
    }
  }

  #words({ code, problem }) {
    const { t } = this.#app;
    if (problem === "no-such-job") return t("line.error.no-such-job");
    return t(TROUBLES.has(code) ? `line.error.${code}` : "line.error.other");
  }
}
