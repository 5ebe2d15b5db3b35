// What a phone of the release before waits for, while both work on one job: a row that stands for several of its steps
// answers them too, and taking old rings out, which has sheets of its own now, ticks the steps that it was. Pure. It
// goes when no such phone is left.

import { KIND } from "./entry.js";
import { TAKE_OUT } from "./round-work.js";

/** Steps of the checklist before the sheets by the row of "Take out" that does them at every wheel. */
const REMOVAL_STEPS = {
  "fit.chocked": "vehicle.removal-chocked", "fit.supported": "vehicle.removal-stands",
  "fit.hub-supported": "vehicle.removal-hub-carried", "fit.pair-out": "vehicle.pair-removed",
  "fit.pedal": "vehicle.removal-pedal",
};

/**
 * @param {Job} job after the row's own entry
 * @param {object} row
 * @returns {{slot: string, kind: string, body: object}[]} step-done where an older step is done by now and does not say
 *   so, step-undone where it says so and is not
 */
export function alsoDue(job, row) {
  const rows = job.sheetsIn(job.round).flatMap((sheet) => sheet.rows);
  const now = rows.find(({ slot }) => slot === row.slot) ?? row;
  const ofRow = (now.alsoSlots ?? []).map((slot) => [slot, rows.filter(({ alsoSlots }) => alsoSlots.includes(slot))]);
  return [...ofRow, ...removalOf(rows, now)].flatMap(([slot, own]) => {
    const isDone = own.every(isPlainlyDone);
    const isTicked = job.live(slot).some(({ kind }) => kind === KIND.STEP_DONE);
    if (isDone === isTicked) return [];
    if (!isDone) return [{ slot, kind: KIND.STEP_UNDONE, body: {} }];
    return [{ slot, kind: KIND.STEP_DONE, body: { ...plain(job.stepBody(now)), hold: false } }];
  });
}

function removalOf(rows, { id, round }) {
  const step = round === TAKE_OUT && REMOVAL_STEPS[id];
  return step ? [[step, rows.filter((row) => row.id === id && row.round === round)]] : [];
}

/** An answer that warns or refuses says something that a tick does not say; one gone past was not done. */
function isPlainlyDone({ state, warning }) {
  return state === "done" && warning === null;
}

function plain({ hold, plan }) {
  return plan ? { hold, plan } : { hold };
}
