/** What this wheel's pair needs here, before anything is cut: bolts long enough, spacers, room, and a card template. */

import { currentRound, plannedPairAt, planOf } from "../../domain/job/checklist-slots.js";
import { cardTemplate } from "../../domain/fit/card-template.js";
import { fit } from "../../domain/fit/fit.js";
import { boltsOf, fitInputOf } from "../../domain/job/fit-request.js";
import { element, fill } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";
import { more } from "../parts/more-fold.js";
import { boltsPart, cutRingsPart, gateWords, roomPart, spacersPart } from "./fit-words.js";
import { ringSetOf } from "./bench-rings.js";
import { remark } from "../parts/signal.js";

export class FittingAidsPanel {
  #context;
  #ringSet;
  #shown = null;

  constructor(context) {
    this.#context = context;
    this.element = element("div", { class: "stack wide", key: "fitting-aids" });
  }

  async prepare() {
    const { app, job } = this.#context;
    const body = planOf(job.fold, currentRound(job.fold));
    this.#ringSet = await ringSetOf(app, body, this.#fitted());
  }

  update(context) {
    this.#context = { ...this.#context, ...context };
    const { app, job, step } = this.#context;
    if (this.#shown === job.entries.length) return undefined; // else what the person opened stays open
    this.#shown = job.entries.length;
    if (!this.#ringSet) return fill(this.element, remark({ name: "warning", text: app.t("fitting.no-ring-set") }));
    try {
      return this.#show(app, job, fit(this.#input(job, step.wheel)));
    } catch (error) {
      return fill(this.element, remark({ name: "warning", text: errorText(app.t, error) }));
    }
  }

  get primary() {
    const { app: { t }, goOn } = this.#context;
    return { key: "skip", label: t("ui.step.next"), press: goOn };
  }

  #fitted() {
    const { job, step } = this.#context;
    return planOf(job.fold, currentRound(job.fold)).plan[step.wheel];
  }

  /** Rings of an earlier round are cut for that round's pair. */
  #input(job, side) {
    const before = plannedPairAt(job.fold, side, currentRound(job.fold) - 1);
    const isSameSet = before?.ring_set === this.#ringSet.id;
    return fitInputOf(job.fold, side,
      { ringSet: this.#ringSet, pair: this.#fitted().pair, cutPair: isSameSet ? before.pair : null });
  }

  #show(app, job, aids) {
    const { t } = app;
    const side = this.#context.step.wheel;
    const onOpen = (slot) => app.go({ screen: "sheet", job: job.id, sheet: null, row: slot });
    const part = (key, ...inside) => element("section", { class: "sheet stack" },
      element("h2", { text: t(`fitting.part.${key}`) }), inside);
    fill(this.element,
      gateWords({ app, gate: { ...aids.gate, error: null }, job, onOpen }),
      part("bolts", boltsPart({ app, ...aids })),
      aids.spacers && part("spacers", spacersPart({ app, spacers: aids.spacers })),
      part("room", roomPart({ app, ...aids })),
      currentRound(job.fold) > 1 && part("cut", cutRingsPart({ app, cut: aids.cut_rings })),
      cardTemplateWords({ app, fitting: { side, ringSet: this.#ringSet, pair: this.#fitted().pair,
        bolts: boltsOf(job.fold, side) } }));
  }
}

/**
 * How to make a card template from a rubbing of the flange, step by step, with the lengths for this wheel's pair.
 * @param {{app: App, fitting: {side, ringSet, pair, bolts}}} options
 */
function cardTemplateWords({ app, fitting }) {
  const { t } = app;
  const mm = (length) => t("fitting.mm", { length: t.number(length, 0, 1) });
  const place = ({ way, chord_mm }) => t(`fitting.card.place.${way}`, { chord: mm(chord_mm) });
  const { rings, bolts } = cardTemplate(fitting);
  return more({ label: t("fitting.card"), key: "card-template" },
    element("ol", { class: "stack numbered" },
      ["rub", "top", "face"].map((step) =>
        element("li", { text: t(`fitting.card.${step}`, { side: t(`ui.side.${fitting.side}`) }) })),
      rings.map((ring) => element("li",
        { text: t("fitting.card.ring",
          { ring: t(`fitting.ring.${ring.name}`), outer: mm(ring.outer_mm), bore: mm(ring.bore_mm), mark: ring.mark,
            thick: place(ring.thick) }) })),
      bolts.map((bolt) => element("li", { text: [
        t("fitting.card.bolt", { number: bolt.number, radius: mm(bolt.radius_mm), place: place(bolt.place) }),
        bolt.hole_mm && t("fitting.card.hole",
          { width: mm(bolt.hole_mm), inner: bolt.between.inner.join("–"), outer: bolt.between.outer.join("–") }),
      ].filter(Boolean).join(" ") })),
      element("li", { text: t("fitting.card.compare") })),
    bolts.length === 0 && element("p", { text: t("fitting.card.no-bolts") }));
}
