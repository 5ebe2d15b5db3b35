/**
 * The NOT SAVED bar: said in words, a shape and a heavy frame; it stays until the values are saved.
 * The values stay on the screen beneath, and the store keeps a rescue copy of the text.
 */

import { button, element } from "./parts/element.js";
import { errorText } from "./parts/error-text.js";
import { stateShape } from "./parts/state-shape.js";

/**
 * @param {{t: function, error: Error, onRetry: function(): void}} options
 * @returns {HTMLElement}
 */
export function saveFailedBar({ t, error, onRetry }) {
  return element("div", { class: "save-failed", role: "alert", key: "not-saved" },
    element("p", { class: "with-shape" }, stateShape("warning"), element("strong", { text: t("ui.not-saved") })),
    element("p", { text: errorText(t, error) }),
    button({ key: "retry-save", label: t("ui.not-saved.retry"), onPress: onRetry }));
}
