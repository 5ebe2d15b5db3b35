/** The drawing that a step asks for under its title: the ring pair as the person at that wheel sees it, or the order of the bolts. */

import { KIND } from "../domain/entry.js";
import { currentRound } from "../domain/checklist.js";
import { RingDrawing } from "./ring-drawing.js";

/** @returns {Promise<HTMLElement|null>} null where the step shows nothing, or its wheel has no planned pair */
export async function shownPicture({ app, job, step }) {
  if (step.shows !== "ring-drawing" || !step.wheel) return null;
  const chosen = job.body(`round.${currentRound(job.fold)}.plan`, KIND.PLAN_CHOSEN);
  const fitted = chosen?.plan[step.wheel];
  const set = fitted && (await ringSetOf(app, chosen, fitted));
  if (!set) return null;
  const drawing = new RingDrawing({ t: app.t });
  drawing.update({ side: step.wheel, ringSet: set, pair: fitted.pair, bolts: [] });
  return drawing.element;
}

/** The very table that the plan named: a ring set may have been changed since. */
async function ringSetOf(app, chosen, fitted) {
  const sets = await app.phone.ringSets();
  const wanted = chosen.tables?.[fitted.ring_set];
  const found = sets.find(({ sha256 }) => sha256 === wanted) ?? sets.find(({ id }) => id === fitted.ring_set);
  return found?.table.ring_set ?? null;
}
