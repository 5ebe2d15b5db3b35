/**
 * The phone as a level for the top mark: one rest at ride height, one with the suspension hanging, and the turn of the
 * flange between them. Without a sensor, or without permission, the turn is typed. It saves nothing.
 */

import { restOf, turnBetween, turnFromText } from "../../domain/job/level.js";
import { button, element, fill, freshId } from "../parts/element.js";

const LISTEN_MS = 1500;
const RESTS = ["ride", "hanging"];

export class PhoneLevel {
  #t; #onTurn; #onRest; #listen; #side = "left"; #only = null; #rests = {}; #said; #body;

  /**
   * @param {{t: function, onTurn: function({turn_deg: number, how: "sensor"|"typed"}),
   *   onRest?: function("ride"|"hanging", {angle_deg: number}), listen?: function(number): Promise<{beta: number,
   *   gamma: number}[]>}} options `turn_deg` towards the REAR positive; `onRest` gets each rest, to be kept and handed
   *   in again; `listen(ms)` gives the sensor's samples of that time (default: the phone's own)
   */
  constructor({ t, onTurn, onRest = () => {}, listen = orientationSamples }) {
    this.#t = t;
    this.#onTurn = onTurn;
    this.#onRest = onRest;
    this.#listen = listen;
    this.#said = element("p", { class: "level-said", role: "status", key: "level-said" });
    this.#body = element("div", { class: "level-body" });
    this.element = element("div", { class: "phone-level", key: "phone-level" },
      element("p", { text: t("level.how") }), this.#body, this.#said);
  }

  /**
   * @param {{side: "left"|"right", only?: "ride"|"hanging"|null, ride?: {angle_deg: number}|null}} model a new side
   *   forgets the rests; `only` asks for one of them, `ride` is a first rest that was taken and kept before
   */
  update({ side, only = null, ride = null }) {
    if (side !== this.#side) this.#rests = {};
    if (ride) this.#rests = { ...this.#rests, ride };
    this.#side = side;
    this.#only = only;
    this.#draw();
  }

  #draw() {
    const t = this.#t;
    fill(this.#body,
      RESTS.filter((rest) => !this.#only || rest === this.#only).map((rest) => button({
        key: `level-${rest}`, label: t(`level.take.${rest}`), kind: !this.#rests[rest]
          && (rest === "ride" || this.#rests.ride) ? "primary" : "plain",
        detail: this.#rests[rest] ? element("span", { class: "detail", text: t("level.taken") }) : null,
        onPress: () => this.#take(rest),
      })),
      this.#only !== "ride" && this.#typing());
    const hanging = this.#body.querySelector("[data-key=level-hanging]");
    if (hanging) hanging.disabled = !this.#rests.ride;
  }

  async #take(rest) {
    this.#say("level.wait");
    const taken = restOf(await this.#samples());
    if (taken.problem) {
      this.#say(`level.problem.${taken.problem}`);
      return;
    }
    this.#rests = rest === "ride" ? { ride: taken } : { ...this.#rests, hanging: taken };
    this.#draw();
    this.#onRest(rest, taken);
    if (rest === "ride") {
      this.#say("level.next");
      return;
    }
    const { ride, hanging } = this.#rests;
    this.#tell(turnBetween(ride.angle_deg, hanging.angle_deg, this.#side), "sensor");
  }

  /** No sensor, a refused permission and a sensor that keeps silent come to the same: no samples, so it is typed. */
  async #samples() {
    try {
      return await this.#listen(LISTEN_MS);
    } catch {
      return [];
    }
  }

  #typing() {
    const t = this.#t;
    const id = freshId("level-turn");
    const field = element("input", { id, type: "text", inputmode: "decimal", autocomplete: "off", key: "level-typed" });
    const keep = (sign) => {
      const turn = turnFromText(field.value);
      if (turn === null) this.#say("level.wrong", { got: field.value.trim() || t("level.nothing") });
      else this.#tell(sign * turn, "typed");
    };
    return element("div", { class: "field" },
      element("label", { for: id, text: t("level.typed") }), field,
      element("div", { class: "row" },
        button({ key: "level-to-front", label: t("level.to-front"), onPress: () => keep(-1) }),
        button({ key: "level-to-rear", label: t("level.to-rear"), onPress: () => keep(1) })));
  }

  #tell(turn_deg, how) {
    const degrees = Math.round(Math.abs(turn_deg) * 10) / 10;
    this.#say(degrees === 0 ? "level.turn.none" : turn_deg > 0 ? "level.turn.rear" : "level.turn.front", { degrees });
    this.#onTurn({ turn_deg, how });
  }

  #say(key, params) {
    this.#said.textContent = this.#t(key, params);
  }
}

/** Samples of the phone's own sensor. iOS asks the person first, and only while a tap is being handled. */
async function orientationSamples(ms) {
  const Sensor = globalThis.DeviceOrientationEvent;
  if (!Sensor) return [];
  if (Sensor.requestPermission && (await Sensor.requestPermission()) !== "granted") return [];
  const samples = [];
  const take = ({ beta, gamma }) => samples.push({ beta: beta ?? NaN, gamma: gamma ?? NaN });
  addEventListener("deviceorientation", take);
  await new Promise((resolve) => setTimeout(resolve, ms));
  removeEventListener("deviceorientation", take);
  return samples;
}
