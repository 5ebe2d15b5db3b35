/** Asked when the work changes to the other wheel: a deliberate tap says that the person has moved too. */

import { button, element } from "../parts/element.js";
import { sideBanner } from "./side-banner.js";

export class SideQuestion {
  /** @param {{t: function, side: string, round?: number|null, before: string|null, onYes: function(): void, onNo: function(): void}} options */
  constructor({ t, side, round = null, before, onYes, onNo }) {
    const word = t(`ui.side.${side}`);
    this.element = element("div", { class: "stack wide", key: "side-question" },
      sideBanner({ t, side, round }),
      element("h1", { text: t("ui.side.question", { side: word }) }),
      element("p", { text: before ? t("ui.side.changed", { before: t(`ui.side.${before}`), side: word }) : t("ui.side.first") }),
      button({ key: "side-yes", label: t("ui.side.yes", { side: word }), kind: "confirm", onPress: onYes }),
      button({ key: "side-no", label: t("ui.side.no"), onPress: onNo }));
  }
}
