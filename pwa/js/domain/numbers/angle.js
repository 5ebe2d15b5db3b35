// An angle as it stands in entries: whole mdeg with the technician's own text, unit and way beside it; and what is
// said about it, as message keys. The words themselves are in pwa/text.

import { InputError } from "./input-error.js";
import { isLength, unitsOf, signWordOf, signWordsOf } from "./quantities.js";
import { mdegFromText, plainWriting, textFromMdeg } from "./units.js";

const SIGN = /^\s*[+-]/;

/**
 * Makes an angle from what was typed. The text carries no sign: the way says it.
 * @param {{quantity: string, text: string, unit: string, way: string|null, diameterMm?: number|null}} typed
 * @returns {{mdeg: number, text: string, unit: string, way: string|null, diameter_mm: number|null}}
 * @throws {InputError} codes of mdegFromText, and angle-sign, angle-way, angle-unit
 */
export function makeAngle({ quantity, text, unit, way, diameterMm = null }) {
  const ways = signWordsOf(quantity);
  if (isLength(unit) && !unitsOf(quantity).includes(unit))
    throw new InputError("angle-unit", quantity, "degrees, or degrees and minutes", unit);
  if (SIGN.test(plainWriting(text))) throw new InputError("angle-sign", quantity, "a number without a sign", text);
  const size = mdegFromText(text, unit, isLength(unit) ? diameterMm : null, quantity);
  if (size !== 0 && !ways.includes(way)) throw new InputError("angle-way", quantity, `one of ${ways.join(", ")}`, way);
  return {
    mdeg: way === ways[1] && size !== 0 ? -size : size,
    text: text.trim(), unit, way: ways.includes(way) ? way : null, diameter_mm: isLength(unit) ? diameterMm : null,
  };
}

/** What an angle is called: {key, params}, such as "0.33 degrees in" for toe. `mdeg` need not be whole (thrust). */
export function angleWords(mdeg, quantity, locale = null) {
  const size = degreesText(Math.abs(mdeg), locale);
  if (mdeg === 0) return { key: "angle.zero", params: { degrees: size } };
  return { key: `angle.${quantity}.${signWordOf(quantity, mdeg)}`, params: { degrees: size } };
}

/** Refuses a window whose lowest value is above its highest. Returns {low, high}. */
export function makeWindow(low, high, quantity) {
  if (low.mdeg > high.mdeg) {
    throw new InputError("window-upside-down", quantity, "the lowest value first", `${low.text} to ${high.text}`, {
      low: low.text, high: high.text,
    });
  }
  return { low, high };
}

/** Thrust may end in half a millidegree; it is shown to whole ones, halves away from zero. */
function degreesText(size, locale) {
  return textFromMdeg(Math.floor(size + 0.5), "deg", null, locale);
}
