/** What was noted on the axle of an earlier vehicle described in the same words, offered to be taken over and looked at. */

import { KIND } from "../../../domain/job/entry.js";
import { button, element } from "../../parts/element.js";
import { remark } from "../../parts/signal.js";
import { threadName } from "../../words/thread-name.js";

/**
 * @param {{app: App, job: JobModel, notes: Object, onTaken: function(Object): void}} options onTaken gets the typed bolts, to be
 *   looked at and kept; lengths that this job has not got yet are kept at once
 */
export function axleNotesCard({ app, job, notes, onTaken }) {
  const { t } = app;
  const bolts = notes.values["vehicle.bolts"];
  const lengths = Object.entries(notes.values).filter(([slot]) => slot !== "vehicle.bolts" && job.field(slot) === undefined);
  const take = async () => {
    for (const [slot, value] of lengths) {
      if (!(await app.save({ job: job.id, kind: KIND.FIELD_SET, slot, body: { value } }))) return;
    }
    if (bolts) onTaken(bolts.typed);
    app.say(t("fitting.notes.taken"));
  };
  return element("section", { class: "sheet stack", key: "axle-notes" },
    remark({ name: "done", text: t("fitting.notes", { registration: notes.registration || t("ui.job.no-registration") }) }),
    element("ul", { class: "stack" },
      bolts && element("li", { text: boltsInWords(t, bolts.bolts) }),
      lengths.map(([slot, value]) => element("li", { text: t("fitting.notes.line", { name: t(`step.${slot}.title`), value: value.text ? `${value.text} ${value.unit}` : t("fitting.notes.typed") }) })),
      notes.torque_source && element("li", { text: t("fitting.notes.torque-source", { source: notes.torque_source }) })),
    element("p", { text: t("fitting.notes.look") }),
    (bolts || lengths.length > 0) && button({ key: "take-notes", label: t("fitting.notes.take"), onPress: take }));
}

/** @returns {string} "5 bolts, M12 × 1.5, 10.9" */
function boltsInWords(t, { at, thread, class: strength }) {
  const radii = [...new Set(at.map(([radius]) => radius))];
  return [
    t("fitting.bolts.words", { count: at.length }),
    radii.length === 1 && t("fitting.bolts.words.circle", { diameter: 2 * radii[0] }),
    thread && threadName(t, thread),
    strength,
  ].filter(Boolean).join(", ");
}
