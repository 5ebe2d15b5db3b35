// Vehicle identification numbers: the characters of ISO 3779, and the check digit of the North American rule
// (49 CFR 565.15). A wrong check digit elsewhere means nothing, so it is only ever a warning.

import { InputError } from "../numbers/input-error.js";

const LENGTH = 17;
const CHECK_PLACE = 8; // the ninth character
/** Values of the letters, from A; I, O and Q never occur (49 CFR 565.15, table III; from memory). */
const LETTER_VALUES = { A: 1, B: 2, C: 3, D: 4, E: 5, F: 6, G: 7, H: 8, J: 1, K: 2, L: 3, M: 4, N: 5, P: 7, R: 9,
  S: 2, T: 3, U: 4, V: 5, W: 6, X: 7, Y: 8, Z: 9 };
/** Weight of each place; the check digit itself weighs nothing (49 CFR 565.15, table IV; from memory). */
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
const FORBIDDEN = /[^A-HJ-NPR-Z0-9]/;
const NORTH_AMERICA = /^[1-5]/; // world regions by the first character (ISO 3780)

/**
 * Reads a VIN as typed: spaces and dashes go, letters become capitals.
 * @returns {{vin: string, checkDigit: "right"|"wrong"|"none"}} "none" outside North America, where no
 *   rule makes the ninth character a check digit
 * @throws {InputError} vin-length or vin-character
 */
export function readVin(text) {
  const vin = String(text).toUpperCase().replace(/[\s-]/g, "");
  const wrong = vin.match(FORBIDDEN);
  if (wrong) {
    throw new InputError("vin-character", "vin", "letters without I, O and Q, and digits", text,
      { character: wrong[0] });
  }
  if (vin.length !== LENGTH) throw new InputError("vin-length", "vin", `${LENGTH} characters`, text,
    { count: vin.length });
  if (!NORTH_AMERICA.test(vin)) return { vin, checkDigit: "none" };
  return { vin, checkDigit: vin[CHECK_PLACE] === checkDigitOf(vin) ? "right" : "wrong" };
}

/** The check digit that belongs to a VIN: "0" to "9" or "X". */
export function checkDigitOf(vin) {
  const sum = Array.from(vin, (character, place) => WEIGHTS[place] * (LETTER_VALUES[character] ?? Number(character)));
  const rest = sum.reduce((total, term) => total + term, 0) % 11;
  return rest === 10 ? "X" : String(rest);
}
