// What is said of a job where many are listed, and by what another job of the same vehicle or axle is found. Pure: it
// is derived from the job's entries alone, and never the other way round.

import { rechecksOf } from "./rechecks.js";
import { takesOf } from "./rings-taken.js";
import { fieldOf } from "./slot-values.js";

/**
 * @param {object[]} entries of the job
 * @param {object} fold of them
 * @returns {{state: "open"|"stopped"|"signed", stop_reason: string|null, registration: string, description: string,
 *   registration_key: string, description_key: string, changed_ms: number, rechecks: object[], takes: object|null}}
 *   `rechecks` that nobody has done yet; `takes` as takesOf gives it; `changed_ms` by the phones' clocks: it only puts
 *   jobs in order
 */
export function summaryOf(entries, fold) {
  const registration = textOf(fieldOf(fold, "vehicle.registration"));
  const description = textOf(fieldOf(fold, "vehicle.description"));
  return {
    state: fold.state,
    stop_reason: fold.stopped[0]?.body?.reason ?? null,
    registration,
    description,
    registration_key: lettersAndDigits(registration),
    description_key: plainWords(description),
    rechecks: rechecksOf(fold).filter((recheck) => recheck.done_by === null),
    takes: takesOf(fold),
    changed_ms: entries.reduce((latest, { at }) => Math.max(latest, Date.parse(at) || 0), 0),
  };
}

/** A value of any sort as text: an object that came from elsewhere may refuse to become a string. */
function textOf(value) {
  return typeof value === "object" && value !== null ? JSON.stringify(value) : String(value ?? "");
}

/** Letters and digits alone: registrations are typed with and without blanks. */
export function lettersAndDigits(text) {
  return String(text ?? "").toUpperCase().replace(/[^\p{L}\p{N}]/gu, "");
}

/** Letters and digits alone, in lower case: "Marrow Vale, 1.8" and "marrow vale 1.8" are one description. */
export function plainWords(text) {
  return String(text ?? "").toLowerCase().replace(/[^\p{L}\p{N}]+/gu, " ").trim();
}
