// Proving a fitting against Python's recorded answers, and against bad input.

import { mistakenMarks, neighbouringMarks } from "/js/domain/prove/causes.js";
import { likelihood } from "/js/domain/prove/explain.js";
import { betweenFaces, prove } from "/js/domain/prove/prove.js";
import { deepEqual, equal, fixture, near, ok, test, throws } from "/tests/harness.js";

const golden = await fixture("golden/prove.json");
const { tables } = await fixture("golden/choose.json");
const ringSetOf = Object.fromEntries(golden.ring_sets.map((ringSet) => [ringSet.id, ringSet]));

// Rounded figures of which the last place may differ, and the chance of a plan.
const LAST_PLACES = { distance: 0.01, explains: 0.0001, share: 0.0001, chance: 0.005 };

for (const kind of new Set(golden.cases.map((each) => each.kind))) {
  const cases = golden.cases.filter((each) => each.kind === kind);
  test(`${cases.length} recorded fittings: ${kind}`, () => {
    for (const { input, output } of cases) same(prove(filled(input), tables), output);
  });
}

function filled(input) {
  const full = { ...input, ring_set: ringSetOf[input.ring_set] };
  if (!input.other) return full;
  const withRingSet = (fitting) => fitting && { ...fitting, ring_set: ringSetOf[fitting.ring_set] };
  const other = { ...input.other, ring_sets: (input.other.ring_sets ?? []).map((id) => ringSetOf[id]) };
  for (const name of ["wheel", "old_rings"]) if (name in other) other[name] = withRingSet(other[name]);
  return { ...full, other };
}

// Equal, but for the last places above.
function same(actual, wanted) {
  const places = [lastPlaces(actual), lastPlaces(wanted)];
  equal(places[0].length, places[1].length);
  places[1].forEach(([name, number], k) => near(places[0][k][1], number, LAST_PLACES[name] * 1.001, name));
  deepEqual(withoutLastPlaces(actual), withoutLastPlaces(wanted));
}

function lastPlaces(part) {
  if (part === null || typeof part !== "object") return [];
  return Object.entries(part).flatMap(([name, value]) => {
    return name in LAST_PLACES && value !== null ? [[name, value]] : lastPlaces(value);
  });
}

function withoutLastPlaces(part) {
  if (Array.isArray(part)) return part.map(withoutLastPlaces);
  if (part === null || typeof part !== "object") return part;
  const kept = Object.entries(part).filter(([name, value]) => !(name in LAST_PLACES) || value === null);
  return Object.fromEntries(kept.map(([name, value]) => [name, withoutLastPlaces(value)]));
}

test("marks that are mistaken for one another", () => {
  deepEqual(mistakenMarks(16, { first_mark: 1, marks: 99 }), [19, 61, 91]);
  deepEqual(mistakenMarks(10, { first_mark: 0, marks: 54 }), []);
  deepEqual(mistakenMarks(6, { first_mark: 1, marks: 8 }), []);
  deepEqual(neighbouringMarks(1, { first_mark: 1, marks: 54 }), [52, 53, 54, 2, 3, 4]);
  deepEqual(neighbouringMarks(2, { first_mark: 1, marks: 4 }), [3, 4, 1]);
});

test("1 mm under one edge of a 148 mm ring tilts the hub by 0.387 degrees (atan(1 / 148))", () => {
  const ring = { outer_diameter_mm: 148 };
  const found = betweenFaces({ inner: ring, outer: ring }, [0, 387.13], 60);
  deepEqual(found, { tilt: 387, clock_deg: 90, diameter_mm: 148, far_edge_mm: 1, centre_mm: 0.5 });
  equal(betweenFaces({ inner: ring, outer: ring }, [100, 100], 60), null);
});

test("how likely a cause is, in a word: by the first group and a large share of all", () => {
  const first = ["as-planned", "marks-off"];
  equal(likelihood({ code: "as-planned", share: 0.4 }, first), "most-likely");
  equal(likelihood({ code: "marks-off", share: 0.399 }, first), "possible");
  // named nowhere: it does not explain the reading
  equal(likelihood({ code: "between-faces", share: 0.9 }, first), "unlikely");
});

test("the shares of all causes make a whole", () => {
  const { causes } = prove(filled(golden.cases[0].input));
  near(causes.reduce((sum, cause) => sum + cause.share, 0), 1, 0.001);
  ok(causes.every((cause, k) => k === 0 || cause.share <= causes[k - 1].share));
});

const PLAIN = filled({
  ring_set: "forty", wheel: "left", pair: [3, 7], base: { camber: -1600, toe: 300 }, check: { camber: -990, toe: -150 },
});

// Paths as calc's InputError names them for the same input.
const REFUSED = [
  [{ wheel: "rear" }, "wheel"],
  [{ pair: [40, 7] }, "pair[0]"],
  [{ pair: [3] }, "pair"],
  [{ base: { camber: -1600 } }, "base.toe"],
  [{ check: { camber: 20001, toe: 0 } }, "check.camber"],
  [{ bolts: [[55, 40, 1]] }, "bolts[0]"],
  [{ droop_deg: -1 }, "droop_deg"],
  [{ toe_units: { base: "deg" } }, "toe_units.check"],
  [{ toe_units: { base: "deg", check: "degrees" } }, "toe_units.check"],
  [{ other: { colour: 1 } }, "other.colour"],
  [{ other: { wheel: { ring_set: ringSetOf.forty } } }, "other.wheel.pair"],
  [{ other: { wheel: { ring_set: ringSetOf.forty, pair: [1, 1], base: {} } } }, "other.wheel.base.camber"],
  [{ other: { old_rings: { ring_set: ringSetOf.forty, pair: [1, 99] } } }, "other.old_rings.pair[1]"],
  [{ spread: { toe_sd: { left: 0.5 } } }, "spread.toe_sd.left"],
  [{ spread: { seat_sd: -1 } }, "spread.seat_sd"],
  [{ choose: {} }, "choose.ring_sets"],
  [{ choose: { ring_sets: [], wheels: { left: {} }, windows: {}, axle: {} } }, "choose.wheels.right"],
  [{ hue: 1 }, "hue"],
];

test("what cannot be proved from is refused by the field", () => {
  for (const [change, field] of REFUSED)
    throws(() => prove({ ...PLAIN, ...change }, tables), { code: "bad-input", field });
});

test("what choosing refuses in the second pass is named within choose", () => {
  const own = { camber: [-500, -1500], toe: null, aim: null };
  const wheel = { camber: 0, toe: 0, rings: "auto" };
  const choosing = {
    ring_sets: ["forty"], wheels: { left: wheel, right: wheel }, windows: { left: own, right: own },
    axle: { total_toe: null, thrust: null, cross_camber: null },
  };
  throws(() => prove({ ...PLAIN, choose: choosing }, tables),
    { code: "bad-input", field: "choose.windows.left.camber" });
});
