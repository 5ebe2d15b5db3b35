/** Jobs of which this phone has only a line: in the list beside those that are here, each told apart in words. */

import { element } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { dateAndTime } from "../words/date-words.js";

const STATE_SHAPES = { open: "open", stopped: "stopped", signed: "done" };

/**
 * @param {{t: function, line: object, onOpen: function(): void}} options line: as the shop told it
 * @returns {HTMLElement} one large button
 */
export function lineCard({ t, line, onOpen }) {
  const { job, registration, vehicle } = line;
  return element("button", { type: "button", class: "button job-card line-card", key: `line-${job}`,
    on: { click: onOpen } },
    element("span", { class: "job-registration", text: registration || t("ui.job.no-registration") }),
    vehicle && element("span", { class: "job-description", text: vehicle }),
    element("span", { class: "with-shape" }, stateShape(STATE_SHAPES[line.state]),
      element("span", { text: t(`line.state.${line.state}`) })),
    element("span", { class: "soft", text: t("line.not-here") }));
}

/** Said where the shop's server tells no lines any more, as after an older one took its place; else false. */
export function linesAge({ t, locale, cursor }) {
  const { has_lines: hasLines, lines_heard: heard } = cursor;
  return !hasLines && heard !== null
    && element("p", { class: "soft", key: "lines-age", text: t("line.age", { when: dateAndTime(heard, locale) }) });
}
