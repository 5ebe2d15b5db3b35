/**
 * What the shop's server refused: which row of which job, why, and what to do now. What was sent stands behind a tap.
 */

import { KIND, OWN_SLOT_KINDS } from "../../domain/job/entry.js";
import { element, fill } from "../parts/element.js";
import { more } from "../parts/more-fold.js";
import { remark } from "../parts/signal.js";
import { aboutWords, rowName, rowShowing } from "../words/row-words.js";

export class RefusedList {
  #app;

  constructor(app) {
    this.#app = app;
    this.element = element("section", { class: "stack", key: "refused-list" });
  }

  async update() {
    const { t, phone } = this.#app;
    const refused = [
      ...(await phone.refused()).map(({ entry, reason, text }) => ({ ...entry, reason, text, sent: entry.body })),
      ...(await phone.refusedPhotos()),
    ];
    const lines = await Promise.all(refused.map((each) => this.#line(each)));
    fill(this.element, lines.length > 0 && [element("h2", { text: t("refused.title") }), lines]);
  }

  async #line({ job: id, kind = KIND.PHOTO_ATTACHED, slot = null, reason, text = null, sent = null }) {
    const { t } = this.#app;
    const job = await this.#app.job(id);
    const place = OWN_SLOT_KINDS.has(kind) ? t(`refused.${kind}`) : placeOf(t, job, slot);
    const known = t.has(`refused.why.${reason}`);
    return element("div", { class: "sheet stack" },
      remark({ name: "refused", text: t("refused.what",
        { place, registration: job.registration || t("refused.no-registration") }) }),
      element("p", { text: known ? t(`refused.why.${reason}`) : t("refused.why", { reason: text ?? reason }) }),
      sent && more({ label: t("refused.sent") },
        element("p", { class: "soft", text: [text, JSON.stringify(sent)].filter(Boolean).join(" ") })));
  }
}

/** The row where it was answered; what belongs to no row any more is called a line of the job sheet. */
function placeOf(t, job, slot) {
  const row = rowShowing(job, slot);
  if (row) return rowName(t, row);
  const words = aboutWords(t, job, slot);
  return words === slot || words.includes("{") ? t("refused.line") : words;
}
