// Checks that turn outside input into clean values, or throw InputError naming the field: the twin of
// calc/numbers/checks.py. Every check takes the value and the path of its field, and returns the value. None of them
// repairs or clamps.

import { InputError } from "./input-error.js";

function refuse(field, expected, got) {
  throw new InputError("bad-input", field, expected, got);
}

/** @returns {number} `value` if it is a whole number from `low` to `high` */
export function checkInteger(value, field, low, high) {
  if (!Number.isInteger(value) || value < low || value > high) {
    refuse(field, `a whole number from ${low} to ${high}`, value);
  }
  return value;
}

/** @returns {number} `value` if it is a finite number from `low` to `high` */
export function checkNumber(value, field, low, high) {
  if (!Number.isFinite(value) || value < low || value > high) refuse(field, `a number from ${low} to ${high}`, value);
  return value;
}

/** @returns {string} `value` if it is text of 1 to `longest` characters */
export function checkText(value, field, longest = 200) {
  const length = typeof value === "string" ? [...value].length : 0;
  if (length < 1 || length > longest) refuse(field, `text of 1 to ${longest} characters`, value);
  return value;
}

/** @returns {string} `value` if it is one of `choices` */
export function checkChoice(value, field, choices) {
  if (!choices.includes(value)) refuse(field, `one of ${choices.join(", ")}`, value);
  return value;
}

/** @returns {Array} `value` if it is a list with `shortest` to `longest` items */
export function checkList(value, field, shortest, longest) {
  if (!Array.isArray(value) || value.length < shortest || value.length > longest) {
    refuse(field, `a list of ${shortest} to ${longest} items`, value);
  }
  return value;
}

/** @returns {object} `value` if it is an object with all `required` keys and none beyond `optional` */
export function checkKeys(value, field, required, optional = []) {
  if (value === null || typeof value !== "object" || Array.isArray(value)) refuse(field || "input", "an object", value);
  const inside = field ? `${field}.` : "";
  for (const key of Object.keys(value)) {
    if (!required.includes(key) && !optional.includes(key)) refuse(inside + key, "no such key", "an unknown key");
  }
  for (const key of required) if (!(key in value)) refuse(inside + key, "a value", "nothing");
  return value;
}

/** Throws InputError at the first place where `value` is not exactly `wanted`; both are parsed JSON. */
export function checkSame(value, wanted, field) {
  if (wanted === null || typeof wanted !== "object") {
    if (value !== wanted) refuse(field, JSON.stringify(wanted), value);
    return;
  }
  checkKeys(value, field, Object.keys(wanted));
  for (const key of Object.keys(wanted)) checkSame(value[key], wanted[key], `${field}.${key}`);
}
