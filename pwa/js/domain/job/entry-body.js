// What the body of an entry about a row says beside its answer: which plan, which lifting of the vehicle, which
// findings it speaks of. What it does not speak of, it does not cover. Pure.

import { agreement } from "./agreed-plan.js";
import { KIND } from "./entry.js";
import { fitSlot } from "./round-work.js";
import { SUPPORT } from "./sheets.js";

/**
 * The body of any entry about a row.
 * @param {Job} job
 * @param {object} row of this job, or {slot} alone: one cell of a table
 * @param {string} kind
 * @param {object} body a record, a value, or a reason in the person's own words
 */
export function entryBody(job, row, kind, body) {
  if (!row.id) return body;
  if (kind === KIND.STEP_DONE) return { ...stepBody(job, row), ...body };
  if (kind === KIND.HOLD_OVERRIDDEN) return { ...body, ...spokenOf(job, row) };
  const isOfPlan = row.isOfPair && (kind === KIND.FIELD_SET || kind === KIND.PHOTO_ATTACHED);
  return isOfPlan && job.planned(row.round) ? { plan: planId(job, row.round), ...body } : body;
}

/**
 * What a step-done entry of a row says beside its record.
 * @returns {{hold: boolean, plan?: string, lift?: string, lowered?: string}} `plan`: the one whose marks the row
 *   showed, or by which it was done; `lift`: the support that a row on the way down ends; `lowered`: the letting down
 *   after which the vehicle is supported anew
 */
export function stepBody(job, { id, hold, round, sheetId }) {
  if (round === null) return { hold };
  const [support] = job.live(fitSlot(round, "supported"));
  const [lowered] = job.live(fitSlot(round, "lowered"));
  return {
    hold,
    ...(job.planned(round) && { plan: planId(job, round) }),
    ...(sheetId === "down" && support && { lift: support.id }),
    ...(SUPPORT.includes(id) && lowered?.kind === KIND.STEP_DONE && { lowered: lowered.id }),
  };
}

/** What a reason for going past a hold speaks of. */
function spokenOf(job, { card, round, slot }) {
  if (card === "consent") return agreement(job.fold, round, job.live(slot));
  if (card === "plan-stands") return { plan: job.planEntry?.id ?? null, found: job.stalePlan(round)?.code ?? null };
  if (card === "parts-missing") return { found: job.partsMissing(round) };
  return {};
}

function planId(job, round) {
  return job.live(`round.${round}.plan`)[0].id;
}
