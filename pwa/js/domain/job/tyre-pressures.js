// Tyre pressures as found and as set, beside what the placard says, from what was typed. Pure. It knows no figure of
// its own.
//
// Slot `vehicle.pressures-found`, a field-set, holds {"typed": text of the form, "pressures": {unit, placard: {front,
// rear}, found: {front-left, ...}, set: {front, rear}}}: a window [low, high] of the placard, numbers, or null where
// nothing was typed.

import { InputError } from "../numbers/input-error.js";
import { numberFrom } from "../numbers/plain-number.js";
import { beyond } from "../numbers/window.js";

export const PRESSURE_UNITS = ["bar", "kpa", "psi"];
export const TYRES = ["front-left", "front-right", "rear-left", "rear-right"];
export const AXLES = ["front", "rear"];
/** Whatever the unit, a tyre holds no more figures than that: typing slips are caught, limits are the placard's. */
const HIGHEST = 1000;

/**
 * @param {Object<string, string>} typed `unit`, `placard-<axle>` (one figure, or "lowest to highest"), `found-<tyre>`,
 *   `set-<axle>`
 * @throws {InputError} pressure-number, pressure-window, with the field's name
 */
export function pressuresFrom(typed) {
  const each = (names, part, read) => Object.fromEntries(names.map((name) => [name, read(typed, `${part}-${name}`)]));
  return { unit: typed.unit, placard: each(AXLES, "placard", windowIn), found: each(TYRES, "found", numberIn),
    set: each(AXLES, "set", numberIn) };
}

/**
 * @returns {number|null} how far beyond the placard's window, to a hundredth: negative below it; null where one of the
 *   two is missing
 */
export function beyondPlacard(number, window) {
  if (number === null || window === null) return null;
  return Math.round(beyond(number, window) * 100) / 100;
}

function numberIn(typed, name) {
  const text = String(typed[name] ?? "").trim();
  if (text === "") return null;
  const number = numberFrom(text);
  if (number === null || number > HIGHEST) throw new InputError("pressure-number", name, `a number up to ${HIGHEST}`,
    text, { high: HIGHEST });
  return number;
}

function windowIn(typed, name) {
  const text = String(typed[name] ?? "").trim();
  if (text === "") return null;
  const edges = text.split(/\s*(?:[-–—]|\bto\b|\ba\b)\s*/u).map(numberFrom);
  const [low, high = low] = edges;
  if (edges.length > 2 || edges.includes(null) || low > high || high > HIGHEST) {
    throw new InputError("pressure-window", name, "one figure, or the lowest to the highest", text);
  }
  return [low, high];
}
