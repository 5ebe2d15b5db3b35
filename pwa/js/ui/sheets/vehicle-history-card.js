/**
 * What is fitted in the vehicle by the record of this phone and of the shop, one line a wheel, without network: shown
 * where there is something, and nothing is asked. The job that fitted it is a tap away; where this phone does not hold
 * it, it comes from the shop.
 */

import { vehicleHistory } from "../../domain/job/vehicle-history.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { jobsOfVehicle } from "../kept-jobs.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";

/** As many letters of a job's name as tell it apart at the desk. */
const SHORT = 8;

export class VehicleHistoryCard {
  static saysTitle = true;
  #context;
  #asked = null;

  constructor(context, row) {
    this.#context = context;
    this.element = element("div", { class: "stack", key: "vehicle-history", hidden: true });
    this.update(row);
  }

  update() {
    const { job } = this.#context;
    const vehicle = { job: job.id, registration: job.registration, vin: job.field("vehicle.vin") ?? "" };
    const asked = JSON.stringify(vehicle);
    if (asked === this.#asked) return;
    this.#asked = asked;
    this.element.hidden = true;
    this.#look(vehicle, asked);
  }

  async #look(vehicle, asked) {
    const { app: { phone } } = this.#context;
    const [own, ofShop] = await Promise.all([
      jobsOfVehicle(phone, vehicle.registration), phone.lines().then((lines) => lines.fittingsOf(vehicle))
        .catch(() => []),
    ]);
    if (asked === this.#asked) this.#show(vehicleHistory(vehicle, own, ofShop)); // the plate may be another by now
  }

  #show(history) {
    this.element.hidden = history === null;
    if (history === null) return;
    const { t, job } = this.#context;
    fill(this.element,
      remark({ name: "warning", text: t("history.title", { day: history.day, job: history.job.slice(0, SHORT) }) }),
      SIDES.map((side) => element("p",
        { key: `history-${side}`, text: t("history.wheel",
          { side: t(`ui.side.${side}`), what: fittingWords(t, history[side], job.names) }) })),
      button({ key: "history-open", label: t("history.open"), kind: "quiet", onPress: () => this.#open(history) }));
  }

  async #open({ job, isOwn }) {
    const { app, t } = this.#context;
    if (!isOwn) {
      const { bringJob } = await import("../../sync/find-jobs.js");
      const trouble = await bringJob(app.phone, job).catch((error) => error);
      if (trouble)
        return app.say(
          t(`find.error.${["offline", "not-our-server", "not-paired"].includes(trouble.code)
            ? trouble.code : "other"}`));
    }
    return app.go({ screen: "sheet", job });
  }
}

/**
 * What sits at a wheel by the record, in one line: ring set, marks, bolts, and what nobody has ticked or could read.
 * @param {function} t
 * @param {Object|null} fitting as fittingOf gives it
 * @param {Object<string, string>} names of the ring sets, by id
 */
function fittingWords(t, fitting, names) {
  if (!fitting) return t("ui.pair.none");
  const { found = false, ring_set: ringSet, pair: [inner, outer], bolts = null, seen = true } = fitting;
  const set = names[ringSet] ?? ringSet ?? t("history.set-unknown");
  if (found) return t("history.found", { set, inner: inner ?? "?", outer: outer ?? "?" });
  return [t("ui.pair", { set, inner, outer }), bolts && boltWords(t, bolts), !seen && t("history.not-seen")]
    .filter(Boolean).join("; ");
}

function boltWords(t, { new: isNew, length_mm: length, class: grade }) {
  const size = [length && `${length} mm`, grade].filter(Boolean).join(", ");
  return size ? t(isNew ? "history.bolts.new" : "history.bolts", { size }) : "";
}
