/** The button that confirms a hold: "I confirm: ..." with the empty box of an open tick, for nothing is confirmed before the tap. */

import { button } from "./element.js";
import { stateShape } from "./state-shape.js";

/** @returns {HTMLButtonElement} `what` is what is confirmed, in words */
export function confirmButton({ app }, what, onPress) {
  const confirm = button({ key: "confirm", label: app.t("ui.hold.confirm", { what }), kind: "confirm", onPress });
  confirm.prepend(stateShape("open"));
  return confirm;
}
