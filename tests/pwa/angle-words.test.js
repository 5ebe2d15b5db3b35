// How angles are said on the screens: one unit in a line, what was typed as it was typed, and never a zero that is
// none.

import { makeText } from "/js/ui/words/text.js";
import { AngleWords } from "/js/ui/words/angle-words.js";
import { equal, test } from "./harness.js";

const messages = await (await fetch("/text/en/ui.json")).json();
const words = (unit, diameterMm = null) =>
  new AngleWords({ t: makeText(messages, "en"), locale: "en", displayOf: () => ({ unit, diameterMm }) });

test("what is too small for a unit is said to be under its least, and never nothing", () => {
  equal(words("deg-min").say("toe", 8), "under 0°01' toe‑in");
  equal(words("deg-min").say("toe", 9), "0°01' toe‑in");
  equal(words("mm", 100).say("toe", -1), "under 0.01 mm toe‑out");
  equal(words("deg").say("toe", -1), "0.001° toe‑out");
  equal(words("mm", 381).say("toe", 0), "0.00 mm");
});

test("how far outside is said in the unit of the angle beside it, in the echo in degrees", () => {
  equal(words("deg-min").judge("toe", 420, [0, 200]), "outside by 0°13', too far toe‑in");
  const typed = { mdeg: 420, text: "0.42", unit: "deg", diameter_mm: null };
  equal(words("deg-min").echo("toe", typed, [0, 200]).split(": ")[1], "outside by 0.22°, too far toe‑in");
});

test("a window open on one side says its one edge and which way is allowed", () => {
  equal(words("deg").window("camber", [null, -500]), "0.50° top in, or further top in");
  equal(words("deg").window("toe", [0, null]), "0.00°, or further toe‑in");
  const low = { mdeg: 239, text: "1/16 in", unit: "inch", way: "in", diameter_mm: 381 };
  equal(words("deg").typedWindow("toe", { low, high: null }),
    "1/16″ toe‑in, across 381 mm (0.239°), or further toe‑in");
  equal(words("deg").judge("toe", -9000, [null, 200]), "inside");
  equal(words("deg").judge("toe", 250, [null, 200]), "outside by 0.05°, too far toe‑in");
  equal(words("deg").judge("toe", -10, [0, null]), "outside by 0.01°, too far toe‑out");
});

test("what was typed has its own unit and degrees beside; a bare number of minutes gets its sign", () => {
  const typed = (text, unit, mdeg, diameter = null) => words("deg")
    .typed("toe", { text, unit, mdeg, way: "in", diameter_mm: diameter });
  equal(typed("0.33", "deg", 330), "0.33° toe‑in");
  equal(typed("25.2", "deg-min", 420), "25.2' toe‑in (0.42°)");
  equal(typed("1/16 in", "inch", 239, 381), "1/16″ toe‑in, across 381 mm (0.239°)");
});
