/** What each wheel needs, in words: how far each angle has to move and which way, or that it is inside; and the axle as a whole. */

import { axleOf } from "../../../domain/choose/axle.js";
import { AXLE, PARTS } from "../../../domain/numbers/quantities.js";
import { SIDES } from "../../../domain/numbers/sides.js";
import { beyond } from "../../../domain/numbers/window.js";
import { element } from "../../parts/element.js";
import { stateShape } from "../../parts/state-shape.js";

/** @param {{app: App, input: Object}} options input of choosing */
export function needsInWords({ app, input }) {
  const { t } = app;
  return element("section", { class: "sheet stack", key: "needs" },
    element("h2", { text: t("ui.need") }),
    SIDES.map((side) => element("div", { class: "stack need" },
      element("h3", { text: t(`ui.side.${side}`) }),
      PARTS.map((part) => need(app, part, input.wheels[side][part], input.windows[side][part])))),
    together(app, input));
}

/** What the maker gives for both wheels together, judged as it was read. */
function together(app, { wheels, axle }) {
  const { t, words } = app;
  const read = axleOf(wheels);
  const given = AXLE.filter(([, name]) => axle[name]);
  return given.length > 0 && element("div", { class: "stack need" },
    element("h3", { text: t("ui.choose.axle") }),
    given.map(([quantity, name]) => line(beyond(read[name], axle[name]) === 0 ? "inside" : "outside", t("ui.need.axle", {
      part: t(`ui.quantity.${quantity}`), angle: words.say(quantity, read[name]), judged: words.judge(quantity, read[name], axle[name]),
    }))));
}

function need({ t, words }, part, mdeg, limits) {
  const name = t(`ui.quantity.${part}`);
  if (!limits) return line("unknown", t("ui.need.no-window", { part: name, angle: words.say(part, mdeg) }));
  const excess = beyond(mdeg, limits);
  if (excess === 0) return line("inside", t("ui.need.inside", { part: name, angle: words.say(part, mdeg) }));
  return line("outside", t(`ui.need.${part}.${excess < 0 ? "up" : "down"}`, { by: words.size(part, excess), angle: words.say(part, mdeg) }));
}

function line(name, text) {
  return element("p", { class: "with-shape" }, stateShape(name), element("span", { text }));
}
