/**
 * A signed or stopped job is opened again with a reason, which stands on the job sheet. What came after the signature
 * is counted.
 */

import { KIND } from "../../domain/job/entry.js";
import { TextField } from "../fields/text-field.js";
import { button, element } from "../parts/element.js";
import { more } from "../parts/more-fold.js";
import { remark } from "../parts/signal.js";

/** @returns {HTMLElement[]} for a job whose state is not "open" */
export function reopenCard({ app, job }) {
  const { t } = app;
  const late = job.fold.after_signing.length;
  const reason = new TextField({ label: t("ui.reopen.reason"), key: "reopen-reason", lines: true });
  const reopen = () => {
    if (!reason.text.trim()) return reason.refuse(t("ui.reopen.missing"));
    const { signed, stopped } = job.fold;
    return app.save({ job: job.id, kind: KIND.JOB_REOPENED, slot: null,
      body: { reopens: [...signed, ...stopped].map(({ id }) => id), reason: reason.text.trim() } });
  };
  return [
    late > 0 && remark({ name: "warning", text: t("ui.after-signing", { count: late }) }),
    more({ label: t("ui.reopen"), summaryKey: "reopen" },
      element("div", { class: "stack" }, reason.element,
        button({ key: "reopen-keep", label: t("ui.reopen.keep"), onPress: reopen }))),
  ].filter(Boolean);
}
