// Tyre pressures: figures as typed, a placard's window, how far a tyre is off; nothing is filled in that nobody typed.

import { beyondPlacard, pressuresFrom } from "/js/domain/job/tyre-pressures.js";
import { deepEqual, equal, test, throws } from "./harness.js";

test("figures are read with point and comma, a placard may give one or a lowest and a highest", () => {
  const typed = { "unit": "bar", "placard-front": "2,3", "placard-rear": "2.1 – 2.4", "found-rear-left": "1.9",
    "set-rear": "2,25" };
  deepEqual(pressuresFrom(typed), {
    unit: "bar",
    placard: { front: [2.3, 2.3], rear: [2.1, 2.4] },
    found: { "front-left": null, "front-right": null, "rear-left": 1.9, "rear-right": null },
    set: { front: null, rear: 2.25 },
  });
  for (const text of ["32-35", "32 to 35", "32 a 35", "32—35"])
    deepEqual(pressuresFrom({ "unit": "psi", "placard-front": text }).placard.front, [32, 35], text);
});

test("what is no pressure is refused by the name of its field", () => {
  throws(() => pressuresFrom({ "unit": "bar", "found-rear-left": "soft" }),
    { code: "pressure-number", field: "found-rear-left" });
  throws(() => pressuresFrom({ "unit": "kpa", "set-front": "-2" }), { code: "pressure-number", field: "set-front" });
  for (const text of ["2.4-2.1", "2-3-4", "two", "2-"])
    throws(() => pressuresFrom({ "unit": "bar", "placard-rear": text }),
      { code: "pressure-window", field: "placard-rear" });
});

test("how far a tyre is off is said against the placard alone", () => {
  equal(beyondPlacard(1.9, [2.1, 2.4]), -0.2);
  equal(beyondPlacard(2.45, [2.1, 2.4]), 0.05);
  equal(beyondPlacard(2.2, [2.1, 2.4]), 0);
  equal(beyondPlacard(2.2, null), null);
  equal(beyondPlacard(null, [2.1, 2.4]), null);
});
