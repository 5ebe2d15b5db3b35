// Rounds, what each starts from, and what proving is asked: from entries alone.

import { fold } from "/js/domain/job/fold.js";
import { chooseInputOf } from "/js/domain/job/job.js";
import { nextRound } from "/js/domain/job/next-round.js";
import { prove } from "/js/domain/prove/prove.js";
import { proveInputOf, toeUnitOf } from "/js/domain/job/proving.js";
import { cutRingsServe } from "/js/domain/prove/cut-rings.js";
import { plannedPairAt, openIn, wheelsOf } from "/js/domain/job/checklist-slots.js";
import { lastCheck, roundsOf } from "/js/domain/job/rounds.js";
import { planWith, choose } from "/js/domain/choose/choose.js";
import { effectMdeg, placedPair, turnedOver } from "/js/domain/rings/tilt.js";
import { deepEqual, equal, fixture, near, ok, test, throws } from "./harness.js";

const RING_SET = await fixture("demo/ring-sets/demo-54.json");
const PAIR = { left: [12, 31], right: [20, 44] };
const BASE = { left: [-1640, 420], right: [-1720, 310] };
const angle = (mdeg) => ({ mdeg, text: "", unit: "deg", way: null, diameter_mm: null });
let count = 0;
const entry = (slot, kind, body) => ({ id: `e${String((count += 1)).padStart(4, "0")}`, slot, kind, body, after: [] });
const reading = (slot, [camber, toe]) => entry(slot, "reading-taken", { camber: angle(camber), toe: angle(toe) });
const window = (slot, low, high) => entry(slot, "field-set", { value: { low: angle(low), high: angle(high) } });

const WINDOWS = ["left", "right"]
  .flatMap((side) => [window(`window.${side}.camber`, -1500, -500), window(`window.${side}.toe`, 0, 200)]);
const START = [...WINDOWS, reading("base.left.1", BASE.left), reading("base.right.1", BASE.right)];
const TABLE = tableOf(RING_SET);
const FITTED = { left: { ring_set: "demo-54", pair: PAIR.left }, right: { ring_set: "demo-54", pair: PAIR.right } };
const INPUT = chooseInputOf(fold(START), 1, ["demo-54"]).input;
const PLAN = planWith(INPUT, [TABLE], FITTED);
const known = { setOf: () => RING_SET, others: [RING_SET] };

/** The table as Python's, from the exact composition: good to 1 mdeg, which is all that these tests need. */
function tableOf(ring_set) {
  const { inner: { marks: rows }, outer: { marks: columns } } = ring_set;
  const effects = Array.from({ length: rows * columns },
    (_, k) => effectMdeg(placedPair(ring_set, [Math.floor(k / columns) + 1, (k % columns) + 1])).map(Math.round));
  return { format: 1, ring_set, rows, columns, unit: "mdeg", camber: effects.map(([c]) => c),
    toe: effects.map(([, t]) => t) };
}

function readAgain(round, left, right) {
  return [reading(`round.${round}.check.left.1`, left), reading(`round.${round}.check.right.1`, right)];
}

const planned = (round, body) => entry(`round.${round}.plan`, "plan-chosen",
  { tables: { "demo-54": "abc" }, advice: [], recommended: true, ...body });
const reversed = effectMdeg(placedPair(RING_SET, PAIR.left).map(turnedOver)).map(Math.round);
const CHECK = { left: BASE.left.map((mdeg, at) => mdeg + reversed[at]), right: PLAN.predicted.right };
const AFTER_FIRST = [...START, planned(1, { plan: PLAN, input: INPUT }), ...readAgain(1, CHECK.left, CHECK.right)];

test("a given pair is judged as the same pair found by choosing", () => {
  const [best] = choose(INPUT, [TABLE]).plans;
  deepEqual(planWith(INPUT, [TABLE], best), best);
  throws(() => planWith(INPUT, [TABLE], { left: { ring_set: "demo-54", pair: [99, 1] }, right: null }),
    { code: "bad-input" });
});

test("faces the wrong way are asked about with everything the job knows, and named", () => {
  const input = proveInputOf(fold(AFTER_FIRST), 1, "left", known);
  deepEqual([input.base, input.check, input.pair],
    [{ camber: -1640, toe: 420 }, { camber: CHECK.left[0], toe: CHECK.left[1] }, PAIR.left]);
  deepEqual(input.other.wheel.pair, PAIR.right);
  equal(prove(input).causes[0].code, "faces-reversed");
});

test("the unit that toe was typed in rules a slip of another out; total toe counts where toe was worked out from it",
    () => {
  const slips = (f) => prove(proveInputOf(f, 1, "left", known))
    .causes.filter(({ code }) => code === "toe-unit-mistaken").map(({ detail }) => detail.slip);
  const farOff = [...AFTER_FIRST.filter(({ slot }) => slot !== "round.1.check.left.1"),
    reading("round.1.check.left.1", [CHECK.left[0], 12])];
  deepEqual(proveInputOf(fold(farOff), 1, "left", known).toe_units, { base: "deg", check: "deg" });
  ok(!slips(fold(farOff)).includes("degrees-for-millimetres"), "typed in degrees");
  const total = entry("round.1.check.total-toe.1", "field-set",
    { value: { ...angle(40), unit: "mm", diameter_mm: 400 } });
  equal(toeUnitOf(fold([...farOff, total]), "round.1.check", "left"), "mm");
  const inMinutes = entry("round.1.check.left.2", "reading-taken",
    { camber: angle(CHECK.left[0]), toe: { ...angle(12), unit: "deg-min" } });
  equal(toeUnitOf(fold([...farOff, inMinutes]), "round.1.check", "left"), null);
  equal(toeUnitOf(fold(farOff), "round.2.check", "left"), null);
});

test("a wheel without rings, or not read, is not asked about", () => {
  const f = fold([...START, planned(1, { plan: { ...PLAN, right: null }, input: INPUT })]);
  equal(proveInputOf(f, 1, "right", known), null);
  equal(proveInputOf(f, 1, "left", known), null);
});

test("the droop is the turn towards the rear that was measured in that round, at that wheel", () => {
  const turn = (slot, turn_deg) => entry(slot, "field-set", { value: { turn_deg, how: "typed" } });
  equal(proveInputOf(fold([...AFTER_FIRST, turn("fit.left.level-hanging", 8)]), 1, "left", known).droop_deg, 8);
  equal(proveInputOf(fold([...AFTER_FIRST, turn("fit.left.level-hanging", -8)]), 1, "left", known).droop_deg, null);
  equal(proveInputOf(fold([...AFTER_FIRST, turn("fit.right.level-hanging", 8)]), 1, "left", known).droop_deg, null);
});

test("in a later round the droop measured there counts, else the first round's; 60 degrees is the most", () => {
  const turn = (slot, turn_deg) => entry(slot, "field-set", { value: { turn_deg, how: "typed" } });
  const second = [...AFTER_FIRST, planned(2, { plan: PLAN, input: INPUT }), ...readAgain(2, CHECK.left, CHECK.right)];
  const droop = (round, ...turns) => proveInputOf(fold([...second, ...turns]), round, "left", known).droop_deg;
  const [first, later] = [turn("fit.left.level-hanging", 8), turn("round.2.fit.left.level-hanging", 5)];
  deepEqual([droop(2, first), droop(2, first, later), droop(1, first, later), droop(1, later)], [8, 5, 8, null]);
  const [most, beyond] = [60, 60.1].map((deg) => turn("fit.left.level-hanging", deg));
  deepEqual([droop(1, most), droop(1, beyond)], [60, null]);
});

test("base and check read unlike often are both weighed by the worse of the two spreads", () => {
  const spread = (...more) => proveInputOf(fold([...AFTER_FIRST, ...more]), 1, "left", known).spread;
  const again = [2, 3, 4].map((n) => reading(`round.1.check.left.${n}`, CHECK.left));
  const base = [2, 3, 4].map((n) => reading(`base.left.${n}`, BASE.left));
  const whole = spread();
  deepEqual(spread(...again), whole, "base was read once");
  deepEqual(spread(...base), whole, "the check was read once");
  const both = spread(...again, ...base);
  ok(both.camber_sd.left < whole.camber_sd.left && both.toe_sd.left < whole.toe_sd.left, "both were read four times");
});

test("a droop measured as none rules out that the top was taken hanging", () => {
  const still = entry("fit.left.level-hanging", "field-set", { value: { turn_deg: 0, how: "typed" } });
  const input = proveInputOf(fold([...AFTER_FIRST, still]), 1, "left", known);
  equal(input.droop_deg, 0);
  ok(!prove(input).causes.some(({ code }) => code === "top-taken-hanging"), "ruled out");
  ok(prove({ ...input, droop_deg: null }).causes.some(({ code }) => code === "top-taken-hanging"),
    "while nobody measured it, it is asked");
});

test("causes are weighed by the shop's own spreads, as choosing does", () => {
  const shop = { camber_sd: 20, toe_sd: 12, seat_sd: 9, clock_sd_deg: 1.5 };
  const spread = (own) => proveInputOf(fold(AFTER_FIRST), 1, "left", { ...known, shop: own }).spread;
  deepEqual(spread(shop), chooseInputOf(fold(AFTER_FIRST), 1, ["demo-54"], undefined, shop).input.spread);
  deepEqual(spread(null), { camber_sd: { left: 50, right: 50 }, toe_sd: { left: 30, right: 30 } });
  deepEqual(spread({ toe_sd: 12 }).toe_sd, { left: 12, right: 12 });
});

function next(kind, open, code = "faces-reversed") {
  const proof = prove(proveInputOf(fold(AFTER_FIRST), 1, "left", known));
  return nextRound(fold(AFTER_FIRST), 1, { kind, open, causes: { left: proof.causes.find((row) => row.code === code) },
    tables: [TABLE] });
}

test("a refit puts the same pair in and predicts what the first plan did; the other wheel stays closed as it reads",
    () => {
  const { plan, open, less } = next("refit", ["left"]);
  deepEqual([plan.left.pair, plan.right, open, less.right], [PAIR.left, null, ["left"], [0, 0]]);
  deepEqual(plan.predicted.right, CHECK.right);
  plan.predicted.left.forEach((mdeg, at) => near(mdeg, PLAN.predicted.left[at], 1));
});

test("rings that came to be doubted go back in as planned; a second pass has them only if a person put them in", () => {
  const doubts = { "demo-54": ["wide-gap"] };
  const proof = prove(proveInputOf(fold(AFTER_FIRST), 1, "left", known));
  const wish = (kind, more = []) => {
    const causes = { left: proof.causes.find((row) => row.code === "faces-reversed") };
    return nextRound(fold([...AFTER_FIRST, ...more]), 1, { kind, open: ["left"], causes, tables: [TABLE], doubts });
  };
  const refit = wish("refit");
  deepEqual([refit.plan.left.pair, refit.plan.doubts, refit.input.untrusted], [PAIR.left, doubts, doubts]);
  equal(wish("second").plan.left, null);
  const putIn = entry("rings.put-in", "field-set", { value: { "demo-54": ["wide-gap", "few-readings"] } });
  deepEqual(wish("second", [putIn]).plan.doubts, doubts);
  const lessRead = entry("rings.put-in", "field-set", { value: { "demo-54": ["few-readings"] } });
  equal(wish("second", [lessRead]).plan.left, null, "what nobody has read is not taken for read");
});

test("a second pass starts from the check less what is really in, and is the best from there", () => {
  const { plan, input, less } = next("second", ["left"]);
  less.left.forEach((mdeg, at) => near(mdeg, reversed[at], 1));
  BASE.left.forEach((mdeg, at) => near([input.wheels.left.camber, input.wheels.left.toe][at], mdeg, 1));
  deepEqual([input.wheels.left.rings, input.wheels.right.rings, plan.right], ["auto", "no", null]);
  const [camber, toe] = plan.predicted.left;
  ok(camber >= -1500 && camber <= -500 && toe >= 0 && toe <= 200, "the opened wheel comes inside");
});

test("with something between the faces the pair can come out, from the base as read; nothing is chosen there", () => {
  const body = next("out", ["left"], "between-faces");
  deepEqual([body.plan.left, body.plan.right, body.bare, body.plan.predicted.left], [null, null, ["left"], BASE.left]);
  const f = fold([...AFTER_FIRST, planned(2, body)]);
  deepEqual(chooseInputOf(f, 2, ["demo-54"]).input, body.input);
  deepEqual([body.input.wheels.left.rings, wheelsOf(f, 2).bare], ["no", ["left"]]);
});

test("a pair can come out before anybody knows what was wrong with it", () => {
  const body = nextRound(fold(AFTER_FIRST), 1, { kind: "out", open: ["left"], causes: {}, tables: [TABLE] });
  deepEqual([body.plan.left, body.less.left], [null, PLAN.left.effect]);
});

test("a round that is begun keeps where it starts from, also when its base is asked for again", () => {
  const body = next("refit", ["left"]);
  const f = fold([...AFTER_FIRST, planned(2, body), ...readAgain(2, body.plan.predicted.left, CHECK.right)]);
  deepEqual(chooseInputOf(f, 2, ["demo-54"]).input, body.input);
  deepEqual(roundsOf(f).map(({ round }) => round), [1, 2]);
  deepEqual([openIn(f, 1), openIn(f, 2)], [["left", "right"], ["left"]]);
  deepEqual([plannedPairAt(f, "left").round, plannedPairAt(f, "right").round, plannedPairAt(f, "right").pair],
    [2, 1, PAIR.right]);
  equal(lastCheck(f).left.camber, body.plan.predicted.left[0]);
  equal(lastCheck(fold(AFTER_FIRST)).left.camber, CHECK.left[0]);
  equal(lastCheck(fold([...AFTER_FIRST, planned(2, body)])), null,
    "the round before says nothing of what is fitted now");
});

test("a second pass may want no rings where a pair sits: then it comes out, and the check is compared with none",
    () => {
  const inside = [-1000, 100];
  const settled = [...WINDOWS, reading("base.left.1", inside), reading("base.right.1", inside)];
  const started = [...settled, planned(1, { plan: planWith(INPUT, [TABLE], FITTED), input: INPUT }),
    ...readAgain(1, inside.map((mdeg, at) => mdeg + PLAN.left.effect[at]), inside)];
  const body = nextRound(fold(started), 1, { kind: "second", open: ["left"], causes: {}, tables: [TABLE] });
  deepEqual([body.plan.left, body.plan.predicted.left], [null, inside]);
  const f = fold([...started, planned(2, body), ...readAgain(2, inside, inside)]);
  deepEqual(wheelsOf(f, 2), { "rings": [], "old-pair": ["left"], "bare": ["left"], "work": ["left"], "same-pair": [],
    "new-pair": [], "given-up": [], "emptied": [] });
  deepEqual([plannedPairAt(f, "left"), plannedPairAt(f, "left", 1).pair, plannedPairAt(f, "right").pair],
    [null, PAIR.left, PAIR.right]);
  equal(proveInputOf(f, 2, "left", known), null, "no rings to weigh causes for");
});

const withBolts = (clocks) => {
  const bolts = entry("vehicle.bolts", "field-set",
    { value: { typed: {}, bolts: { at: clocks.map((clock) => [55, clock]) } } });
  return proveInputOf(fold([...AFTER_FIRST, bolts]), 1, "left", known);
};

// Turned over, the thick point comes from -c to c and each slot from the bolt at b to -b: right only where a bolt
// stands there too.
test("rings cut while the wrong way round serve for a refit turned over, where the pattern is its own mirror image",
    () => {
  deepEqual(cutRingsServe(withBolts([0, 100, 260]), "faces-reversed", "demo-54", PAIR.left).inner,
    { serves: true, turned_over: true });
  deepEqual(cutRingsServe(withBolts([0, 100, 250]), "faces-reversed", "demo-54", PAIR.left).inner,
    { serves: false, turned_over: false });
});

test("rings that sit as planned serve for the same pair alone, where the pattern allows no turn", () => {
  const input = withBolts([0, 100, 250]);
  deepEqual(cutRingsServe(input, "as-planned", "demo-54", PAIR.left).inner, { serves: true, turned_over: false });
  ok(!cutRingsServe(input, "as-planned", "demo-54", [PAIR.left[0] + 7, PAIR.left[1]]).inner.serves);
  ok(!cutRingsServe(input, "as-planned", "another", PAIR.left).outer.serves);
  equal(cutRingsServe(proveInputOf(fold(AFTER_FIRST), 1, "left", known), "as-planned", "demo-54", PAIR.left), null);
});
