/** The front readings before and after, kept beside those of the rear. */

import { KIND } from "../../../domain/job/entry.js";
import { SIDES } from "../../../domain/numbers/sides.js";
import { element } from "../../parts/element.js";

/** @returns {HTMLElement|null} null where nobody has read the front */
export function frontPart({ app: { t, words }, job }) {
  const lines = SIDES.flatMap((side) => ["before", "after"].map((when) => ({ side, when, reading: job.body(`front.${when}.${side}`, KIND.READING_TAKEN) })))
    .filter(({ reading }) => reading && (reading.toe || reading.camber));
  if (lines.length === 0) return null;
  const said = ({ toe, camber }) => [toe && `${t("ui.quantity.toe")} ${words.say("toe", toe.mdeg)}`, camber && `${t("ui.quantity.camber")} ${words.say("camber", camber.mdeg)}`].filter(Boolean).join(", ");
  return element("section", { class: "sheet stack", key: "front-readings" },
    element("h2", { text: t("proof.front") }),
    element("dl", { class: "means" }, lines.map(({ side, when, reading }) => [
      element("dt", { text: t("proof.front.line", { side: t(`ui.side.${side}`), when: t(`ui.reading.front.${when}`) }) }), element("dd", { text: said(reading) })])));
}
