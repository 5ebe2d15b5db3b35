// The hold of the bolt length: too short, bottoming and weaker bolts are refused, from what is really in; what cannot
// be computed is measured.

import { boltFacts, boltLength, boltLengthEntry } from "/js/domain/job/bolt-length.js";
import { fit } from "/js/domain/fit/fit.js";
import { signing } from "/js/domain/job/signing.js";
import { PLANNED, SheetsJob } from "/tests/sheets-job.js";
import { deepEqual, equal, fixture, near, ok, test, throws } from "/tests/harness.js";

const ringSet = await fixture("demo/ring-sets/demo-54.json");
const AT = Array.from({ length: 5 }, (_, k) => [55, k * 72]);
const BOLTS = { at: AT, thread: { diameter_mm: 12, pitch_mm: 1.5 }, class: "10.9", metal: "steel", engaged_mm: 14 };
const SLOT = "fit.left.bolt-length";

/** A job whose left wheel stands before its bolt length. */
function atBolts(bolts = BOLTS, more = (job) => job) {
  return more(new SheetsJob().workUntil("vehicle.high-voltage")
    .set("vehicle.bolts", { typed: {}, bolts, length_mm: 40 })).workUntil(SLOT);
}

function judged(job, typed, { round = 1, side = "left", oldSet = null, set = ringSet } = {}) {
  return boltLength(job.fold, boltFacts(job.fold, round, side), side, { ringSet: set, oldSet }, typed);
}

const asBefore = { new: false };
const longerBy = (mm) => ({ new: true, length_mm: 40 + mm, was_mm: 40, class: "10.9" });

/** What the fitting aids say of the same bolts: their engagement is bound to calc. */
const byFit = (engaged_mm, side = "left", extra = {}) =>
  fit({ wheel: side, ring_set: ringSet, pair: PLANNED.pair, bolts: { ...BOLTS, engaged_mm, ...extra } });

test("it says of every bolt what the fitting aids say, and takes the length that they ask for and no less", () => {
  const job = atBolts();
  const { bolts, longer } = byFit(14);
  const found = judged(job, { new: null });
  deepEqual(found.bolts.map(({ left_mm }) => left_mm), bolts.map(({ engagement }) => engagement.left_mm));
  deepEqual([found.outcome, found.longer], ["ask", longer]);
  ok(longer.at_least_mm > 2 && longer.at_least_mm < 5, "the stack is 4.8 mm in its middle");
  equal(judged(job, longerBy(longer.at_least_mm)).outcome, "fits");
  equal(judged(job, longerBy(longer.at_least_mm - 0.01)).outcome, "short");
});

test("a bolt that ends before the thread begins stops the job: the hold refuses, the hub stays open, nobody signs",
    () => {
  const job = atBolts({ ...BOLTS, engaged_mm: 4 });
  equal(judged(job, asBefore).outcome, "short");
  ok(judged(job, asBefore).least_mm < -1, "more than a millimetre short of the thread");
  job.lengthen(job.at(SLOT), asBefore, { ringSet });
  deepEqual([job.at(SLOT).state, job.at(SLOT).refusal, job.at(SLOT).canPass], ["refused", "bolts-short", false]);
  ok(job.rows.filter(({ sheet, order }) => sheet === "wheel.left" && order > job.at(SLOT).order)
    .every(({ lockedBy }) => lockedBy === SLOT));
  ok(signing(job).refusals.some(({ code, row }) => code === "refused" && row.slot === SLOT));
  job.lengthen(job.at(SLOT), longerBy(15), { ringSet });
  equal(job.at(SLOT).state, "done", "longer ones hold");
});

test("one and a half millimetres too little is too little", () => {
  const job = atBolts({ ...BOLTS, engaged_mm: 4 });
  const { longer } = judged(job, { new: null });
  job.lengthen(job.at(SLOT), longerBy(longer.at_least_mm - 1.5), { ringSet });
  deepEqual([job.at(SLOT).state, job.at(SLOT).refusal], ["refused", "bolts-short"]);
});

test("a blind hole in which no length serves stops the job whatever is typed", () => {
  const blind = { ...BOLTS, engaged_mm: 12.5, blind_depth_mm: 12.5 };
  const job = atBolts(blind);
  equal(byFit(12.5, "left", { blind_depth_mm: 12.5 }).longer.possible, false);
  for (const typed of [{ new: null }, asBefore, longerBy(4.3), longerBy(10)])
    equal(judged(job, typed).outcome, "no-length", JSON.stringify(typed));
  job.lengthen(job.at(SLOT), longerBy(4.3), { ringSet });
  deepEqual([job.at(SLOT).state, job.at(SLOT).refusal], ["refused", "bolts-bottom"]);
});

test("a bolt that touches the bottom of its hole holds nothing, by whatever length it is too long", () => {
  const job = atBolts({ ...BOLTS, blind_depth_mm: 18 });
  const { longer } = judged(job, { new: null });
  equal(judged(job, longerBy(longer.less_than_mm)).outcome, "bottoms");
  equal(judged(job, longerBy(longer.less_than_mm - 0.01)).outcome, "fits");
  job.lengthen(job.at(SLOT), longerBy(longer.less_than_mm + 1), { ringSet });
  equal(job.at(SLOT).refusal, "bolts-too-long");
});

test("turns counted at the wheel beat what was typed before, and a clash is said", () => {
  const job = atBolts(BOLTS, (begun) => begun.workUntil("fit.left.hub-free")
    .set("fit.left.bolt-turns", { text: "5", number: 5, unit: "turns" }));
  const found = judged(job, { new: null });
  deepEqual(found.bolts.map(({ left_mm }) => left_mm), byFit(7.5).bolts.map(({ engagement }) => engagement.left_mm));
  equal(found.clashes, true);
  equal(judged(job, { new: null }, { side: "right" }).bolts[0].left_mm, byFit(14, "right").bolts[0].engagement.left_mm,
    "the other wheel as typed");
  job.set("fit.left.bolt-turns", { text: "9", number: 9, unit: "turns" });
  equal(judged(job, { new: null }).clashes, false, "within a turn");
});

test("in a second round longer starts from the bolts that are in", () => {
  const job = atBolts();
  job.lengthen(job.at(SLOT), longerBy(5), { ringSet }).workUntil("finish.front");
  job.plan(2, { ...PLANNED, pair: [13, 32] }, null, { open: ["left"] });
  const { longer } = judged(job, { new: null }, { round: 2 });
  equal(longer.at_least_mm, 0, "14 + 5 mm hold as they are");
  const found = judged(job, asBefore, { round: 2 });
  equal(found.outcome, "fits");
  near(found.least_mm, byFit(19).bolts.reduce((least, { engagement }) => Math.min(least, engagement.left_mm), 99), 1.5);
  equal(boltFacts(job.fold, 2, "left").was_mm, 45, "they are 45 mm long now");
  equal(judged(job, { new: true, length_mm: 42, class: "10.9" }, { round: 2 }).longer_by_mm, -3);
});

test("turns counted in a second round count with the first pair in: short by the least, bottoming by the most", () => {
  const job = atBolts();
  job.lengthen(job.at(SLOT), longerBy(5), { ringSet }).workUntil("finish.front").plan(2, { ...PLANNED, pair: [13, 32] },
    null, { open: ["left"] });
  job.set("round.2.fit.left.bolt-turns", { text: "9", number: 9, unit: "turns" });
  const { bare_mm: [low, high] } = judged(job, asBefore, { round: 2, oldSet: ringSet });
  const stacks = byFit(14).bolts.map(({ stack_mm }) => stack_mm);
  near(low, 13.5 + Math.min(...stacks), 0.011);
  near(high, 13.5 + Math.max(...stacks), 0.011);
});

test("a wheel that an older program closed, or that was closed bare, has bolts that nobody wrote down", () => {
  const job = new SheetsJob(null, 1).workUntil("vehicle.high-voltage").set("vehicle.bolts", { typed: {}, bolts: BOLTS })
    .workUntil("fit.left.tightened");
  job.undo(SLOT).tick("fit.left.tightened").plan(2, PLANNED, null, { open: ["left"] });
  const blind = judged(job, asBefore, { round: 2 });
  deepEqual([blind.outcome, blind.missing], ["measure", ["engagement"]]);
  job.set("round.2.fit.left.bolt-turns", { text: "9", number: 9, unit: "turns" });
  ok(judged(job, asBefore, { round: 2, oldSet: ringSet }).outcome !== "measure", "counted, it is known");
});

test("what cannot be computed is measured at the wheel and named; measured too little stops the job too", () => {
  const job = atBolts({ at: AT, thread: BOLTS.thread, metal: "steel" });
  equal(boltLengthEntry(boltFacts(job.fold, 1, "left"), asBefore, judged(job, asBefore)), null,
    "nothing measured, nothing confirmed");
  deepEqual(judged(job, asBefore).missing, ["engagement"]);
  job.lengthen(job.at(SLOT), { ...asBefore, measured_mm: 11.9 }, { ringSet });
  deepEqual([job.at(SLOT).state, job.at(SLOT).refusal], ["refused", "bolts-short"]);
  job.lengthen(job.at(SLOT), { ...asBefore, measured_mm: 12 }, { ringSet });
  equal(job.at(SLOT).state, "done");
  const { outcome, missing, measured_mm: mm } = job.at(SLOT).entry.body.length;
  deepEqual([outcome, missing, mm], ["measured", ["engagement"], 12]);
});

test("a hole's depth refuses also where nobody typed the metal, and so nobody knows how far in is enough", () => {
  const { metal: _metal, ...plain } = BOLTS;
  const job = atBolts({ ...plain, blind_depth_mm: 16 });
  const { longer } = judged(atBolts({ ...BOLTS, blind_depth_mm: 16 }), { new: null });
  const typed = (mm) => ({ ...longerBy(mm), measured_mm: 12 });
  equal(judged(job, typed(longer.less_than_mm)).outcome, "bottoms");
  equal(judged(job, typed(longer.less_than_mm - 0.01)).outcome, "measured");
  equal(judged(job, longerBy(20)).outcome, "bottoms", "before anything is measured");
  equal(judged(job, { ...typed(0), measured_mm: 15.9 }).outcome, "bottoms", "the bolt that is in deepest");
  job.lengthen(job.at(SLOT), typed(20), { ringSet });
  deepEqual([job.at(SLOT).state, job.at(SLOT).refusal], ["refused", "bolts-too-long"]);
  const flat = atBolts({ ...plain, engaged_mm: 0.5, blind_depth_mm: 0.5 });
  equal(judged(flat, { new: null }).outcome, "no-length",
    "the stack is higher on one side by more than the hole is deep");
  const unknown = atBolts({ at: AT, thread: BOLTS.thread, blind_depth_mm: 12 });
  equal(judged(unknown, { ...asBefore, measured_mm: 12 }, { set: null }).outcome, "bottoms",
    "nothing known but the depth");
});

test("nothing typed of the bolts at all: it is measured, and judged by nobody", () => {
  const job = new SheetsJob().workUntil(SLOT);
  const { outcome, missing } = judged(job, asBefore, { set: null });
  deepEqual([outcome, missing], ["measure", ["ring-set", "places", "thread", "engagement"]]);
  throws(() => judged(job, { ...asBefore, measured_mm: 0 }, { set: null }),
    { code: "bolts-number", field: "measured_mm" });
});

test("bolts of a lower class than those that came out are refused", () => {
  const job = atBolts();
  job.lengthen(job.at(SLOT), { ...longerBy(5), class: "8.8" }, { ringSet });
  deepEqual([job.at(SLOT).state, job.at(SLOT).refusal], ["refused", "bolts-weaker"]);
});

test("new bolts hold only once their length and class are said; a class that cannot be read goes into the record",
    () => {
  const job = atBolts();
  const { class: _class, ...noClass } = longerBy(5);
  equal(judged(job, noClass).outcome, "ask");
  equal(judged(job, { ...noClass, length_mm: 41 }).outcome, "short", "what refuses them anyway waits for no class");
  job.lengthen(job.at(SLOT), { ...noClass, class: null, class_unread: true }, { ringSet });
  const { length } = job.at(SLOT).entry.body;
  deepEqual([job.at(SLOT).state, length.outcome, length.class, length.class_unread], ["done", "fits", null, true]);
  const unknown = new SheetsJob().workUntil(SLOT);
  const typed = (more) => judged(unknown, { new: true, length_mm: 45, class: "10.9", measured_mm: 18, ...more },
    { set: null }).outcome;
  deepEqual([typed({}), typed({ class: null }), typed({ length_mm: null }), typed({ class: null, class_unread: true })],
    ["measured", "ask", "ask", "measured"]);
});

test("the gate is run again before the hub closes", () => {
  const job = atBolts();
  job.set("vehicle.mounting", "one-piece");
  const found = judged(job, longerBy(5));
  deepEqual([found.outcome, found.codes], ["gate", ["stub-one-piece"]]);
});

test("a new length needs the length that came out; absurd lengths are refused by name", () => {
  const job = new SheetsJob().workUntil("vehicle.high-voltage").set("vehicle.bolts", { typed: {}, bolts: BOLTS })
    .workUntil(SLOT);
  equal(judged(job, { new: true, length_mm: 45, class: "10.9" }).outcome, "ask");
  throws(() => judged(job, { new: true, length_mm: 450, was_mm: 40 }), { code: "bolts-number", field: "length_mm" });
});

test("a correction of what it was computed from opens the hold again; the same once more closes it", () => {
  const job = atBolts();
  job.lengthen(job.at(SLOT), longerBy(5), { ringSet });
  equal(job.at(SLOT).state, "done");
  job.set("fit.left.bolt-turns", { text: "4", number: 4, unit: "turns" });
  equal(job.at(SLOT).state, "open");
  ok(signing(job).refusals.some(({ row }) => row.slot === SLOT));
  job.set("fit.left.bolt-turns", null);
  equal(job.at(SLOT).state, "done");
});

test("a plain tick is no bolt length", () => {
  const job = atBolts();
  equal(job.tick(SLOT, job.stepBody(job.at(SLOT))).at(SLOT).state, "open");
});
