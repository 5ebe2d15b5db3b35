/** What the shop's server refused: which step of which job, why, and what to do now. What was sent stands behind a tap. */

import { fold } from "../../domain/job/fold.js";
import { fieldOf } from "../../domain/job/settled.js";
import { element, fill } from "../parts/element.js";
import { more } from "../parts/more.js";
import { remark } from "../parts/signal.js";
import { aboutWords } from "../words/step-words.js";

export class RefusedList {
  #app;

  constructor(app) {
    this.#app = app;
    this.element = element("section", { class: "stack", key: "refused-list" });
  }

  async update() {
    const { t, phone } = this.#app;
    const refused = [
      ...(await phone.refused()).map(({ entry, reason, text }) => ({ job: entry.job, slot: entry.slot, reason, text, sent: entry.body })),
      ...(await phone.refusedPhotos()),
    ];
    const lines = await Promise.all(refused.map((each) => this.#line(each)));
    fill(this.element, lines.length > 0 && [element("h2", { text: t("ui.refused") }), lines]);
  }

  async #line({ job, slot, reason, text = null, sent = null }) {
    const { t, phone } = this.#app;
    const folded = fold(await phone.entries(job));
    const place = slot ? aboutWords(t, { fold: folded, step: () => null }, slot) : t("ui.refused.photo");
    const known = t.has(`ui.refused.why.${reason}`);
    return element("div", { class: "sheet stack" },
      remark({ name: "refused", text: t("ui.refused.what", { place, registration: fieldOf(folded, "vehicle.registration") ?? t("ui.refused.no-registration") }) }),
      element("p", { text: known ? t(`ui.refused.why.${reason}`) : t("ui.refused.why", { reason: text ?? reason }) }),
      sent && more({ label: t("ui.refused.sent") },
        element("p", { class: "soft", text: [text, JSON.stringify(sent)].filter(Boolean).join(" ") })));
  }
}
