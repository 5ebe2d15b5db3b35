/**
 * The shop's vehicle types, offered while make and model are typed, without network; one tap chooses. Choosing fills in
 * no answer: what the type holds is looked at, group by group, where it belongs.
 */

import { KIND } from "../../domain/job/entry.js";
import { findTypes } from "../../domain/types/find-type.js";
import { takenIn, WINDOW_SLOTS } from "../../domain/types/type-parts.js";
import { keptTypes } from "../kept-types.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { typeName } from "../words/type-words.js";

const DESCRIPTION = "vehicle.description";
const TYPE = "vehicle.type";

export class VehicleTypeCard {
  static saysTitle = true;
  #context;
  #rows = [];
  #shown = null;
  #offers = element("div", { class: "stack", role: "group" });
  #chosen = element("div", { class: "stack" });

  constructor(context, row) {
    this.#context = context;
    this.element = element("div", { class: "stack vehicle-type", key: "vehicle-type", hidden: true },
      this.#offers, this.#chosen);
    this.#offers.setAttribute("aria-label", context.t("type.offers"));
    context.typing.watch(DESCRIPTION, () => this.#offer());
    this.update(row);
  }

  update() {
    const { app: { phone } } = this.#context;
    this.#sayChosen();
    this.#offer();
    keptTypes(phone).rows().then((rows) => {
      if (rows === this.#rows) return;
      this.#rows = rows;
      this.#shown = null;
      this.#offer();
    });
  }

  /** Nothing under a finger is made anew while the same is offered. */
  #offer() {
    const { t, job, typing } = this.#context;
    const isChosen = Boolean(job.field(TYPE)?.type);
    const found = isChosen ? { rows: [], year: "" } : findTypes(this.#rows, typing.at(DESCRIPTION) ?? job.description);
    const shown = found.year + found.rows.map(({ id, revision }) => ` ${id}.${revision}`).join();
    this.element.hidden = !isChosen && found.rows.length === 0;
    if (shown === this.#shown) return;
    this.#shown = shown;
    fill(this.#offers, found.rows.length > 0 && element("p", { class: "row-title", text: t("type.offers") }),
        found.rows.map((row, at) => button({
      key: `type-offer-${at}`, kind: "option type-offer", label: typeName(t, row),
      detail: element("span", { class: "detail", text: row.state === "unchecked" ? t("type.unchecked")
        : t("type.of-shop") }),
      onPress: () => this.#choose(row, found.year),
    })));
  }

  /** What is half typed is kept first: it would be written over the type's name later. */
  async #choose(row, year) {
    const { app, job, screen } = this.#context;
    await screen.leave();
    const ref = { type: row.id, revision: row.revision };
    const set = (slot, value) => ({ job: job.id, kind: KIND.FIELD_SET, slot, body: { value, from: ref } });
    const value = { ...ref, make: row.make, model: row.model, years: row.years };
    await app.saveTogether([set(DESCRIPTION, [row.make, row.model, year].filter(Boolean).join(" ")), set(TYPE, value)]);
  }

  /** Whatever was taken from it goes too: it is not known to hold here. */
  #leave() {
    const { app, job } = this.#context;
    const undone = (slot) => ({ job: job.id, kind: KIND.STEP_UNDONE, slot, body: {} });
    const noneGiven = WINDOW_SLOTS.filter((slot) => job.live(slot)
      .some(({ body }) => body.from && body.value === null));
    const taken = takenIn(job).map(({ slot }) => slot).filter((slot) => slot !== DESCRIPTION);
    return app.saveTogether([TYPE, ...taken, ...noneGiven].map(undone));
  }

  #sayChosen() {
    const { t, app: { phone }, job } = this.#context;
    const ref = job.field(TYPE);
    const now = ref?.type ? keptTypes(phone).chosen(job, () => this.#sayChosen()) : null;
    const state = now?.state ?? "reading";
    const said = ref?.type ? JSON.stringify([ref, state, now?.revision]) : "";
    if (said === this.#chosen.dataset.said) return;
    this.#chosen.dataset.said = said;
    fill(this.#chosen, ref?.type && [
      remark({ name: SHAPES[state] ?? "open", key: "type-chosen", text: t("type.chosen", { name: typeName(t, ref) }) }),
      state !== "reading" && element("p",
        { class: "row-method", text: t(`type.state.${state}`, { revision: now.revision }) }),
      button({ key: "type-leave", kind: "quiet narrow", label: t("type.leave"), onPress: () => this.#leave() }),
    ]);
  }
}

const SHAPES = { accepted: "done", unchecked: "warning", retired: "warning", unknown: "unknown" };
