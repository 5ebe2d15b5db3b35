/**
 * Two holds that are there only while something is so: a plan that no longer follows from the numbers, and parts that
 * the plan needs and that are not here.
 */

import { PUT_IN } from "../../domain/job/untrusted-sets.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";

/** What changed since the plan was taken, from and to, and the way to choose again. */
export class PlanStands {
  #context;

  constructor(context, row) {
    this.#context = context;
    this.element = element("div", { class: "stack", key: "plan-stands" });
    this.update(row);
  }

  update(row) {
    const { t, job, goTo } = this.#context;
    const stale = job.stalePlan(row.round);
    fill(this.element,
      element("ul", { class: "stack" },
        (stale?.changes ?? []).map((change) => element("li", { text: this.#words(change) }))),
      button({ key: "choose-again", label: t("plan-stands.again"),
        onPress: () => goTo(job.slotOf("choose.plan", { round: row.round })) }));
  }

  reveal() {
    this.element.querySelector("button").focus({ preventScroll: true });
  }

  #words({ what, was, now }) {
    const { t, job } = this.#context;
    if (what.startsWith(`${PUT_IN}.`)) {
      const id = what.slice(PUT_IN.length + 1);
      return t("plan-stands.put-in", { set: job.names[id] ?? id });
    }
    const parts = what.split(".");
    const quantity = parts.at(-1).replace("_", "-");
    const side = parts.find((part) => part === "left" || part === "right");
    const kind = parts[0] === "window" || parts[0] === "aim" || parts[0] === "axle" || parts[0] === "rings"
      ? parts[0] : "reading";
    const name = [side && t(`ui.side.${side}`), t.has(`ui.quantity.${quantity}`) && t(`ui.quantity.${quantity}`)]
      .filter(Boolean).join(" ");
    return t(`plan-stands.${kind}`, { name, was: this.#said(quantity, was), now: this.#said(quantity, now) });
  }

  #said(quantity, value) {
    const { t, app: { words } } = this.#context;
    if (typeof value === "number" && t.has(`ui.quantity.${quantity}`)) return words.say(quantity, value);
    if (Array.isArray(value) && t.has(`ui.quantity.${quantity}`)) return words.window(quantity, value);
    return value === null ? t("windows.none") : typeof value === "string" || typeof value === "boolean" ? String(value)
      : JSON.stringify(value);
  }
}

/** Which parts, and the way to their list. */
export class PartsMissing {
  #context;

  constructor(context, row) {
    this.#context = context;
    this.element = element("div", { class: "stack", key: "parts-missing" });
    this.update(row);
  }

  update(row) {
    const { t, job, goTo } = this.#context;
    fill(this.element,
      job.partsMissing(row.round).map((item) => remark({ name: "open", text: t(`single-use.${item}`) })),
      button({ key: "to-parts", label: t("parts-missing.list"),
        onPress: () => goTo(job.slotOf("choose.single-use", { round: row.round })) }));
  }

  reveal() {
    this.element.querySelector("button").focus({ preventScroll: true });
  }
}
