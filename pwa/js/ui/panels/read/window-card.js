/** One window in the list: what it is of, what is given, and the two answers. */

import { button, element } from "../../parts/element.js";
import { stateShape } from "../../parts/state-shape.js";
import { remark } from "../../parts/signal.js";
import { isAnswered } from "./window-list.js";

/** @param {{app: App, job: JobModel, window: Object, onType: function(): void, onNone: function(): void}} options */
export function windowCard({ app: { t, words }, job, window: each, onType, onNone }) {
  const answered = isAnswered(job, each);
  const given = answered ? job.field(each.slots[0]) : undefined;
  const said = given ? words.typedWindow(each.quantity, given) : t(answered ? "ui.window.none" : "ui.window.open");
  const isSingle = given && given.low.mdeg === given.high.mdeg;
  return element("section", { class: "sheet stack", key: `window-${each.key}` },
    element("h2", { text: each.name(t) }),
    element("p", { class: "with-shape" }, stateShape(answered ? "done" : "open"), element("span", { class: given ? "number big" : "", text: said })),
    isSingle && remark({ name: "warning", text: t("ui.window.single"), key: `single-${each.key}` }),
    element("div", { class: "row" },
      button({ key: `type-${each.key}`, label: t(given ? "ui.window.change" : "ui.window.type-it"), name: t("ui.window.type", { what: each.name(t) }), onPress: onType }),
      !(answered && !given) && button({ key: `none-${each.key}`, label: t("ui.window.maker-none"), name: t("ui.window.maker-none-of", { what: each.name(t) }), onPress: onNone })));
}
