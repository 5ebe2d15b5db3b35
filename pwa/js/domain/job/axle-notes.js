// What was measured on the axle of an earlier vehicle that is described in the same words. Pure: it offers, a person
// decides.

import { fieldOf } from "./slot-values.js";
import { plainWords } from "./summary.js";

/** Slots that belong to the kind of axle and not to the single vehicle. */
const NOTED = [
  "vehicle.bolts", "vehicle.bracket-lugs", "vehicle.pilot-diameter", "vehicle.pilot-length", "vehicle.flange-bore",
  "vehicle.flange-diameter",
];

/**
 * @param {{job: string, fold: object, at: string}[]} jobs on this phone; `at` of the last entry only puts them in order
 * @param {string} description of this vehicle
 * @param {string} ownJob left out
 * @returns {{job: string, registration: string, values: object, torque_source: string|null}|null} of the newest such
 *   job that notes anything; `values` by slot. How far bolts were screwed in is left out: that is measured on each
 *   vehicle.
 */
export function axleNotes(jobs, description, ownJob) {
  const wanted = plainWords(description);
  if (wanted === "") return null;
  const alike = jobs.filter(({ job, fold }) => job !== ownJob
    && plainWords(fieldOf(fold, "vehicle.description")) === wanted);
  const notes = alike.sort((a, b) => (a.at < b.at ? 1 : -1)).map(notesOf);
  return notes.find(({ values, torque_source }) => torque_source || Object.keys(values).length > 0) ?? null;
}

function notesOf({ job, fold }) {
  const values = {};
  for (const slot of NOTED) {
    const noted = fieldOf(fold, slot);
    if (noted) values[slot] = slot === "vehicle.bolts" ? withoutEngagement(noted) : noted;
  }
  return {
    job,
    registration: fieldOf(fold, "vehicle.registration") ?? "",
    values,
    torque_source: fieldOf(fold, "fit.torque")?.source ?? null,
  };
}

function withoutEngagement({ typed, bolts }) {
  const { engaged_mm: _engaged, turns: _turns, ...rest } = bolts;
  return { typed: { ...typed, engaged: "", turns: "" }, bolts: rest };
}
