/**
 * Readings that were taken before something they rest on was put right. They stay in the record; where old rings were
 * in, the table says what the axle would read without them. Where only the writing was corrected, one tap makes them
 * base readings again.
 */

import { asFoundBack, FOUND, withoutOldRings } from "../../domain/job/as-found.js";
import { oldRingsAt } from "../../domain/job/round-work.js";
import { SHOP_SPREAD } from "../../domain/job/shop-spread.js";
import { CLOCK_SD_DEG, SEAT_SD_MDEG } from "../../domain/constants.js";
import { signWordOf, WHEEL_ANGLES } from "../../domain/numbers/quantities.js";
import { bothSides } from "../../domain/job/readings.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";

export class AsFoundCard {
  #context;
  #shop = null;
  #sets = [];
  #shown = null;

  constructor(context, row) {
    this.#context = context;
    this.element = element("div", { class: "stack as-found" });
    this.#prepare();
    this.update(row);
  }

  async #prepare() {
    const { phone } = this.#context.app;
    [this.#shop, this.#sets] = await Promise.all([phone.setting(SHOP_SPREAD), phone.ringSets()]);
    this.#shown = null;
    this.update();
  }

  update() {
    const { t, job } = this.#context;
    if (this.#shown === job.version) return;
    this.#shown = job.version;
    const means = job.readings(FOUND, this.#shop);
    const expected = this.#expected(means);
    fill(this.element,
      remark({ name: "waiting", text: t("as-found.anew") }),
      element("table", { class: "result-table" },
        element("thead", {}, element("tr", {}, element("td", {}),
          SIDES.map((side) => element("th", { scope: "colgroup", colspan: 2, text: t(`ui.side.${side}`) }))),
          element("tr", {}, element("td", {}),
            SIDES.flatMap(() => WHEEL_ANGLES.map((quantity) =>
              element("th", { scope: "col", text: t(`ui.quantity.${quantity}`) }))))),
        element("tbody", {}, this.#line("as-found.read", means), expected && this.#line("as-found.without", expected))),
      oldRingsAt(job.fold).length > 0 && !expected
        && element("p", { class: "soft", text: t("as-found.marks-missing") }),
      button({ key: "as-found-back", label: t("as-found.back"), kind: "quiet", onPress: () => this.#back() }));
  }

  #line(name, wheels) {
    const { t } = this.#context;
    return element("tr", {}, element("th", { scope: "row", text: t(name) }),
      SIDES.flatMap((side) => WHEEL_ANGLES.map((quantity) => this.#number(quantity, wheels[side][quantity]))));
  }

  #number(quantity, mdeg) {
    if (mdeg === null) return element("td", { text: "–" });
    const { t, app: { words } } = this.#context;
    return element("td", {}, element("span", { text: words.size(quantity, mdeg) }), " ",
      mdeg !== 0 && element("span", { class: "result-way", text: t(`ui.said.${signWordOf(quantity, mdeg)}`) }));
  }

  /** @returns {Object|null} as withoutOldRings; null while the marks or the ring set of any old pair are not known */
  #expected(means) {
    const { job } = this.#context;
    const sides = oldRingsAt(job.fold);
    const marks = job.field(job.slotOf("vehicle.pair-marks")) ?? {};
    const table = this.#sets.find(({ id }) => id === marks.ring_set)?.table;
    if (sides.length === 0 || !table || sides.some((side) => placeIn(table, marks[side]) === null)) return null;
    const effectOf = (k) => ({ effect: [table.camber[k], table.toe[k]] });
    const fitted = bothSides((side) => (sides.includes(side) ? effectOf(placeIn(table, marks[side])) : null));
    return withoutOldRings(means, fitted,
      { seat_sd: this.#shop?.seat_sd ?? SEAT_SD_MDEG, clock_sd_deg: this.#shop?.clock_sd_deg ?? CLOCK_SD_DEG });
  }

  /** Saved and undone together: the readings move as one. */
  async #back() {
    const { app, job } = this.#context;
    const moves = asFoundBack(job).map((due) => ({ job: job.id, ...due }));
    if (moves.length > 0) await app.saveTogether(moves);
  }
}

/**
 * Row by row: all outer marks of the first inner one, then of the second; the numbers begin at the ring's first mark.
 */
function placeIn({ ring_set: ringSet, rows, columns }, pair) {
  const row = (pair?.inner ?? -1) - ringSet.inner.first_mark;
  const column = (pair?.outer ?? -1) - ringSet.outer.first_mark;
  return row >= 0 && row < rows && column >= 0 && column < columns ? row * columns + column : null;
}
