// What a folded job means for choosing.

import { choose } from "/js/domain/choose/choose.js";
import { axleOf, wheelToes } from "/js/domain/choose/axle.js";
import { beginningOf } from "/js/domain/job/checklist-slots.js";
import { fold } from "/js/domain/job/fold.js";
import { uuid4 } from "/js/domain/job/ids.js";
import { baseOf, chooseInputOf, windowOf } from "/js/domain/job/job.js";
import { fieldOf } from "/js/domain/job/slot-values.js";
import { agreedReadings, meanReadings, readingsOf, struckReadings, struckSlot } from "/js/domain/job/readings.js";
import { disagreeing } from "/js/domain/numbers/disagreeing.js";
import { meanMdeg, sdOfMean } from "/js/domain/numbers/stats.js";
import { deepEqual, equal, fixture, near, test } from "./harness.js";

const JOB = uuid4();
const angle = (mdeg) => ({ mdeg, text: "", unit: "deg", way: null, diameter_mm: null });
const entry = (kind, slot, body, after = []) => (
  { format: 1, id: uuid4(), job: JOB, device: uuid4(), n: 1, at: "", by: "x", kind, slot, after, body });
const reading = (slot, camber, toe, after) => entry("reading-taken", slot, {
  camber: camber === null ? null : angle(camber), toe: toe === null ? null : angle(toe) }, after);
const field = (slot, value) => entry("field-set", slot, { value });
const window = (slot, low, high) => field(slot, { low: angle(low), high: angle(high) });

const BASE = [
  reading("base.left.1", -1640, 420), reading("base.left.2", -1641, 421), reading("base.right.1", -1120, 60),
];

test("repeats give a mean, halves away from zero, and its SD; a withdrawn one does not count", () => {
  const withdrawn = reading("base.right.2", null, null);
  const wheels = meanReadings(fold([...BASE, withdrawn]), "base");
  deepEqual([wheels.left.camber, wheels.left.toe, wheels.left.count], [-1641, 421, 2]);
  deepEqual([wheels.right.camber, wheels.right.toe, wheels.right.count], [-1120, 60, 1]);
  equal(wheels.right.toe_sd, 30);
  near(wheels.left.camber_sd, Math.sqrt((4 * 2500 + 0.5) / 5 / 2), 1e-9);
});

const foldOf = ({ readings, struck = [] }) => fold([
  ...readings.map(([slot, camber, toe]) => reading(slot, camber, toe)),
  ...struck.map((slot) => field(struckSlot(slot), { reason: "x" })),
]);
const wheelsOf = ({ left, right }) =>
  ({ left: { camber: left.camber, toe: left.toe }, right: { camber: right.camber, toe: right.toe } });

test("means and the axle are those of the desk", async () => {
  const { cases } = await fixture("golden/readings.json");
  for (const { prefix, means, axle, signed, sds, ...taken } of cases) {
    const wheels = agreedReadings(foldOf(taken), prefix, sds);
    deepEqual(wheelsOf(wheels), means);
    if (axle !== null) deepEqual(axleOf(wheels), axle);
    if (!signed) continue;
    deepEqual(wheelsOf(agreedReadings({ ...foldOf(taken), state: "signed" }, prefix, sds)), signed);
    deepEqual(wheelsOf(meanReadings(foldOf(taken), prefix, sds)), signed);
  }
});

test("which readings disagree, and what it looks like, is what calc says", async () => {
  const { cases } = await fixture("golden/disagreeing.json");
  for (const { readings, sds, disagreeing: expected } of cases) deepEqual(disagreeing(readings, sds), expected);
});

test("readings that disagree make no plan, a third frees nothing, one is struck by name and stays readable", () => {
  const read = [reading("base.left.1", 870, 100), reading("base.left.2", -870, 100), reading("base.right.1", -900, 60)];
  const third = [...read, reading("base.left.3", -860, 100)];
  for (const f of [fold(read), fold(third)]) deepEqual(chooseInputOf(f, 1, []).missing, ["left.camber"]);
  const [first] = chooseInputOf(fold(read), 1, []).disagreeing;
  deepEqual([first.slots, first.apart, first.looks], [["base.left.1", "base.left.2"], 1740, ["mirrored"]]);
  const struck = { ...field(struckSlot("base.left.1"), { reason: "typed the other way" }), by: "Iris Vance" };
  const f = fold([...third, struck]);
  equal(chooseInputOf(f, 1, []).input.wheels.left.camber, -865);
  deepEqual(struckReadings(f, "base", "left"),
    [{ slot: "base.left.1", n: 1, camber: 870, toe: 100, by: "Iris Vance", reason: "typed the other way" }]);
  const back = { ...field(struckSlot("base.left.1"), null), after: [struck.id] };
  deepEqual(chooseInputOf(fold([...third, struck, back]), 1, []).missing, ["left.camber"]);
});

test("the shop's own SD of one reading says what disagrees", () => {
  const read = [reading("base.left.1", -800, 0), reading("base.left.2", -1013, 100), reading("base.right.1", -900, 60)];
  deepEqual(chooseInputOf(fold(read), 1, []).missing, ["left.camber"]);
  deepEqual(chooseInputOf(fold(read), 1, [], undefined, { camber_sd: 51 }).missing, []);
  deepEqual(chooseInputOf(fold(read), 1, [], undefined, { camber_sd: 51, toe_sd: 20 }).missing, ["left.toe"]);
});

test("the tenth reading comes after the second, and other slots are not readings", () => {
  const f = fold([10, 2, 1].map((n) => reading(`base.left.${n}`, n, n)).concat(reading("base.left.note", 5, 5)));
  deepEqual(readingsOf(f, "base", "left").map((r) => r.camber), [1, 2, 10]);
});

test("a reading about which two people differ is not used", () => {
  const f = fold([...BASE, reading("base.right.1", -900, 60)]);
  deepEqual(chooseInputOf(f, 1, ["a"]).missing, ["right.camber", "right.toe"]);
});

test("the input of choosing", () => {
  const f = fold([
    ...BASE, window("window.left.camber", -1500, -500), window("window.left.toe", 0, 200),
    field("window.right.toe", null),
    window("window.total-toe", 50, 350), field("rings.right", "no"), field("aim.left", [-1000, 100]),
  ]);
  const { input, missing, estimated } = chooseInputOf(f, 1, ["demo-40", "demo-54"]);
  deepEqual([missing, estimated], [[], false]);
  deepEqual(input.ring_sets, ["demo-40", "demo-54"]);
  deepEqual(input.wheels, {
    left: { camber: -1641, toe: 421, rings: "auto" }, right: { camber: -1120, toe: 60, rings: "no" } });
  deepEqual(input.windows, { left: { camber: [-1500, -500], toe: [0, 200], aim: [-1000, 100] },
    right: { camber: null, toe: null, aim: null } });
  deepEqual(input.axle, { total_toe: [50, 350], thrust: null, cross_camber: null });
});

test("a window open on one side has null for that edge, and is chosen from as such", () => {
  const f = fold([
    ...BASE, field("window.left.camber", { low: null, high: angle(-500) }),
    field("window.left.toe", { low: angle(0), high: null }),
    field("window.right.toe", { low: null, high: null }),
  ]);
  const { windows } = chooseInputOf(f, 1, []).input;
  deepEqual(windows, { left: { camber: [null, -500], toe: [0, null], aim: null },
    right: { camber: null, toe: null, aim: null } });
  const { aims, plans } = choose(chooseInputOf(f, 1, []).input, []);
  deepEqual([aims.left.camber.mdeg < -500, plans[0].camber_outside, plans[0].toe_outside], [true, 0, 0]);
});

test("a later round starts from the check reading less what was fitted", () => {
  const plan = entry("plan-chosen", "round.1.plan",
    { plan: { left: { ring_set: "a", pair: [1, 2], effect: [300, -250] }, right: null } });
  const f = fold([...BASE, plan, reading("round.1.check.left.1", -1300, 200),
    reading("round.1.check.right.1", -1130, 70)]);
  const base = baseOf(f, 2);
  deepEqual([base.left.camber, base.left.toe, base.right.camber, base.right.toe, base.estimated],
    [-1600, 450, -1130, 70, true]);
  equal(baseOf(f, 2, { left: [0, 0], right: [0, 0] }).left.camber, -1300);
  deepEqual(chooseInputOf(f, 3, []).missing, ["left.camber", "left.toe", "right.camber", "right.toe"]);
});

test("the shop's own spreads go into the input; what it has not accepted stays as usual", () => {
  const shop = { camber_sd: 80, toe_sd: 20, seat_sd: 35, clock_sd_deg: 3.5 };
  const { spread } = chooseInputOf(fold(BASE), 1, [], undefined, shop).input;
  deepEqual([spread.seat_sd, spread.clock_sd_deg, spread.camber_sd.right, spread.toe_sd.right], [35, 3.5, 80, 20]);
  near(spread.camber_sd.left, Math.sqrt((4 * 6400 + 0.5) / 5 / 2), 1e-9);
  const usual = chooseInputOf(fold(BASE), 1, []).input.spread;
  deepEqual(Object.keys(usual), ["camber_sd", "toe_sd"]);
  deepEqual(usual.toe_sd.right, 30);
  deepEqual(chooseInputOf(fold(BASE), 1, [], undefined, { seat_sd: null, toe_sd: "x" }).input.spread, usual);
});

test("a field about which two people differ has no value", () => {
  const f = fold([field("vehicle.vin", "a"), field("vehicle.vin", "b"), window("window.thrust", -1, 1),
    window("window.thrust", -1, 2)]);
  equal(fieldOf(f, "vehicle.vin"), undefined);
  equal(windowOf(f, "window.thrust"), null);
});

test("total toe and thrust give both wheels, and back", () => {
  deepEqual(wheelToes(201, 50), { left: 151, right: 50 });
  deepEqual(wheelToes(-201, -50), { left: -151, right: -50 });
  const axle = axleOf({ left: { camber: -1640, toe: 420 }, right: { camber: -1120, toe: 61 } });
  deepEqual(axle, { total_toe: 481, thrust: 179.5, cross_camber: -520 });
});

test("mean and SD agree with the examples of the server's statistics", () => {
  equal(meanMdeg([330, 350, 340]), 340);
  near(sdOfMean([330, 350, 340], 30), 14.53, 0.001);
  equal(sdOfMean([330], 30), 30);
});

const EFFECTS = { left: { ring_set: "a", pair: [1, 2], effect: [600, -300] },
  right: { ring_set: "a", pair: [3, 4], effect: [400, 0] } };
const CHECKED = [
  ...BASE, entry("plan-chosen", "round.1.plan", { plan: EFFECTS, input: {} }),
  reading("round.1.check.left.1", -1300, 300), reading("round.1.check.right.1", -1100, 60),
];
const begun = (open, less) => entry("plan-chosen", "round.2.plan",
  { plan: { left: null, right: null }, input: {}, open, less });
const LEFT_OPEN = { left: [300, -150], right: [0, 0] };
const wheelsOfRound2 = (...entries) => chooseInputOf(fold([...CHECKED, ...entries]), 2, ["a"]).input.wheels;

test("a later round knows which wheels it opened when its plan was taken back, and while people differ about it",
    () => {
  const plan = begun(["left"], LEFT_OPEN);
  const takenBack = entry("step-undone", "round.2.plan", {}, [plan.id]);
  const other = { ...begun(["left"], LEFT_OPEN), body: { ...plan.body, plan: EFFECTS } };
  const expected = { left: { camber: -1600, toe: 450, rings: "auto" }, right: { camber: -1100, toe: 60, rings: "no" } };
  for (const entries of [[plan], [plan, takenBack], [plan, other]]) deepEqual(wheelsOfRound2(...entries), expected);
});

test("where the plans of a later round opened different wheels, and none holds, nothing is opened", () => {
  const wheels = wheelsOfRound2(begun(["left"], LEFT_OPEN),
    begun(["left", "right"], { left: [300, -150], right: [400, 0] }));
  deepEqual(wheels, { left: { camber: -1300, toe: 300, rings: "no" }, right: { camber: -1100, toe: 60, rings: "no" } });
});

test("plans that open the same wheels, named in another order, are not two openings", () => {
  const both = { left: [300, -150], right: [400, 0] };
  const f = fold([...CHECKED, begun(["left", "right"], both),
    { ...begun(["right", "left"], both), body: { ...begun(["right", "left"], both).body, plan: EFFECTS } }]);
  deepEqual([beginningOf(f, 2).open, beginningOf(f, 2).among], [["left", "right"], undefined]);
});

test("plans that open different wheels are each named, so that a person can say which holds", () => {
  const [one, other] = [begun(["left"], LEFT_OPEN), begun(["right"], { left: [0, 0], right: [400, 0] })];
  const { open, among } = beginningOf(fold([...CHECKED, one, other]), 2);
  deepEqual([open, among.map(({ id }) => id).sort()], [[], [one.id, other.id].sort()]);
  const settled = { ...begun(["right"], { left: [0, 0], right: [400, 0] }), after: [one.id, other.id] };
  deepEqual(beginningOf(fold([...CHECKED, one, other, settled]), 2).open, ["right"]);
});

test("where rings may go is the technician's word in a later round too, but for wheels that are closed or left bare",
    () => {
  const rings = (...entries) => Object.values(wheelsOfRound2(...entries)).map(({ rings: may }) => may);
  const both = begun(["left", "right"], LEFT_OPEN);
  deepEqual(rings(both, field("rings.left", "no"), field("rings.right", "yes")), ["no", "yes"]);
  deepEqual(rings(begun(["left"], LEFT_OPEN), field("rings.right", "yes")), ["auto", "no"]);
  deepEqual(rings({ ...both, body: { ...both.body, bare: ["right"] } }, field("rings.right", "yes")), ["auto", "no"]);
});
