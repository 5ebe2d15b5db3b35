/** The jobs on this phone as those want them who look for an earlier one of the same vehicle or axle. */

import { fold } from "../domain/job/fold.js";

/** @returns {Promise<{job: string, fold: Object, at: string}[]>} `at` of the last entry: it only puts them in order */
export async function keptJobs(phone) {
  return (await phone.jobs()).map(({ job, entries }) => ({ job, fold: fold(entries), at: entries.at(-1)?.at ?? "" }));
}
