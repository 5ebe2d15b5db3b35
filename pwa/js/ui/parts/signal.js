/**
 * A caution with its signal word (ISO 3864-2: danger, warning, caution) and the safety alert triangle:
 * word and triangle carry the meaning, the colour only repeats it.
 */

import { element } from "./element.js";
import { stateShape } from "./state-shape.js";

/** @param {{t: function, level: "danger"|"warning"|"caution", text: string}} options */
export function signal({ t, level, text }) {
  return element("div", { class: `signal ${level}`, role: "note", key: `signal-${level}` },
    element("p", { class: "signal-word" }, stateShape("warning"), element("span", { text: t(`signal.${level}`) })),
    element("p", { class: "signal-text", text }));
}

/** A plain remark with a shape in front: what was found, what stands in the way. */
export function remark({ name, text, key }) {
  return element("p", { class: "with-shape remark", key }, stateShape(name), element("span", { text }));
}
