/** Signing the job sheet: what is signed is said first, and what is still missing; the signature lists the entries that it covers. */

import { KIND } from "../../../domain/job/entry.js";
import { liveIds } from "../../../domain/job/fold.js";
import { reportOf } from "../../../domain/job/report.js";
import { confirmButton } from "../../parts/confirm-button.js";
import { button, element, fill } from "../../parts/element.js";
import { fittedSets } from "../../report/fitted-sets.js";
import { signSummary } from "../../report/sign-summary.js";
import { remark } from "../../parts/signal.js";
import { stepName } from "../../words/step-words.js";

export class SignPanel {
  #context;

  constructor(context) {
    this.#context = context;
    this.element = element("div", { class: "stack wide" });
  }

  async update(context) {
    this.#context = context;
    const { app, job } = context;
    const { t } = app;
    if (job.fold.state === "signed") {
      fill(this.element, job.fold.signed.map(({ by }) => remark({ name: "done", text: t("ui.sign.signed", { by }) })),
        button({ key: "report", label: t("report.title"), onPress: () => app.go({ screen: "sheet", job: job.id }) }));
      return;
    }
    const report = reportOf(job);
    const setOf = await fittedSets(app.phone, report.fitted);
    const open = report.not_done.filter(({ reason }) => reason === null);
    fill(this.element,
      signSummary({ app, report, setOf }),
      open.length > 0 && remark({ name: "warning", text: t("ui.sign.missing", { count: open.length }) }),
      open.map((step) => button({ key: `open-${step.slot}`, kind: "quiet", label: stepName(t, step), onPress: () => app.go({ screen: "step", job: job.id, slot: step.slot }) })),
      confirmButton(context, t("ui.sign.as", { by: app.settings.get("technician") }), () => this.#sign()));
  }

  get primary() {
    const { app, job } = this.#context;
    return job.fold.state === "signed" ? { key: "to-start", label: app.t("ui.to-start"), press: () => app.go({ screen: "start" }) } : null;
  }

  async #sign() {
    const { app, job } = this.#context;
    const saved = await app.save({ job: job.id, kind: KIND.JOB_SIGNED, slot: null, body: { covers: liveIds(job.entries) } });
    if (saved) app.say(app.t("ui.sign.done"));
  }
}
