/** One job in the list: the vehicle in big letters, its state in words and a shape, what waits to be sent. */

import { element } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { stageName, stepTitle } from "../words/step-words.js";

const STATE_SHAPES = { open: "open", stopped: "stopped", signed: "done" };

/**
 * @param {{t: function, job: JobModel, unsent: number, onOpen: function(): void}} options
 * @returns {HTMLElement} one large button
 */
export function jobCard({ t, job, unsent, onOpen }) {
  const next = job.fold.state === "open" ? job.next() : null;
  return element("button", { type: "button", class: "button job-card", key: `job-${job.id}`, on: { click: onOpen } },
    element("span", { class: "job-registration", text: job.registration || t("ui.job.no-registration") }),
    job.description && element("span", { class: "job-description", text: job.description }),
    element("span", { class: "with-shape" }, stateShape(STATE_SHAPES[job.fold.state]), element("span", { text: stateWords(t, job) })),
    next && element("span", { class: "soft", text: t("ui.job.next", { stage: stageName(t, next.stage), step: stepTitle(t, next) }) }),
    unsent > 0 && element("span", { class: "with-shape" }, stateShape("waiting"), element("span", { text: t("ui.unsent.job", { count: unsent }) })));
}

/** @returns {string} open, stopped with its reason, or signed */
export function stateWords(t, job) {
  if (job.fold.state !== "stopped") return t(`ui.state.${job.fold.state}`);
  const { reason } = job.fold.stopped[0].body;
  const key = `option.stop-reason.${reason}`;
  return t("ui.state.stopped-because", { reason: t.has(key) ? t(key) : reason });
}
