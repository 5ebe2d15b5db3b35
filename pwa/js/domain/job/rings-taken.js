// Which pairs a job takes from the place that its rings come from: the shop counts those of closed jobs that it has,
// and no others. Kept with the job's summary, so that another job's plan can say it without reading this one. Pure.

import { isObject, KIND } from "./entry.js";
import { fieldOf, settledAt } from "./slot-values.js";

/** Slot of the place that the pairs of a job come from: {"place": id}. */
export const RINGS_FROM = "finish.rings-from";
const PLAN = /^round\.(\d{1,3})\.plan$/;
const RINGS_IN = /^(?:round\.(\d{1,3})\.)?fit\.(left|right)\.rings-in$/;

/**
 * @param {object} fold of the job
 * @returns {{place: string, ring_sets: string[]}|null} the ring set of each pair that was put in, where somebody has
 *   ticked it or signed; of an open job those of the newest plan too. The very pair that goes in again counts once, as
 *   server/records/job_facts.py has it.
 */
export function takesOf(fold) {
  const place = fieldOf(fold, RINGS_FROM)?.place;
  if (typeof place !== "string") return null;
  const taken = new Map();
  for (const [side, body] of [...plansOf(fold), ...tickedOf(fold)]) {
    const fitted = body?.plan?.[side];
    if (isObject(fitted) && typeof fitted.ring_set === "string")
      taken.set(JSON.stringify([side, fitted.ring_set, body.tables?.[fitted.ring_set], fitted.pair]), fitted.ring_set);
  }
  return taken.size > 0 ? { place, ring_sets: [...taken.values()] } : null;
}

/** [side, body] of each plan that is counted without a tick. */
function plansOf(fold) {
  const rounds = Object.keys(fold.slots).map((slot) => Number(PLAN.exec(slot)?.[1] ?? 0)).filter(Boolean);
  const counted = { open: [Math.max(0, ...rounds)], signed: rounds, stopped: [] }[fold.state];
  return counted.flatMap((round) => ["left", "right"].map((side) => [side, planOf(fold, round)]));
}

/** [side, body] of each plan whose rings somebody ticked as in; a tick that names none means its round's. */
function tickedOf(fold) {
  return Object.entries(fold.slots).flatMap(([slot, live]) => {
    const [, round = 1, side] = RINGS_IN.exec(slot) ?? [];
    const done = side ? live.filter(({ kind }) => kind === KIND.STEP_DONE) : [];
    return done.map(({ body }) => [side, fold.plans.find(({ id }) => id === body?.plan)?.body
      ?? planOf(fold, Number(round))]);
  });
}

function planOf(fold, round) {
  return settledAt(fold, `round.${round}.plan`, KIND.PLAN_CHOSEN)?.body;
}
