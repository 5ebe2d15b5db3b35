// Angles as typed, and what is said about them.

import { angleWords, makeAngle, makeWindow } from "/js/domain/numbers/angle.js";
import { textFromMdeg } from "/js/domain/numbers/units.js";
import { deepEqual, equal, test, throws } from "./harness.js";

const typed = (text, way, more = {}) => ({ quantity: "toe", text, unit: "deg", way, ...more });

test("the way gives the sign and the typed text stays", () => {
  deepEqual(makeAngle(typed(" 0,33 ", "in")), { mdeg: 330, text: "0,33", unit: "deg", way: "in", diameter_mm: null });
  equal(makeAngle(typed("0.33", "out")).mdeg, -330);
  equal(makeAngle({ quantity: "camber", text: "1.5", unit: "deg", way: "top-in" }).mdeg, -1500);
  equal(makeAngle({ quantity: "thrust", text: "0.1", unit: "deg", way: "left" }).mdeg, -100);
  equal(makeAngle({ quantity: "cross-camber", text: "0.1", unit: "deg", way: "less" }).mdeg, -100);
});

test("a length keeps its diameter; a plain angle keeps none", () => {
  deepEqual(makeAngle(typed("2.5", "in", { unit: "mm", diameterMm: 381 })), {
    mdeg: 376, text: "2.5", unit: "mm", way: "in", diameter_mm: 381,
  });
  equal(makeAngle(typed("1", "in", { diameterMm: 381 })).diameter_mm, null);
});

test("zero goes no way and is never minus zero", () => {
  equal(makeAngle(typed("0.00", "out")).mdeg, 0);
  equal(makeAngle(typed("0", null)).way, null);
});

test("what cannot be taken says why", () => {
  throws(() => makeAngle(typed("abc", "in")), { code: "angle-text-deg", field: "toe", got: "abc" });
  throws(() => makeAngle(typed("", "in")), { code: "angle-text-deg" });
  throws(() => makeAngle(typed("1,024.5", "in")), { code: "angle-text-deg" });
  throws(() => makeAngle(typed("0.4.5", "in")), { code: "angle-text-deg" });
  for (const sign of ["-", "+", "−", "–"]) throws(() => makeAngle(typed(`${sign}0.3`, "in")), { code: "angle-sign" });
  throws(() => makeAngle(typed("0.3", null)), { code: "angle-way" });
  throws(() => makeAngle(typed("0.3", "top-in")), { code: "angle-way" });
  throws(() => makeAngle(typed("21", "in")), { code: "angle-too-large" });
  throws(() => makeAngle(typed("2", "in", { unit: "mm" })), { code: "diameter-missing" });
  throws(() => makeAngle(typed("2", "in", { unit: "mm", diameterMm: 20 })), { code: "diameter-range" });
  throws(() => makeAngle(typed("400", "in", { unit: "mm", diameterMm: 381 })), { code: "longer-than-diameter" });
  throws(() => makeAngle({ quantity: "camber", text: "2", unit: "mm", way: "top-in", diameterMm: 381 }),
    { code: "angle-unit" });
});

test("words name the way", () => {
  deepEqual(angleWords(330, "toe"), { key: "angle.toe.in", params: { degrees: "0.33" } });
  deepEqual(angleWords(-330, "toe", "de"), { key: "angle.toe.out", params: { degrees: "0,33" } });
  deepEqual(angleWords(-12.5, "thrust"), { key: "angle.thrust.left", params: { degrees: "0.013" } });
  deepEqual(angleWords(0, "camber"), { key: "angle.zero", params: { degrees: "0.00" } });
});

test("a window upside down is refused", () => {
  const [low, high] = [makeAngle(typed("0.2", "in")), makeAngle(typed("0.1", "in"))];
  throws(() => makeWindow(low, high, "toe"), { code: "window-upside-down" });
  deepEqual(makeWindow(high, low, "toe"), { low: high, high: low });
});

test("what is shown can be typed again, in a region of the point and in one of the comma", () => {
  for (const locale of ["en", "de"]) {
    for (let mdeg = 0; mdeg <= 2000; mdeg += 7) {
      const text = textFromMdeg(mdeg, "deg", null, locale);
      equal(makeAngle(typed(text, "in")).mdeg, mdeg, text);
    }
  }
});
