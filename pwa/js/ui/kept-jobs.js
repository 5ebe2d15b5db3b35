/**
 * The jobs on this phone that are about the same vehicle or the same kind of axle, for those who look for an earlier
 * one.
 */

import { fold } from "../domain/job/fold.js";
import { lettersAndDigits, plainWords } from "../domain/job/summary.js";

/** A shop may have hundreds of jobs of one description; the newest tell what is of use. */
const MOST = 20;

/**
 * @returns {Promise<{job: string, fold: Object, at: string, unsent: boolean}[]>} `at` of the last change: it only puts
 *   them in order; `unsent`: something of it is not at the shop yet
 */
export function jobsOfVehicle(phone, registration) {
  return newestAlike(phone, "registration_key", lettersAndDigits(registration));
}

/**
 * @returns {Promise<{job: string, fold: Object, at: string}[]>} the same for a vehicle that is described in the same
 *   words
 */
export function jobsOfAxle(phone, description) {
  return newestAlike(phone, "description_key", plainWords(description));
}

/** No entry of any other job is read. */
async function newestAlike(phone, key, wanted) {
  const alike = wanted === "" ? [] : await phone.jobsAlike(key, wanted);
  const newest = alike.sort((a, b) => b.changed_ms - a.changed_ms).slice(0, MOST);
  return Promise.all(newest.map(async ({ job, changed_ms: changedMs, held_ms: heldMs }) => (
    { job, fold: fold(await phone.entries(job)), at: new Date(changedMs).toISOString(), unsent: heldMs === null })));
}
