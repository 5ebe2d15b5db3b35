/**
 * Tyre pressures as found and as set beside the placard's, all typed: what differs is said, nothing is asked for twice
 * or invented.
 */

import { AXLES, beyondPlacard, PRESSURE_UNITS, pressuresFrom, TYRES } from "../../domain/job/tyre-pressures.js";
import { element, fill } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { FactsPanel } from "./facts-panel.js";

const PREFIX = "fitting.pressures";

const FIELDS = [
  { name: "unit", kind: "choice", options: PRESSURE_UNITS },
  ...AXLES.map((axle) => ({ name: `placard-${axle}`, kind: "text", hint: true })),
  ...TYRES.map((tyre) => ({ name: `found-${tyre}`, kind: "text" })),
  ...AXLES.map((axle) => ({ name: `set-${axle}`, kind: "text" })),
];

export class PressuresPanel extends FactsPanel {
  constructor(context) {
    super(context, {
      name: "pressures", prefix: PREFIX, fields: FIELDS,
      first: { unit: context.app.settings.get("units").pressure ?? PRESSURE_UNITS[0] },
      read: (typed) => {
        const pressures = pressuresFrom(typed);
        // only where the next form begins
        context.app.settings.set("units", { ...context.app.settings.get("units"), pressure: typed.unit });
        return pressures;
      },
      isEmpty: ({ unit: _unit, ...typed }) => Object.values(typed).every((text) => !text?.trim()),
    });
  }

  /** Each figure against the placard, while it is typed. */
  decorate(above, below, typed) {
    fill(below, this.#judged(typed));
  }

  #judged(typed) {
    let pressures;
    try {
      pressures = pressuresFrom(typed);
    } catch {
      return []; // half typed: the form says what is wrong when it is kept
    }
    const { placard, found, set, unit } = pressures;
    const lines = [
      ...TYRES.map((tyre) => [`found-${tyre}`, beyondPlacard(found[tyre], placard[tyre.split("-")[0]])]),
      ...AXLES.map((axle) => [`set-${axle}`, beyondPlacard(set[axle], placard[axle])]),
    ];
    return lines.filter(([, off]) => off !== null).map(([name, off]) => this.#line(name, off, unit));
  }

  #line(name, off, unit) {
    const { app: { t } } = this.context;
    const key = off === 0 ? "as-placard" : off < 0 ? "below" : "above";
    const text = t(`${PREFIX}.${key}`,
      { what: t(`${PREFIX}.${name}`), by: Math.abs(off), unit: t(`${PREFIX}.unit.${unit}`) });
    return element("p", { class: "with-shape", key: `judged-${name}` }, stateShape(off === 0 ? "inside" : "outside"),
      element("span", { text }));
  }
}
