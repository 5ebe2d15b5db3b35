/**
 * Signing: what is signed is said first. Nobody signs while a hold that can kill is open or an answer stops the job;
 * everything else that is open is listed first and in full, each line a way to it.
 */

import { KIND } from "../../domain/job/entry.js";
import { reportOf } from "../../domain/job/report.js";
import { signing } from "../../domain/job/signing.js";
import { fittedSets } from "../report/fitted-sets.js";
import { signSummary } from "../report/sign-summary.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { bringUpToDate, keepOnPhone } from "./keep-type-card.js";
import { reopenCard } from "./reopen-card.js";
import { rowName } from "../words/row-words.js";
import { sheetTitle } from "../words/titles.js";

export class SignCard {
  #context;
  #row;
  #summary = element("div", {});
  #body = element("div", { class: "stack" });
  #drawn = null;

  constructor(context, row) {
    this.#context = context;
    this.element = element("div", { class: "stack", key: "sign" }, this.#summary, this.#body);
    this.update(row);
  }

  update(row) {
    this.#row = row;
    const { job, t, app } = this.#context;
    if (this.#drawn === job.version) return undefined;
    this.#drawn = job.version;
    if (job.fold.state === "signed") {
      fill(this.#summary);
      return fill(this.#body, job.fold.signed.map(({ by }) =>
        remark({ name: "done", text: t("ui.sign.signed", { by }) })),
        button({ key: "report", label: t("report.title"), onPress: () => app.go({ screen: "report", job: job.id }) }),
        button({ key: "to-start", label: t("ui.to-start"), onPress: () => app.go({ screen: "start" }) }),
        reopenCard({ app, job }));
    }
    this.#summarise(job.version);
    const { may, refusals, open } = signing(job);
    return fill(this.#body,
      refusals.length > 0 && remark({ name: "refused", text: t("sign.not-yet", { count: refusals.length }),
        key: "sign-refused" }),
      refusals.map(({ row: each }) => this.#line(each, each.refusal ? t(`refusal.${each.refusal}`) : "")),
      open.length > 0 && remark({ name: "warning", text: t("sign.left-open", { count: open.length }),
        key: "sign-open" }),
      open.map((each) => this.#line(each, "")),
      may && button({ key: "sign-now", label: t("sign.as", { by: app.settings.get("technician") }), kind: "take",
        onPress: () => this.#sign() }));
  }

  reveal() {
    this.#body.querySelector("button")?.focus({ preventScroll: true });
  }

  async #summarise(version) {
    const { app, job } = this.#context;
    const report = reportOf(job);
    const setOf = await fittedSets(app.phone, report.fitted);
    if (version === this.#context.job.version) fill(this.#summary, signSummary({ app, report, setOf }));
  }

  #line(row, why) {
    const { t, job, goTo } = this.#context;
    const sheet = job.sheet(row.sheet);
    return button({ key: `open-${row.slot}`, kind: "quiet",
      label: `${sheet ? `${sheetTitle(t, sheet)}: ` : ""}${rowName(t, row)}`,
      detail: why && element("span", { class: "detail", text: why }), onPress: () => goTo(row.slot) });
  }

  async #sign() {
    const { app, job, t, screen } = this.#context;
    await screen.leave();
    await bringUpToDate(this.#context);
    const saved = await app.save({ job: job.id, kind: KIND.JOB_SIGNED, slot: null, body: { covers: job.liveIds } });
    if (!saved) return;
    app.say(t("ui.sign.done"));
    await keepOnPhone(this.#context);
  }
}
