/** What each wheel aims at, moved in small steps by two large keys; the plan follows each tap at once. */

import { SIDES } from "../../domain/numbers/sides.js";
import { button, element, fill } from "../parts/element.js";
import { WHEEL_ANGLES, signWordsOf } from "../../domain/numbers/quantities.js";
import { more } from "../parts/more-fold.js";

const STEP_MDEG = 50;

export class AimsCard {
  #app;
  #onChange;
  #body = element("div", { class: "stack wide" });
  #model;

  /**
   * @param {{app: App, onChange: function({left: number[]|null, right: number[]|null}): void}} options aims as in the
   *   fields `aim.<side>`
   */
  constructor({ app, onChange }) {
    this.#app = app;
    this.#onChange = onChange;
    this.element = more({ label: app.t("fitting.aims"), summaryKey: "aims" },
      this.#body);
  }

  /**
   * @param {{aims: {left: number[]|null, right: number[]|null}, windows: Object, aimed: Object|undefined}} model
   *   windows of the choice's input, aims of its output
   */
  update(model) {
    this.#model = model;
    const { t } = this.#app;
    fill(this.#body,
      element("p", { text: t("fitting.aims.how") }),
      SIDES.filter((side) => WHEEL_ANGLES.some((part) => model.windows[side][part]))
        .map((side) => element("section", { class: "stack" },
        element("h4", { text: t(`ui.side.${side}`) }),
        WHEEL_ANGLES.map((part, at) => model.windows[side][part] && this.#line(side, part, at)),
        model.aims[side] && button({ key: `aim-${side}-middle`, kind: "quiet", label: t("fitting.aims.middle"),
          onPress: () => this.#set(side, null) }))));
  }

  #line(side, part, at) {
    const { t, words } = this.#app;
    const [plus, minus] = signWordsOf(part);
    const move = (way, by) => button({
      key: `aim-${side}-${part}-${way}`, label: t(`ui.way.${way}`),
      name: t("fitting.aims.move", { part: t(`ui.quantity.${part}`), way: t(`ui.said.${way}`) }),
      onPress: () => this.#move(side, at, by),
    });
    return element("div", { class: "aim" },
      element("p", { class: "aim-now", key: `aim-${side}-${part}`, role: "status",
        text: t("fitting.aims.now", { part: t(`ui.field.${part}`), angle: words.say(part, this.#aim(side)[at]) }) }),
      element("div", { class: "row" }, move(minus, -STEP_MDEG), move(plus, STEP_MDEG)));
  }

  /** Where nobody has moved it, what the choice aims at; an angle without a window has no aim and is left at 0. */
  #aim(side) {
    const { aims, aimed } = this.#model;
    return aims[side] ?? WHEEL_ANGLES.map((part) => Math.round(aimed?.[side][part]?.mdeg ?? 0));
  }

  #move(side, at, by) {
    this.#set(side, this.#aim(side).map((mdeg, place) => (place === at ? mdeg + by : mdeg)));
  }

  #set(side, aim) {
    const aims = { ...this.#model.aims, [side]: aim };
    const pressed = document.activeElement?.dataset.key;
    this.update({ ...this.#model, aims });
    this.#body.querySelector(`[data-key="${pressed}"]`)?.focus();
    this.#onChange(aims);
  }
}
