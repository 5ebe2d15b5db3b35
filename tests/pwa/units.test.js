// The phone reads and shows angles as calc/units.py does, to the last millidegree.

import { mdegFromText, roundHalfAway, textFromMdeg } from "/js/domain/units.js";
import { deepEqual, equal, fixture, ok, test, throws } from "./harness.js";

const golden = await fixture("golden/angle_units.json");

test("text is read as in the golden cases", () => {
  ok(golden.read.length > 100);
  for (const { text, unit, diameter_mm: diameter, mdeg } of golden.read) equal(mdegFromText(text, unit, diameter), mdeg, `${text} ${unit}`);
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

test("the decimal mark is that of the region", () => {
  equal(textFromMdeg(-1025, "deg", null, "es"), "−1,025");
  equal(textFromMdeg(333, "deg-min", null, "es"), "0°20'");
});

test("halves go away from zero, and what only looks like a half does not", () => {
  deepEqual([0.5, -0.5, 1.4999, -2.5, 0, -0.2].map(roundHalfAway), [1, -1, 1, -3, 0, 0]);
  equal(roundHalfAway(0.49999999999999994), 0);
});

test("an unknown unit is refused", () => {
  throws(() => mdegFromText("1", "rad"), { code: "bad-input" });
  throws(() => textFromMdeg(1, "rad"), { code: "bad-input" });
});
