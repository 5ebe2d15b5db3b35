/** One job in the list: the vehicle in big letters, its state in words and a shape, what waits to be sent. */

import { element } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { rowTitle, sheetTitle } from "../words/titles.js";

const STATE_SHAPES = { open: "open", stopped: "stopped", signed: "done" };

/**
 * @param {{t: function, summary: Object, onOpen: function(): void}} options summary: of phone.jobs, `next` as in
 *   start-screen.js
 * @returns {HTMLElement} one large button
 */
export function jobCard({ t, summary, onOpen }) {
  const { job, state, registration, description, next, unsent } = summary;
  return element("button", { type: "button", class: "button job-card", key: `job-${job}`, on: { click: onOpen } },
    element("span", { class: "job-registration", text: registration || t("ui.job.no-registration") }),
    description && element("span", { class: "job-description", text: description }),
    element("span", { class: "with-shape" }, stateShape(STATE_SHAPES[state]),
      element("span", { text: stateWords(t, summary) })),
    next && element("span", { class: "soft",
      text: t("ui.job.next", { stage: sheetTitle(t, next.sheet), step: rowTitle(t, next) }) }),
    unsent > 0 && element("span", { class: "with-shape" }, stateShape("waiting"),
      element("span", { text: t("ui.unsent.job", { count: unsent }) })));
}

/** @returns {string} open, stopped with its reason, or signed */
function stateWords(t, { state, stop_reason: reason }) {
  if (state !== "stopped") return t(`ui.state.${state}`);
  const key = `option.stop-reason.${reason}`;
  return t("ui.state.stopped-because", { reason: t.has(key) ? t(key) : reason });
}
