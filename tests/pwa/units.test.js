// The phone reads and shows angles as calc/numbers/units.py does, to the last millidegree.

import { diameterFromText, mdegFromText, minutesTyped, roundHalfAway, textFromMdeg } from "/js/domain/numbers/units.js";
import { deepEqual, equal, fixture, ok, test, throws } from "./harness.js";

const golden = await fixture("golden/angle_units.json");

test("text is read as in the golden cases", () => {
  ok(golden.read.length > 100);
  for (const { text, unit, diameter_mm: diameter, mdeg } of golden.read)
    equal(mdegFromText(text, unit, diameter), mdeg, `${text} ${unit}`);
});

test("what the golden cases refuse is refused", () => {
  ok(golden.refused.length > 50);
  for (const { text, unit, diameter_mm: diameter } of golden.refused) {
    throws(() => mdegFromText(text, unit, diameter), { name: "InputError" });
  }
});

test("angles are shown as in the golden cases", () => {
  ok(golden.shown.length > 100);
  for (const { mdeg, unit, diameter_mm: diameter, text } of golden.shown) {
    equal(textFromMdeg(mdeg, unit, diameter), text, `${mdeg} ${unit}`);
  }
});

test("of degrees and minutes it is known what was taken for which, and why a text is refused", () => {
  deepEqual(["25,2", "0 20", "1°", "abc"].map(minutesTyped), [
    { degrees: undefined, minutes: "25,2" }, { degrees: "0", minutes: "20" },
    { degrees: "1", minutes: undefined }, null,
  ]);
  for (const text of ["20", "0.33", ".5"])
    throws(() => mdegFromText(text, "deg-min"), { code: "angle-bare-deg-min", got: text });
  for (const text of ["60", "75'", "0°60'"])
    throws(() => mdegFromText(text, "deg-min"), { code: "angle-minutes-sixty", got: text });
});

test("a diameter is a number of millimetres, and what is none is refused as it was typed", () => {
  deepEqual(["381", " 406,4 ", ""].map(diameterFromText), [381, 406.4, null]);
  for (const text of ["15 in", "0", "38", "3810", "3.8.1"]) {
    throws(() => diameterFromText(text),
      { code: "diameter-range", params: { field: "diameter_mm", got: text, low: 100, high: 2000 } });
  }
});

test("the decimal mark is that of the region", () => {
  equal(textFromMdeg(-1025, "deg", null, "es"), "−1,025");
  equal(textFromMdeg(333, "deg-min", null, "es"), "0°20'");
});

test("halves go away from zero, and what only looks like a half does not", () => {
  deepEqual([0.5, -0.5, 1.4999, -2.5, 0, -0.2].map(roundHalfAway), [1, -1, 1, -3, 0, 0]);
  equal(roundHalfAway(0.49999999999999994), 0);
});

test("what is shown can be typed again and is shown the same, in every unit, with point and comma", () => {
  const diameters = { "deg": null, "deg-min": null, "mm": 381, "inch": 650 };
  for (const locale of ["en", "es"]) {
    for (const [unit, diameter] of Object.entries(diameters)) {
      for (let mdeg = -2000; mdeg <= 2000; mdeg += 13) {
        const shown = textFromMdeg(mdeg, unit, diameter, locale);
        equal(textFromMdeg(mdegFromText(shown, unit, diameter), unit, diameter, locale), shown,
          `${mdeg} in ${unit}, ${locale}`);
      }
    }
  }
});

test("every kind of minus is one, and a text that is no number is refused whole", () => {
  for (const minus of "-−‐‑‒–—﹣－") equal(mdegFromText(`${minus}0,45`, "deg"), -450, minus);
  for (const text of ["0.4.5", "1,024.5", "–", "0.4 5", "4½"])
    throws(() => mdegFromText(text, "deg"), { code: "angle-text-deg", got: text });
});

test("an unknown unit is refused", () => {
  throws(() => mdegFromText("1", "rad"), { code: "bad-input" });
  throws(() => textFromMdeg(1, "rad"), { code: "bad-input" });
});
