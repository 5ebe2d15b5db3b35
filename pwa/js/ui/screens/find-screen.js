/**
 * Finds job sheets at the shop by registration and takes one along on this phone. Only with a way to the shop's server.
 */

import { bringJob, findJobs } from "../../sync/find-jobs.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { TextField } from "../fields/text-field.js";
import { dateAndTime } from "../words/date-words.js";

const TROUBLES = new Set(["offline", "not-our-server", "not-paired"]);

export class FindScreen {
  #app;
  #registration;
  #outcome = element("div", { class: "stack wide", role: "status", key: "found" });
  #isAsking = false;

  constructor(app) {
    this.#app = app;
    const { t } = app;
    this.#registration = new TextField({ key: "find-registration", label: t("find.registration"), capitals: true,
      onEnter: () => this.#find() });
    this.element = element("div", { class: "stack wide" },
      element("h1", { text: t("find.title") }),
      element("p", { text: t("find.how") }),
      this.#registration.element,
      this.#outcome);
  }

  async update() {}

  frame() {
    const { t } = this.#app;
    return {
      name: t("find.title"),
      back: () => this.#app.go({ screen: "start" }),
      primary: { key: "find", label: t("find.find"), press: () => this.#find() },
    };
  }

  #find() {
    const typed = this.#registration.text.trim();
    if (!/[\p{L}\p{N}]/u.test(typed)) return this.#registration.refuse(this.#app.t("find.missing"));
    return this.#ask(async () => {
      const found = await findJobs(typed);
      this.#show(typed, found, await Promise.all(found.map(({ id }) => this.#app.phone.isHere(id))));
    });
  }

  #show(typed, found, here) {
    const { t } = this.#app;
    fill(this.#outcome,
      element("p", { class: "big", text: found.length === 0 ? t("find.none", { registration: typed })
        : t("find.count", { count: found.length }) }),
      found.map((job, k) => this.#card(job, here[k])));
  }

  #card({ id, registration, vehicle, state, changed_ms: changed }, isHere) {
    const { t, locale } = this.#app;
    const words = [vehicle, t(`line.state.${state}`), dateAndTime(changed, locale), isHere && t("find.here")]
      .filter(Boolean).join(" · ");
    return button({
      key: `found-${id}`, label: registration || t("ui.job.no-registration"),
      detail: element("span", { class: "detail", text: words }),
      onPress: () => (isHere ? this.#open(id)
        : this.#ask(async () => { await bringJob(this.#app.phone, id); return this.#open(id); })),
    });
  }

  #open(job) {
    return this.#app.go({ screen: "sheet", job });
  }

  /** One request at a time; what went wrong is said in place of the answer, and what was typed stays. */
  async #ask(work) {
    if (this.#isAsking) return;
    this.#isAsking = true;
    const { t } = this.#app;
    fill(this.#outcome, element("p", { text: t("find.asking") }));
    try {
      await work();
    } catch (trouble) {
      fill(this.#outcome, remark({ name: "warning", key: "find-trouble",
        text: t(`find.error.${TROUBLES.has(trouble.code) ? trouble.code : "other"}`) }));
    } finally {
      this.#isAsking = false;
    }
  }
}
