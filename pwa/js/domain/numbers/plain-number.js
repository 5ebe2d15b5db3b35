// A plain number as a technician types it: digits with one decimal point or comma, no sign. Pure.

const PLAIN = /^(\d{1,7}([.,]\d{0,4})?|[.,]\d{1,4})$/;

/** @returns {number|null} null where the text is no such number */
export function numberFrom(text) {
  const trimmed = String(text ?? "").trim();
  return PLAIN.test(trimmed) ? Number(trimmed.replace(",", ".")) : null;
}

/** @returns {string[]} the lines that hold anything */
export function linesOf(text) {
  return String(text ?? "").split("\n").map((line) => line.trim()).filter(Boolean);
}
