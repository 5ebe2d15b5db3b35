// Holds that take an answer of their own: read back, bolt mode, spacers. Each lethal path is walked and refused.

import { isSpaced, isTightened, readBack, spacersWanted, tighteningRecord, tighteningSteps, touchesSoFar,
  touchOf } from "/js/domain/job/holds.js";
import { torqueOf } from "/js/domain/job/fit-request.js";
import { crossOrder } from "/js/domain/fit/tightening.js";
import { signing } from "/js/domain/job/signing.js";
import { PLANNED, SheetsJob } from "/tests/sheets-job.js";
import { deepEqual, equal, fixture, ok, test } from "/tests/harness.js";

const alike = await fixture("demo/ring-sets/demo-54.json");
const unlike = { ...alike, outer: { ...alike.outer, taper_mdeg: alike.outer.taper_mdeg + 50 } };

test("what stands on the rims is compared with the plan, and the mismatch is named", () => {
  const read = (letter, inner, outer, set = unlike) => readBack(PLANNED, "left", set, { letter, inner, outer });
  deepEqual(read("L", 12, 31), { matches: true, wrong: [] });
  deepEqual(read("R", 12, 31).wrong, ["letter"]);
  deepEqual(read("L", 21, 31).wrong, ["inner"]);
  deepEqual(read("R", 12, 13).wrong, ["letter", "outer"]);
  deepEqual(read("L", 31, 12), { matches: false, wrong: ["exchanged"] });
  deepEqual(read("L", 31, 12, alike), { matches: true, wrong: [] }, "rings alike: swapped freely");
  deepEqual(read("L", 31, 12, null).wrong, ["exchanged"], "a set that nobody knows is taken to be unlike");
  deepEqual(readBack({ pair: [7, 7] }, "right", unlike, { letter: "R", inner: 7, outer: 7 }),
    { matches: true, wrong: [] });
  equal(readBack(null, "left", unlike, {}), null);
});

test("half a reading is wrong where it already is, and never matches", () => {
  for (const half of [{}, { letter: "L" }, { letter: "L", inner: 12 }, { inner: 12, outer: 31 }])
    deepEqual(readBack(PLANNED, "left", unlike, half), { matches: false, wrong: [] });
  deepEqual(readBack(PLANNED, "left", unlike, { letter: "R", inner: 31 }).wrong, ["letter", "inner"]);
  deepEqual(readBack(PLANNED, "left", alike, { letter: "L", inner: 31 }).wrong, [], "it may be the other ring's place");
});

test("the stack does not close over marks that nobody read, that say something else, or that another plan wants",
    () => {
  const slot = "fit.left.read-back";
  const job = new SheetsJob().workUntil(slot);
  const body = job.stepBody(job.at(slot));
  equal(job.tick(slot, body).at(slot).state, "open", "a plain tick");
  equal(job.tick(slot, { ...body, read: { letter: "L", inner: 12, outer: 13 } }).at(slot).state, "open");
  equal(job.tick(slot, { ...body, read: { letter: "R", inner: 12, outer: 31 } }).at(slot).state, "open");
  equal(job.at("fit.left.bolt-length").lockedBy, slot);
  equal(job.at(slot).canPass, false);
  ok(signing(job).refusals.some(({ row }) => row.slot === slot));
  equal(job.tick(slot, { ...body, read: { letter: "L", inner: 12, outer: 31 } }).at(slot).state, "done");
  equal(job.plan(1, { ...PLANNED, pair: [31, 13] }, PLANNED).at(slot).state !== "done", true);
});

/** A job whose left wheel stands before tightening, with these bolts and this torque. */
function beforeTight({ bolts = null, angle_deg = null } = {}) {
  const job = new SheetsJob().workUntil("vehicle.high-voltage");
  if (bolts) job.set("vehicle.bolts", { typed: {}, bolts });
  return job.workUntil("fit.torque")
    .set("fit.torque", { value_nm: 60, text: "60", unit: "nm", source: "Service book", angle_deg })
    .workUntil("fit.left.tightened");
}

test("bolt mode goes round in the drawn order, stage after stage, and the angle is a stage of its own", () => {
  const job = beforeTight({ angle_deg: 90 });
  equal(tighteningSteps(job.fold, "left"), null, "nobody knows how many bolts");
  const steps = tighteningSteps(job.fold, "left", 5);
  equal(steps.length, 20);
  deepEqual(steps.slice(0, 5).map(({ bolt }) => bolt), crossOrder(5).map((place) => place + 1));
  deepEqual(steps.filter((_, k) => k % 5 === 0)
    .map(({ stage, stages, torque, angle_deg }) => [stage, stages, torque, angle_deg]),
    [[0, 4, 18, null], [1, 4, 42, null], [2, 4, 60, null], [3, 4, null, 90]]);
  const at = [[60, 45], [60, 135], [60, 225], [60, 315]];
  deepEqual(tighteningSteps(beforeTight({ bolts: { at } }).fold, "left").slice(0, 4)
    .map(({ bolt }) => bolt), [1, 3, 2, 4]);
  equal(tighteningSteps(new SheetsJob().fold, "left", 5), null, "no torque, no tightening");
});

test("a half-done round goes on where it was; what does not follow the order does not count", () => {
  const steps = tighteningSteps(beforeTight().fold, "left", 4);
  const touched = steps.slice(0, 6).map(touchOf);
  equal(touchesSoFar(steps, touched), 6);
  equal(touchesSoFar(steps, [...touched.slice(0, 3), touched[5]]), 3);
  equal(touchesSoFar(steps, []), 0);
});

test("a torque corrected in the middle of a wheel begins it anew: nobody knows which bolt has which", () => {
  const job = beforeTight();
  const touched = tighteningSteps(job.fold, "left", 4).slice(0, 10).map(touchOf);
  job.set("fit.torque", { value_nm: 80, text: "80", unit: "nm", source: "Service book", angle_deg: null });
  equal(touchesSoFar(tighteningSteps(job.fold, "left", 4), touched), 0);
});

test("a wheel is not closed over bolts that were not tightened one by one through every stage", () => {
  const slot = "fit.left.tightened";
  const job = beforeTight();
  const body = job.stepBody(job.at(slot));
  const all = tighteningSteps(job.fold, "left", 5).map(({ bolt, stage }) => ({ bolt, stage: stage + 1 }));
  const record = (touches) => ({ ...body, ...tighteningRecord(touches, torqueOf(job.fold)) });
  for (const [what, short] of [["a plain tick", body], ["the last bolt left out", record(all.slice(0, -1))],
    ["the last stage left out", record(all.slice(0, 10))],
    ["one bolt twice", record([...all.slice(0, -1), all[0]])], ["nothing", record([])]]) {
    equal(job.tick(slot, short).at(slot).state, "open", what);
    ok(signing(job).refusals.some(({ row }) => row.slot === slot), what);
    equal(job.at("fit.left.wheel-on").lockedBy, slot, what);
  }
  equal(job.at(slot).canPass, false);
  equal(job.tick(slot, record(all)).at(slot).state, "done");
  deepEqual(job.at(slot).entry.body.stages,
    [{ torque: 18, unit: "nm", angle_deg: null }, { torque: 42, unit: "nm", angle_deg: null },
      { torque: 60, unit: "nm", angle_deg: null }]);
});

test("a torque that is corrected after tightening opens the hold again", () => {
  const job = beforeTight().workUntil("fit.left.flush-again");
  equal(job.at("fit.left.tightened").state, "done");
  job.set("fit.torque", { value_nm: 80, text: "80", unit: "nm", source: "Service book", angle_deg: null });
  equal(job.at("fit.left.tightened").state, "open");
  job.set("fit.torque", { value_nm: 60, text: "60", unit: "nm", source: "Service book, edition 5", angle_deg: null });
  equal(job.at("fit.left.tightened").state, "done", "the source alone was corrected");
});

test("bolts that somebody typed later than they were tightened are tightened too", () => {
  const job = beforeTight().workUntil("fit.left.flush-again");
  job.set("vehicle.bolts", { typed: {}, bolts: { at: Array.from({ length: 6 }, (_, k) => [55, k * 60]) } });
  equal(isTightened(job.fold, "left", job.row("fit.left.tightened").entry.body), false);
  ok(job.at("fit.left.tightened").state !== "done");
});

test("a tick of a program that knew no bolt mode holds in a job that it began, and nowhere else", () => {
  const ticked = (begunWith) => new SheetsJob(null, begunWith).workUntil("fit.left.tightened")
    .tick("fit.left.tightened");
  equal(ticked(1).at("fit.left.tightened").state, "done");
  equal(ticked(2).at("fit.left.tightened").state, "open");
});

const BRACKET = { lugs: [[70, 60], [70, 120]],
  stock: [{ thickness_mm: 4, quantity: 1 }, { thickness_mm: 5, quantity: 1 }], engaged_mm: 18 };

function withBracket(stock = BRACKET.stock) {
  return new SheetsJob().workUntil("vehicle.rear-brake").set("vehicle.rear-brake", "disc")
    .set("vehicle.caliper-bracket", "outboard-of-ear")
    .set("vehicle.bracket-lugs", { typed: {}, bracket: { ...BRACKET, stock } }).workUntil("fit.left.spacers");
}

test("a spacer that is too thin is named at its lug and keeps the caliper off", () => {
  const slot = "fit.left.spacers";
  const job = withBracket();
  const wanted = spacersWanted(job.fold, "left", { ringSet: alike, pair: PLANNED.pair });
  deepEqual(wanted.map(({ lug }) => lug), [1, 2]);
  ok(wanted.some(({ isTooThin }) => isTooThin), JSON.stringify(wanted));
  ok(wanted.every(({ wanted_mm, mm, off_mm }) => Math.abs(mm - wanted_mm - off_mm) < 0.0005));
  const record = (mms) => ({ ...job.stepBody(job.at(slot)),
    spacers: wanted.map(({ lug, wanted_mm }, k) => ({ lug, wanted_mm, mm: mms[k] })) });
  equal(job.tick(slot, record(wanted.map(({ mm }) => mm))).at(slot).state, "open",
    "the nearest of the stock is still too thin");
  equal(job.at("fit.left.bracket-bolts").lockedBy, slot);
  equal(job.tick(slot, record(wanted.map(({ wanted_mm }) => wanted_mm + 0.1))).at(slot).state, "done");
  equal(job.tick(slot, record(wanted.map(({ wanted_mm }) => wanted_mm + 0.101))).at(slot).state, "open",
    "too thick strains it as well");
});

test("where nobody typed the lugs, the spacers are measured; nothing measured is nothing", () => {
  equal(spacersWanted(new SheetsJob().fold, "left", { ringSet: alike, pair: PLANNED.pair }), null);
  equal(isSpaced({ spacers: [{ lug: 1, wanted_mm: null, mm: 4.8 }] }), true);
  for (const spacers of [[], undefined, [{ lug: 1, wanted_mm: null, mm: null }]]) equal(isSpaced({ spacers }), false);
});

test("a pipe that touches a ring is rerouted first; grinding comes only after that, and neither stops the wheel",
    () => {
  const job = new SheetsJob().workUntil("fit.left.touches").set("fit.left.touches", "touches");
  ok(!job.has("fit.left.edge-whole"), "no grinding before rerouting was tried");
  job.set("fit.left.rerouted", "neither");
  deepEqual([job.at("fit.left.rerouted").state, job.at("fit.left.rerouted").refusal], ["refused", "pipe-touches"]);
  ok(job.at("fit.left.bolts-by-hand").lockedBy === "fit.left.rerouted" && job.at("fit.pedal").lockedBy !== null);
  ok(!job.set("fit.left.rerouted", "clear").has("fit.left.edge-whole"));
  job.set("fit.left.rerouted", "edge");
  ok(job.at("fit.left.edge-whole").hold && job.at("fit.left.bolts-by-hand").lockedBy === "fit.left.edge-whole");
});
