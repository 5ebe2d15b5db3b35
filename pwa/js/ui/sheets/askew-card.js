/**
 * Where the axle sits by the lengths that were typed above, beside the thrust read: askew itself, or the wheels on it.
 */

import { axleOf } from "../../domain/choose/axle.js";
import { CLEAR_SDS } from "../../domain/constants.js";
import { axlePosition } from "../../domain/job/crooked-axle.js";
import { SHOP_SPREAD } from "../../domain/job/shop-spread.js";
import { element, fill } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";
import { remark } from "../parts/signal.js";

export class AskewCard {
  #context;
  #shop = null;
  #shown = null;

  constructor(context, row) {
    this.#context = context;
    this.element = element("div", { class: "stack", role: "status" });
    this.update(row);
    context.app.phone.setting(SHOP_SPREAD)
      .then((shop) => { this.#shop = shop ?? null; this.#shown = null; this.update(); });
  }

  update() {
    const { job, t } = this.#context;
    if (this.#shown === job.version) return;
    this.#shown = job.version;
    const { position, missing, error } = axlePosition(job.fold, this.#shop);
    fill(this.element,
      missing && element("p", { text: t(`askew.missing.${missing}`), key: `askew-${missing}` }),
      error && remark({ name: "refused", text: errorText(t, error), key: "askew-wrong" }),
      position && this.#said(position));
  }

  #said(position) {
    const { t, job, app: { words } } = this.#context;
    const { thrust } = axleOf(job.readings("base", this.#shop));
    const within = (sd) => words.size("thrust", CLEAR_SDS * sd);
    return [
      remark({ name: position.verdict === "not-told" ? "open" : "warning", text: t(`askew.${position.verdict}`),
        key: `askew-${position.verdict}` }),
      element("p", { key: "askew-numbers", text: t("askew.numbers", {
        axle: words.say("thrust", position.axle), axleWithin: within(position.axle_sd),
        thrust: words.say("thrust", thrust), thrustWithin: within(position.thrust_sd),
        rest: words.size("thrust", position.rest),
      }) }),
      position.is_aside && remark({ name: "warning", key: "askew-aside",
        text: t(position.side_shift_mm > 0 ? "askew.aside.left" : "askew.aside.right",
          { mm: Math.abs(position.side_shift_mm) }) }),
      position.from === "diagonals" && element("p", { key: "askew-diagonals", text: t("askew.diagonals") }),
      element("p", { class: "soft", text: t("askew.setback") }),
    ];
  }
}

/** @returns {string} the verdict of the lengths, for where it was asked; "" while there is none */
export function askewVerdict(t, fold, shop) {
  const { position } = axlePosition(fold, shop);
  return position ? t(`askew.${position.verdict}`) : "";
}
