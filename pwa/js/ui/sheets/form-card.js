/**
 * A form of several fields in a card of its own: it gives the form what it needs of the sheet, and shows the form's own
 * way on as a button beneath it. Rows that are rarely asked for (bolts as a list, lugs, pressures, the phone as a
 * level) keep their forms this way.
 */

import { element, fill } from "../parts/element.js";
import { Draft } from "../parts/draft.js";
import { SteadyButtons } from "../parts/steady-buttons.js";

/** Ways on that mean nothing inside a sheet: there is no next screen. */
const NO_BUTTON = ["next", "skip"];

/** @returns {Function} the class of a card that shows `Form` (element, primary, and perhaps prepare, update) */
export function formCard(Form) {
  return class FormCard {
    #context;
    #row;
    #form = null;
    #body = element("div", { class: "stack" });
    #foot = element("div", { class: "stack" });
    #buttons = new SteadyButtons();

    constructor(context, row) {
      this.#context = context;
      this.#row = row;
      this.element = element("div", { class: "stack form-card" }, this.#body, this.#foot);
      this.#prepare();
    }

    update(row) {
      this.#row = row;
      this.#form?.update?.(this.#formContext());
      this.#drawFoot();
    }

    reveal() {
      this.#body.querySelector("input, select, textarea, button")?.focus({ preventScroll: true });
    }

    async #prepare() {
      const { app, job } = this.#context;
      const draft = new Draft(app.phone, `step.${job.id}.${this.#row.slot}`);
      this.#form = new Form({ ...this.#formContext(), draft, typed: await draft.read() });
      await this.#form.prepare?.();
      this.#form.update?.(this.#formContext());
      fill(this.#body, this.#form.element);
      this.#drawFoot();
    }

    #drawFoot() {
      const { primary, leave } = this.#form ?? {};
      const ways = [primary, leave && { key: "leave", label: this.#context.t("ui.later"), press: leave }]
        .filter((way) => way && !NO_BUTTON.includes(way.key));
      fill(this.#foot, this.#buttons.draw(ways.map(({ key, label, press }) =>
        ({ key: `${key}-${this.#row.slot}`, label, kind: key === "leave" ? "quiet" : "take", onPress: press }))));
    }

    #formContext() {
      const { job } = this.#context;
      const { slot, state, value, items, wheel, round, required, id } = this.#row;
      return { app: this.#app(), job, step: { slot, state, value, items, wheel, round, required, id },
        goOn: () => this.#drawFoot() };
    }

    /** The app as a form knows it: its frame is this card's foot, its steps are rows of the sheets. */
    #app() {
      const { app, goTo, job } = this.#context;
      const own = {
        frame: () => this.#drawFoot(),
        go: (route, options) => (route.row ? goTo(route.row) : app.go(route, options)),
        job: () => Promise.resolve(job),
      };
      return new Proxy(app, { get: (target, name) => own[name]
        ?? (typeof target[name] === "function" && name !== "t" ? target[name].bind(target) : target[name]) });
    }
  };
}
