/**
 * The phone as a level for the top of one wheel: a rest at ride height when the top is marked, the other when the
 * suspension hangs, each with a photo of the spot. The turn between them is kept: it proves later where the top was
 * taken.
 *
 * Slots: `fit.<side>.level-ride` holds {"angle_deg", "how": "sensor"}; `fit.<side>.level-hanging` holds {"turn_deg"
 * (towards the rear positive), "how": "sensor"|"typed"}; both of later rounds with `round.N.` in front.
 */

import { KIND } from "../../domain/job/entry.js";
import { element, fill } from "../parts/element.js";
import { PhoneLevel } from "../fields/phone-level.js";
import { PhotoCapture } from "../fields/photo-capture.js";
import { remark } from "../parts/signal.js";

export class LevelPanel {
  #context;
  #level;
  #photo;
  #kept = element("div", { role: "status" });
  #rest;
  #ride;

  constructor(context) {
    this.#context = context;
    const { app, job, step } = context;
    this.#rest = step.id === "fit.level-ride" ? "ride" : "hanging";
    this.#level = new PhoneLevel({
      t: app.t,
      onRest: (rest, { angle_deg }) => rest === "ride" && this.#keep({ angle_deg: tenths(angle_deg), how: "sensor" }),
      onTurn: ({ turn_deg, how }) => this.#keep({ turn_deg: tenths(turn_deg), how }),
    });
    this.#photo = new PhotoCapture({ app, job, about: step.slot, onKept: () => app.render() });
    this.element = element("div", { class: "stack wide" }, this.#level.element, this.#kept,
      element("h2", { text: app.t("fitting.level.photo") }), this.#photo.element);
  }

  async update(context) {
    this.#context = { ...this.#context, ...context };
    const { app: { t }, job, step } = this.#context;
    this.#showLevel(job.field(step.slot.replace("level-hanging", "level-ride")) ?? null);
    const kept = job.field(step.slot);
    const noRide = this.#rest === "hanging" && !kept && !job.field(step.slot.replace("level-hanging", "level-ride"));
    fill(this.#kept, noRide && element("p", { text: t("fitting.level.no-ride") }),
      kept && remark({ name: "done", key: "level-kept", text: this.#rest === "ride" ? t("fitting.level.ride-kept")
        : turnWords(t, kept.turn_deg) }));
    await this.#photo.update(job);
  }

  get primary() {
    const { app: { t }, job, step, goOn } = this.#context;
    return job.field(step.slot) ? { key: "next", label: t("ui.step.next"), press: goOn }
      : { key: "skip", label: t("ui.step.skip"), press: goOn };
  }

  /** Drawn anew only for another first rest: what is half typed stays. */
  #showLevel(ride) {
    if (this.#ride !== undefined && ride?.angle_deg === this.#ride?.angle_deg) return;
    this.#ride = ride;
    this.#level.update({ side: this.#context.step.wheel, only: this.#rest, ride });
  }

  #keep(value) {
    const { app, job, step } = this.#context;
    return app.save({ job: job.id, kind: KIND.FIELD_SET, slot: step.slot, body: { value } });
  }
}

/** @returns {string} how far and which way the flange turned, and by how much a top taken hanging must be corrected */
function turnWords(t, turnDeg) {
  const degrees = Math.abs(turnDeg);
  return t(degrees === 0 ? "fitting.level.none" : turnDeg > 0 ? "fitting.level.rear"
    : "fitting.level.front", { degrees });
}

function tenths(degrees) {
  return Math.round(degrees * 10) / 10 || 0;
}
