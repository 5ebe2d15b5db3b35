/**
 * One angle asked for on a whole screen: which wheel, which angle, the entry, the echo with how it stands to its
 * window. It keeps the draft; what keeping means is the owner's `keep`.
 */

import { decimalMark } from "../../domain/numbers/units.js";
import { AngleEntry } from "./angle-entry.js";
import { Draft } from "../parts/draft.js";
import { element } from "../parts/element.js";
import { sideBanner } from "../steps/side-banner.js";

export class AngleAsk {
  #options;
  #draft;
  #entry = null;
  /** The angle that was asked about: kept as it stands, it is meant. */
  #doubted = null;

  /**
   * @param {Object} options
   * @param {App} options.app
   * @param {string} options.draftKey names what is asked for, stable over restarts
   * @param {string} options.quantity see domain/numbers/quantities.js
   * @param {"left"|"right"|null} options.side shown in big letters
   * @param {"rear"|"front"} [options.axle]
   * @param {string} options.title such as "Reading 1: toe"
   * @param {string} [options.purpose] "window" for what the maker gives: it has units of its own
   * @param {Object|null} [options.kept] the angle kept before, to start from
   * @param {[number, number]|null} [options.window] to judge by
   * @param {string} [options.hint] one line under the title
   * @param {function(Object): Promise<boolean>} options.keep saves the angle; false leaves everything on the screen
   * @param {function(Object): Error|null} [options.check] refuses an angle for what stands beside it
   * @param {function(Object): string} [options.doubt] what to look at before an angle is kept, "" where nothing; a second tap keeps it
   */
  constructor(options) {
    this.#options = options;
    this.#draft = new Draft(options.app.phone, `angle.${options.draftKey}`);
    this.element = element("div", { class: "stack angle-ask", key: "angle-ask" });
  }

  async prepare() {
    const { app, quantity, side, axle, title, hint, window: limits } = this.#options;
    const { t } = app;
    this.#entry = new AngleEntry({
      t,
      quantity,
      label: side ? t("ui.ask.label", { side: t(`ui.side.${side}`), title }) : title,
      start: (await this.#draft.read()) ?? this.#fresh(),
      mark: decimalMark(app.locale),
      echo: (angle) => app.words.echo(quantity, angle, limits ?? null),
      onTyping: (typed) => {
        this.#doubted = null;
        this.#draft.write(typed);
        app.frame();
      },
      onEnter: () => this.#keep(),
    });
    this.element.replaceChildren(...[
      side && sideBanner({ t, side, axle }),
      element("h1", { text: title, tabindex: "-1" }),
      hint && element("p", { class: "soft", text: hint }),
      this.#entry.element,
    ].filter(Boolean));
    return this;
  }

  get primary() {
    return { key: "keep", label: this.#options.app.t(this.#doubted ? "ui.keep.meant" : "ui.keep"), press: () => this.#keep() };
  }

  #fresh() {
    const { app, kept, quantity, purpose = "" } = this.#options;
    if (kept) return { text: kept.text, unit: kept.unit, way: kept.way, diameter: kept.diameter_mm ? String(kept.diameter_mm) : "" };
    return { unit: app.settings.unit(quantity, purpose), diameter: app.settings.get(purpose ? "window_diameter_mm" : "diameter_mm") };
  }

  async #keep() {
    const { app, quantity, purpose = "", keep, check, doubt } = this.#options;
    let angle;
    try {
      angle = this.#entry.read();
      const refusal = check?.(angle);
      if (refusal) throw refusal;
    } catch (error) {
      return this.#entry.refuse(error);
    }
    const question = !this.#doubted && doubt?.(angle);
    if (question) {
      this.#doubted = angle;
      this.#entry.ask(question);
      return app.frame();
    }
    // before `keep`, which opens the next angle: that one begins in the same unit
    await app.settings.setUnit(quantity, purpose, angle.unit);
    if (angle.diameter_mm) await app.settings.set(purpose ? "window_diameter_mm" : "diameter_mm", String(angle.diameter_mm));
    if (await keep(angle)) await this.#draft.drop();
    return undefined;
  }
}
