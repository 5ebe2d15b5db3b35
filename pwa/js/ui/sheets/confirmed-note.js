/** What stands at a hold once it is confirmed: by whom, what was recorded, and the way back. */

import { KIND } from "../../domain/job/entry.js";
import { button } from "../parts/element.js";
import { remark } from "../parts/signal.js";

/** @param {HTMLElement[]} recorded what the entry says beyond its author */
export function confirmedNote(context, row, recorded = [], label = undefined) {
  const [entry] = context.job.live(row.slot);
  const by = remark({ name: "done", text: context.t("on-sheet.confirmed", { by: entry?.by ?? "" }) });
  return [by, ...recorded, takeBackButton(context, row, label)];
}

export function takeBackButton({ t, save }, row, label = "ui.undo.step") {
  return button({ key: "take-back", label: t(label), kind: "quiet narrow",
    onPress: () => save(row, { kind: KIND.STEP_UNDONE, body: {} }) });
}
