// Conversions between what people type and whole millidegrees: the twin of calc/numbers/units.py, bound by
// fixtures/golden/angle_units.json. Text is read in whole numbers, so that both languages round alike.
// Nothing here knows which way an angle is meant: "in" and "out" are the caller's.

import { DIAMETER_MM_HIGH, DIAMETER_MM_LOW, READING_LIMIT_MDEG, UNITS } from "../constants.js";
import { InputError } from "./input-error.js";

const MM_PER_10_INCH = 254;
const MICRO = 1_000_000; // typed decimals are held in millionths: at most six digits stand behind the mark
const DECIMAL = String.raw`(?:\d{1,6}(?:[.,]\d{0,6})?|[.,]\d{1,6})`;
const SPACE = String.raw`[ \t\n\r\f\v]`;
/**
 * What keyboards and copied sheets write for the plain characters: a dash is a minus, a narrow or fixed space a space.
 */
const ALIKE = [[/[−‐‑‒–—﹣－]/gu, "-"], [/＋/gu, "+"], [/⁄/gu, "/"], [/º/gu, "°"], [/[\u00a0\u2007\u2009\u202f]/gu, " "],
  [/[′’‘´]/gu, "'"], [/[″”“]/gu, '"']];
const SIGN = String.raw`(?<sign>[+\-]?)${SPACE}*`;
const FORMS = {
  "deg": whole(String.raw`${SIGN}(?<whole>${DECIMAL})${SPACE}*°?`),
  "deg-min": whole(
    String.raw`${SIGN}(?:(?<degrees>\d{1,3})(?:${SPACE}*°${SPACE}*|${SPACE}+)(?<minutes>${DECIMAL})${SPACE}*'?` +
    String.raw`|(?<only_degrees>\d{1,3})${SPACE}*°|(?<only_minutes>${DECIMAL})${SPACE}*'|(?<bare>${DECIMAL}))`,
  ),
  "mm": whole(String.raw`${SIGN}(?<whole>${DECIMAL})${SPACE}*(?:mm)?`),
  "inch": whole(
    String.raw`${SIGN}(?:(?:(?<mixed>\d{1,3})${SPACE}+)?(?<over>\d{1,4})${SPACE}*/${SPACE}*(?<under>\d{1,4})` +
    String.raw`|(?<whole>${DECIMAL}))${SPACE}*(?:"|in)?`,
  ),
};
const EXPECTED = {
  "deg": "degrees such as 0.33",
  "deg-min": "degrees and minutes such as 0°20' (or 20')",
  "mm": "millimetres such as 2.5",
  "inch": "inches such as 0.06 or 1/16",
};

/** Returns typed text with "-" for every kind of minus, and the other characters that only look alike made plain. */
export function plainWriting(text) {
  return ALIKE.reduce((plain, [alike, character]) => plain.replace(alike, character), text);
}

/** Returns the nearest whole number, halves away from zero. */
export function roundHalfAway(number) {
  const size = Math.abs(number);
  const below = Math.floor(size);
  const rounded = size - below >= 0.5 ? below + 1 : below; // size + 0.5 could itself round up
  return number < 0 && rounded !== 0 ? -rounded : rounded;
}

/**
 * Returns the angle that `text` says, in whole mdeg. Point and comma are both the decimal mark; a length is the
 * difference across the wheel at `diameterMm`.
 * A number without a sign of degrees or minutes is minutes where it cannot be degrees, above READING_LIMIT_MDEG; else
 * refused.
 * @throws {InputError} codes angle-text-<unit>, angle-bare-deg-min, angle-minutes-sixty, angle-too-large,
 *   diameter-missing, diameter-range, longer-than-diameter
 */
export function mdegFromText(text, unit, diameterMm = null, field = "text") {
  if (!UNITS.includes(unit)) throw new InputError("bad-input", `${field}.unit`, `one of ${UNITS.join(", ")}`, unit);
  const parts = partsOf(text, unit);
  const refusal = new InputError(`angle-text-${unit}`, field, EXPECTED[unit], text);
  if (!parts) throw refusal;
  const size = sizeOf(parts, unit, refusal, { diameterMm, field, text });
  if (size > READING_LIMIT_MDEG) {
    const limit = READING_LIMIT_MDEG / 1000;
    throw new InputError("angle-too-large", field, `at most ${limit} degrees either way`, text, { limit });
  }
  return size !== 0 && parts.sign === "-" ? -size : size;
}

/**
 * @returns {{degrees: string|undefined, minutes: string|undefined}|null} which digits of a text in degrees and minutes
 *   were taken for which; null where it is none
 */
export function minutesTyped(text) {
  const parts = partsOf(text, "deg-min");
  return parts && { degrees: parts.degrees ?? parts.only_degrees, minutes: parts.minutes ?? parts.only_minutes
    ?? parts.bare };
}

function partsOf(text, unit) {
  return typeof text === "string" ? plainWriting(text).trim().match(FORMS[unit])?.groups ?? null : null;
}

/**
 * @returns {number|null} the diameter that `text` says in mm; null where nothing is typed
 * @throws {InputError} diameter-range, with the text as it was typed
 */
export function diameterFromText(text) {
  const plain = text.trim();
  if (plain === "") return null;
  const diameterMm = new RegExp(`^${DECIMAL}$`, "u").test(plain) ? Number(plain.replace(",", ".")) : NaN;
  checkDiameter(diameterMm, "diameter_mm", plain);
  return diameterMm;
}

/**
 * Returns `mdeg` as text in `unit`: degrees with two decimals, or three where the third is not 0; whole minutes;
 * millimetres with two decimals, inches with three. A negative one gets a true minus sign.
 * @param {string|null} locale for the decimal mark; null gives a point
 */
export function textFromMdeg(mdeg, unit, diameterMm = null, locale = null) {
  if (!UNITS.includes(unit)) throw new InputError("bad-input", "unit", `one of ${UNITS.join(", ")}`, unit);
  const { steps, text } = unsignedText(Math.abs(mdeg), unit, diameterMm);
  const signed = mdeg < 0 && steps > 0 ? `−${text}` : text;
  return locale === null ? signed : signed.replace(".", decimalMark(locale));
}

function unsignedText(size, unit, diameterMm) {
  if (unit === "deg") {
    const places = size % 10 ? 3 : 2;
    return fixed(Math.floor(size / 10 ** (3 - places)), places);
  }
  if (unit === "deg-min") {
    const steps = Math.floor((size * 60 + 500) / 1000);
    return { steps, text: `${Math.floor(steps / 60)}°${String(steps % 60).padStart(2, "0")}'` };
  }
  checkDiameter(diameterMm, "diameter_mm");
  const lengthMm = diameterMm * Math.sin((size / 1000) * (Math.PI / 180));
  return unit === "mm" ? fixed(roundHalfAway(lengthMm * 100), 2) : fixed(roundHalfAway((lengthMm / 25.4) * 1000), 3);
}

function fixed(steps, places) {
  const scale = 10 ** places;
  return { steps, text: `${Math.floor(steps / scale)}.${String(steps % scale).padStart(places, "0")}` };
}

function sizeOf(parts, unit, refusal, length) {
  if (unit === "deg") return Math.floor((micro(parts.whole) + 500) / 1000);
  if (unit === "mm") return mdegFromLength(micro(parts.whole) / MICRO, length);
  if (unit === "inch") return mdegFromLength(mmFromInches(parts, refusal), length);
  const minutes = micro(parts.minutes ?? parts.only_minutes ?? parts.bare);
  if (minutes >= 60 * MICRO) throw new InputError("angle-minutes-sixty", length.field, "minutes below 60", length.text);
  if (parts.bare !== undefined && minutes > 0 && minutes * 1000 <= READING_LIMIT_MDEG * MICRO) {
    throw new InputError("angle-bare-deg-min", length.field, "a number with its sign, such as 15' or 1°", length.text);
  }
  const total = micro(parts.degrees ?? parts.only_degrees) * 60 + minutes;
  return Math.floor((total + 30_000) / 60_000);
}

/** One division of exact whole numbers, so that the length is the nearest double to what was typed. */
function mmFromInches({ whole: decimal, mixed, over, under }, refusal) {
  if (under === undefined) return (micro(decimal) * MM_PER_10_INCH) / (10 * MICRO);
  const [inches, top, bottom] = [mixed ?? "0", over, under].map(Number);
  if (bottom === 0 || (mixed !== undefined && top >= bottom)) throw refusal;
  return ((inches * bottom + top) * MM_PER_10_INCH) / (10 * bottom);
}

function mdegFromLength(lengthMm, { diameterMm, field, text }) {
  if (diameterMm === null || diameterMm === undefined) {
    throw new InputError("diameter-missing", `${field}.diameter_mm`,
      "the diameter that the length is measured at", null);
  }
  checkDiameter(diameterMm, `${field}.diameter_mm`);
  const ratio = lengthMm / diameterMm;
  if (ratio >= 1) {
    throw new InputError("longer-than-diameter", field, `a length below the diameter of ${diameterMm} mm`, text,
      { diameter: diameterMm });
  }
  return roundHalfAway(Math.asin(ratio) * (180 / Math.PI) * 1000);
}

function checkDiameter(diameterMm, field, got = diameterMm) {
  if (!(typeof diameterMm === "number" && diameterMm >= DIAMETER_MM_LOW && diameterMm <= DIAMETER_MM_HIGH)) {
    const limits = { low: DIAMETER_MM_LOW, high: DIAMETER_MM_HIGH };
    throw new InputError("diameter-range", field, `a number from ${limits.low} to ${limits.high}`, got, limits);
  }
}

/** Millionths of matched digits, exactly; nothing matched is 0. */
function micro(digits = "0") {
  const [whole, decimals = ""] = digits.replace(",", ".").split(".");
  return Number(whole || "0") * MICRO + Number(decimals.padEnd(6, "0"));
}

const decimalMarks = new Map(); // by locale: asking costs as much as all the rest of a number

/** @returns {string} what stands before the decimals in numbers of a locale */
export function decimalMark(locale) {
  if (!decimalMarks.has(locale)) {
    decimalMarks.set(locale, new Intl.NumberFormat(locale).formatToParts(1.1)
      .find((part) => part.type === "decimal").value);
  }
  return decimalMarks.get(locale);
}

function whole(pattern) {
  return new RegExp(`^(?:${pattern})$`, "u");
}
