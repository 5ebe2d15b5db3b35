// The radius of a tyre from the size on its sidewall, offered where it would otherwise be measured. Pure.
//
// ISO 4000-1 (from memory): overall diameter of a new tyre = nominal rim diameter + 2 x section width x aspect ratio /
// 100, an inch of the rim code 25.4 mm. Worn or loaded it is some millimetres less. At the arch the radius only
// multiplies the change of camber: 10 mm of radius move the top of the tyre by 0.2 mm for each degree.

import { roundHalfAway } from "../numbers/units.js";

const SIZE = /(?:^|[^\d])(\d{3})\s*\/\s*(\d{2})\s*(?:Z?R|[BD-])?\s*F?\s*(\d{2}(?:[.,]5)?)(?!\d)/i;
const INCH_MM = 25.4;
const WIDTH_MM = [125, 355];
const ASPECT = [25, 85];
const RIM_INCH = [10, 24];

/**
 * @param {string|null} size such as "205/55 R16 91V"
 * @returns {number|null} whole millimetres; null where it is no size of this writing: nothing is guessed then
 */
export function radiusFromSize(size) {
  const found = SIZE.exec(size ?? "");
  if (!found) return null;
  const [width, aspect, rim] = found.slice(1).map((text) => Number(text.replace(",", ".")));
  const isWithin = (value, [least, most]) => value >= least && value <= most;
  if (!isWithin(width, WIDTH_MM) || !isWithin(aspect, ASPECT) || !isWithin(rim, RIM_INCH)) return null;
  return roundHalfAway(rim * INCH_MM / 2 + width * aspect / 100);
}
