// The ring pairs that an earlier job on this phone left in the same vehicle: a second pair on top of one is dangerous. Pure.

import { fittedAt } from "./checklist-slots.js";
import { bothSides } from "./readings.js";
import { fieldOf } from "./settled.js";

/**
 * @param {{job: string, fold: object, at: string}[]} jobs on this phone; `at` of the last entry only puts them in order
 * @param {string} registration of this vehicle
 * @param {string} ownJob left out
 * @returns {{at: string, left: object|null, right: object|null}|null} of the newest finished job of that registration, pairs as
 *   fittedAt gives them; null where there is none, or where it left no rings
 */
export function earlierRings(jobs, registration, ownJob) {
  const wanted = lettersAndDigits(registration);
  if (wanted === "") return null;
  const same = ({ job, fold }) => job !== ownJob && fold.state === "signed" && lettersAndDigits(fieldOf(fold, "vehicle.registration")) === wanted;
  const [newest] = jobs.filter(same).sort((a, b) => (a.at < b.at ? 1 : -1));
  const pairs = newest && bothSides((side) => fittedAt(newest.fold, side));
  return pairs?.left || pairs?.right ? { at: newest.at, ...pairs } : null;
}

function lettersAndDigits(text) {
  return String(text ?? "").toUpperCase().replace(/[^\p{L}\p{N}]/gu, "");
}
