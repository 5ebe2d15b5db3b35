// The fitting aids and the axle against Python's recorded ones, and against bad input.

import { axle, wheelToes } from "/js/domain/choose/axle.js";
import { crossOrder } from "/js/domain/fit/tightening.js";
import { fit } from "/js/domain/fit/fit.js";
import { chooseSpacers } from "/js/domain/fit/spacers.js";
import { unitQuestion, unitThatFits } from "/js/domain/fit/torque.js";
import { deepEqual, fixture, test, throws } from "/tests/harness.js";
import { seededWhole } from "/tests/random.js";

const fits = await fixture("golden/fit.json");
const axles = await fixture("golden/axle.json");
const ringSetOf = Object.fromEntries(fits.ring_sets.map((ringSet) => [ringSet.id, ringSet]));

function filled(input) {
  return input.ring_set ? { ...input, ring_set: ringSetOf[input.ring_set] } : input;
}

test("every recorded fitting gets the same aids", () => {
  fits.cases.forEach(({ input, output }, k) => deepEqual(fit(filled(input)), output, `case ${k}`));
});

test("what is just beyond a limit is refused, and its field named", () => {
  for (const { input, field } of fits.refused) throws(() => fit(filled(input)), { code: "bad-input", field });
  for (const { input, field } of axles.refused) throws(() => axle(input), { code: "bad-input", field });
});

test("a unit is questioned where the figure tells it, and stays to be named until a person reads it in the source",
    () => {
  const thread = { diameter_mm: 10, pitch_mm: 1.5 };
  deepEqual([25, 50, 85, 200].map((value) => unitThatFits(value, "N·m", thread, "10.9")),
    ["other", "either", "typed", "neither"]);
  const torque = { value: 50, unit: "N·m", angle_deg: null };
  deepEqual(unitQuestion(torque, thread, "10.9"), { fits: "either", named: null, to_be_named: true });
  deepEqual(unitQuestion({ ...torque, unit_named: "pound-force-feet" }, thread, "10.9"),
    { fits: "either", named: "differs", to_be_named: true });
  deepEqual(unitQuestion({ ...torque, unit_named: "newton-metres" }, null, null),
    { fits: null, named: "confirmed", to_be_named: false });
});

test("every recorded axle gets the same numbers, words and patterns", () => {
  axles.cases.forEach(({ input, output }, k) => deepEqual(axle(input), output, `case ${k}`));
});

test("left = round(total / 2 + thrust), half away from zero; right gets the rest (calc/README: Axes and units)", () => {
  deepEqual(wheelToes(167, 0), { left: 84, right: 83 });
  deepEqual(wheelToes(-167, 0), { left: -84, right: -83 });
  deepEqual(wheelToes(333, 83.5), { left: 250, right: 83 });
});

test("a cross pattern visits every bolt once, each even count by opposite pairs", () => {
  deepEqual(crossOrder(4), [0, 2, 1, 3]);
  deepEqual(crossOrder(5), [0, 2, 4, 1, 3]);
  for (let count = 1; count <= 24; count++) {
    const order = crossOrder(count);
    deepEqual([...order].sort((a, b) => a - b), [...Array(count).keys()]);
    if (count % 2 === 0) deepEqual(order[1] - order[0], count / 2);
  }
});

test("spacers are the best of all that the stock allows", () => {
  const random = seededWhole(11);
  for (let count = 0; count < 200; count++) {
    const stock = Array.from({ length: random(0, 4) }, () => [500 * random(1, 8), random(0, 3)]);
    const wanted = Array.from({ length: random(1, 3) }, () => random(0, 6000));
    const chosen = chooseSpacers(wanted, stock);
    deepEqual(worthOf(chosen, wanted, stock), bestWorth(wanted, stock), JSON.stringify({ wanted, stock }));
  }
});

function worthOf(chosen, wanted, stock) {
  const misses = chosen.map((items, lug) =>
    Math.abs(items.reduce((sum, item) => sum + stock[item][0], 0) - wanted[lug]));
  return [misses.reduce((a, b) => a + b, 0), chosen.flat().length];
}

// Tries every way to put at most two pieces under each lug.
function bestWorth(wanted, stock) {
  const underOne = [[], ...stock.flatMap((_, a) => [[a], ...stock.map((_, b) => [a, b])])];
  let best = [Infinity, Infinity];
  const walk = (chosen) => {
    if (chosen.length === wanted.length) {
      const used = (item) => chosen.flat().filter((each) => each === item).length;
      const isInStock = stock.every(([, quantity], item) => used(item) <= quantity);
      const worth = worthOf(chosen, wanted, stock);
      if (isInStock && (worth[0] < best[0] || (worth[0] === best[0] && worth[1] < best[1]))) best = worth;
      return;
    }
    for (const items of underOne) walk([...chosen, items]);
  };
  walk([]);
  return best;
}

const THREAD = { diameter_mm: 10, pitch_mm: 1.5 };
const AT = [[55, 40], [55, 140], [55, 220], [55, 320]];
const TORQUE = { value: 60, unit: "N·m", source: "sheet 7" };

// Paths as calc's InputError names them for the same input.
const REFUSED_FITS = [
  [{}, "wheel"],
  [{ wheel: "rear" }, "wheel"],
  [{ wheel: "left", colour: 1 }, "colour"],
  [{ wheel: "left", pair: [1, 1] }, "ring_set"],
  [{ wheel: "left", ring_set: "forty", pair: [40, 0] }, "pair[0]"],
  [{ wheel: "left", vehicle: { mounting: "glued" } }, "vehicle.mounting"],
  [{ wheel: "left", vehicle: { arch_gap_mm: -1 } }, "vehicle.arch_gap_mm"],
  [{ wheel: "left", vehicle: { pairs_fitted: 0.5 } }, "vehicle.pairs_fitted"],
  [{ wheel: "left", bolts: {} }, "bolts.at"],
  [{ wheel: "left", bolts: { at: [[55, 40]] } }, "bolts.at"],
  [{ wheel: "left", bolts: { at: [[55, 40], [55, "x"]] } }, "bolts.at[1][1]"],
  [{ wheel: "left", bolts: { at: AT, thread: { diameter_mm: 11, pitch_mm: 1.5 } } }, "bolts.thread.diameter_mm"],
  [{ wheel: "left", bolts: { at: AT, thread: { diameter_mm: 10, pitch_mm: 1.75 } } }, "bolts.thread.pitch_mm"],
  [{ wheel: "left", bolts: { at: AT, thread: THREAD, turns: 9, engaged_mm: 14 } }, "bolts.turns"],
  [{ wheel: "left", bolts: { at: AT, turns: 9 } }, "bolts.thread"],
  [{ wheel: "left", bolts: { at: AT, engaged_mm: 14, blind_depth_mm: 12 } }, "bolts.blind_depth_mm"],
  [{ wheel: "left", bolts: { at: AT, thread: THREAD, clearance_mm: 9 } }, "bolts.clearance_mm"],
  [{ wheel: "left", bolts: { at: [[6, 0], [55, 90]], clearance_mm: 12 } }, "bolts.at[0][0]"],
  [{ wheel: "left", bolts: { at: AT, class: "7" } }, "bolts.class"],
  [{ wheel: "left", torque: { ...TORQUE, source: "" } }, "torque.source"],
  [{ wheel: "left", torque: { ...TORQUE, unit: "kg" } }, "torque.unit"],
  [{ wheel: "left", bracket: { lugs: [] } }, "bracket.lugs"],
  [{ wheel: "left", bracket: { lugs: [[90, 75]], stock: [{ thickness_mm: 2 }] } }, "bracket.stock[0].quantity"],
];

test("what cannot be fitted from is refused by the field", () => {
  for (const [input, field] of REFUSED_FITS) throws(() => fit(filled(input)), { code: "bad-input", field });
});

const WHEEL = { camber: -1000, toe: 100 };

// Paths as calc's InputError names them for the same input.
const REFUSED_AXLES = [
  [null, "input"],
  [{ left: WHEEL }, "right"],
  [{ left: WHEEL, right: { camber: -900 } }, "right.toe"],
  [{ left: WHEEL, right: { ...WHEEL, toe: null } }, "right.toe"],
  [{ total_toe: 100 }, "thrust"],
  [{ total_toe: 100, thrust: 0.25 }, "thrust"],
  [{ total_toe: 40000, thrust: 20000 }, "thrust"],
  [{ total_toe: 100.5, thrust: 0 }, "total_toe"],
  [{ total_toe: 100, thrust: 0, camber: { left: 1 } }, "camber.right"],
  [{ left: WHEEL, right: WHEEL, windows: { left: {}, right: {} } }, "windows.left.camber"],
];

test("what is no axle is refused by the field", () => {
  for (const [input, field] of REFUSED_AXLES) throws(() => axle(input), { code: "bad-input", field });
});
