/**
 * The pair of one wheel as it is got ready and as it sits: which marks meet, which way each ring's numbers look in one
 * large line per ring, the strip of both rims, and the large drawing for who wants it. Used at the bench and beside the
 * read-back.
 */

import { facesLook, swapFreely } from "../../domain/rings/rings.js";
import { RINGS } from "../../domain/numbers/sides.js";
import { element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { RingStrip } from "../drawings/ring-strip.js";

export class BenchRings {
  static saysTitle = true;
  #context;
  #strip;
  #words = element("div", { class: "stack" });
  #drawn = null;

  constructor(context, row) {
    this.#context = context;
    this.#strip = new RingStrip({ t: context.t });
    this.element = element("div", { class: "stack bench-rings" }, this.#words, this.#strip.element);
    this.update(row);
  }

  update(row) {
    const { t, job } = this.#context;
    const body = job.planned(row.round);
    const fitted = body?.plan[row.wheel];
    const drawn = JSON.stringify([fitted, body?.tables]);
    if (drawn === this.#drawn) return undefined;
    this.#drawn = drawn;
    this.#strip.element.hidden = true;
    if (!fitted) return fill(this.#words);
    return ringSetOf(this.#context.app, body, fitted).then((ringSet) => {
      if (!ringSet) return fill(this.#words, remark({ name: "warning", text: t("fitting.no-ring-set") }));
      const [inner, outer] = fitted.pair;
      fill(this.#words,
        element("p", { class: "pair-figures", key: "pair-figures", text: t("drawing.meets", { inner, outer }) }),
        element("p", { text: t("bench.at-top", { set: ringSet.name }) }),
        whichWay(t, ringSet, row.wheel));
      this.#strip.element.hidden = false;
      return this.#strip.update({ side: row.wheel, ringSet, pair: fitted.pair });
    });
  }
}

/** One large line per ring; rings that are alike in all need no names, but their numbers still look one way. */
export function whichWay(t, ringSet, side) {
  return [
    element("ul", { class: "which-way", key: "which-way" }, RINGS.map((ring) =>
      element("li", { text: t(`bench.looks.${ring}.${facesLook(ringSet[ring], side)}`) }))),
    swapFreely(ringSet) && element("p", { class: "soft", text: t("bench.alike") }),
  ];
}

/** The ring set of the very table that the plan named: it may have been changed since. */
export async function ringSetOf({ phone }, body, fitted) {
  const name = body.tables?.[fitted.ring_set];
  const table = name ? await phone.table(name) : null;
  return table?.ring_set ?? (await phone.ringSets()).find(({ id }) => id === fitted.ring_set)?.table.ring_set ?? null;
}

/** The ring set that a row's wheel gets in its round, or null where the plan puts none there. */
export async function plannedRingSet({ app, job }, { round, wheel }) {
  const body = job.planned(round);
  const fitted = body?.plan[wheel];
  return fitted ? ringSetOf(app, body, fitted) : null;
}
