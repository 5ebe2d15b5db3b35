/** How to put Tapermark on the home screen, and why: a button where the browser asks itself, drawn steps where not. */

import { button, element, fill } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { svg } from "../parts/svg.js";

const FRAME = "M6 10H4v11h16V10h-2";
/** What to look for on each screen, on a 24 by 24 grid. */
const STEPS = {
  share: [FRAME, "M12 15V3M8 7l4-4 4 4"],
  add: ["M4 4h16v16H4z", "M12 8v8M8 12h8"],
  open: ["M4 4h16v16H4z", "M8 6.5h3.6L9.5 17.5H8zM13.5 6.5l3.8.8L14 17.5h-2.5z"],
};

export class InstallCard {
  #app;
  #onLater;

  /** @param {{app: App, onLater?: function(): void}} options onLater: the person wants no hint here any more */
  constructor({ app, onLater = null }) {
    this.#app = app;
    this.#onLater = onLater;
    this.element = element("section", { class: "sheet stack", key: "install" });
    this.update();
  }

  /** @param {{waits?: boolean}} model waits: unsent work of this tab, which an iPhone's home screen does not get */
  update({ waits = false } = {}) {
    const { t, installing } = this.#app;
    const { way } = installing;
    fill(this.element,
      element("h2", { text: t("install.title") }),
      way === "installed" ? this.#line("done", "install.installed") : element("p", { text: t("install.why") }),
      way === "by-hand" && [this.#line("warning", "install.apart"),
        waits && this.#line("waiting", "install.send-first"), this.#steps()],
      way === "menu" && element("p", { text: t("install.menu") }),
      way === "ask" && button({ key: "install-now", label: t("install.now"), onPress: () => installing.ask() }),
      this.#onLater && button({ key: "install-later", kind: "quiet", label: t("install.later"),
        onPress: this.#onLater }));
  }

  #line(name, key) {
    return element("p", { class: "with-shape" }, stateShape(name), element("span", { text: this.#app.t(key) }));
  }

  #steps() {
    return element("ol", { class: "stack install-steps" },
      Object.entries(STEPS).map(([name, paths]) => element("li", { class: "with-shape" },
      svg("svg", { "viewBox": "0 0 24 24", "class": "shape", "aria-hidden": "true" },
        paths.map((d) => svg("path", { class: "stroke", d }))),
      element("span", { text: this.#app.t(`install.step.${name}`) }))));
  }
}
