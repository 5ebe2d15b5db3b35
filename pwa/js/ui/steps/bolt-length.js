/**
 * Whether the hub bolts of a wheel are long enough, said where they are taken out, started and tightened: the turns counted
 * at the wheel say it newly, after the needs of the pair were read. It says nothing where nothing speaks against the bolts.
 */

import { currentRound, planOf } from "../../domain/job/checklist-slots.js";
import { fit } from "../../domain/fit/fit.js";
import { countedOf, fitInputOf } from "../../domain/job/fit-request.js";
import { errorText } from "../parts/error-text.js";
import { lengths, longerBolts, unknownLength } from "../panels/fit/fit-words.js";
import { ringSetOf } from "./shown-picture.js";
import { remark } from "../parts/signal.js";

const STEPS = ["fit.last-bolts", "fit.bolts-by-hand", "fit.tightened"];

/** @returns {Promise<HTMLElement[]>} warnings; none where the bolts are long enough, or nothing is known and nothing was counted */
export async function boltLengthWarnings({ app, job, step }) {
  if (!STEPS.includes(step.id)) return [];
  const counted = countedOf(job.fold, step.wheel);
  return [clash(app, counted), await wanted(app, job, step.wheel, counted)].filter(Boolean);
}

function clash(app, counted) {
  if (!counted?.clashes) return null;
  const mm = lengths(app);
  return remark({ name: "warning", key: "turns-clash",
    text: app.t("fitting.turns.clash", { turns: counted.turns, counted: mm(counted.counted_mm), typed: mm(counted.typed_mm) }) });
}

async function wanted(app, job, side, counted) {
  const body = planOf(job.fold, currentRound(job.fold));
  const fitted = body?.plan[side];
  const ringSet = fitted && (await ringSetOf(app, body, fitted));
  if (!ringSet) return null;
  try {
    const { bolts, longer } = fit(fitInputOf(job.fold, side, { ringSet, pair: fitted.pair }));
    if (!longer) return counted && remark({ name: "warning", key: "longer-bolts", text: unknownLength({ t: app.t, bolts }) });
    return longer.at_least_mm > 0 || !longer.possible ? longerBolts({ app, longer }) : null;
  } catch (error) {
    return remark({ name: "warning", key: "longer-bolts", text: errorText(app.t, error) });
  }
}
