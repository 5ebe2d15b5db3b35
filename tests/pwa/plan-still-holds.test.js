// A plan whose windows or readings were corrected after it was taken is a hold for all that follows; so is a part that
// it needs and that is not here.

import { neededBy } from "/js/domain/job/bolt-length.js";
import { isSamePlan, planChanges, stalePlan } from "/js/domain/job/plan-still-holds.js";
import { signing } from "/js/domain/job/signing.js";
import { PLANNED, SheetsJob } from "/tests/sheets-job.js";
import { isPlanCurrent } from "/js/domain/job/plan-current.js";
import { deepEqual, equal, fixture, ok, test } from "/tests/harness.js";

const STANDS = "choose.plan-stands";
const window = (low, high) => ({ low: { mdeg: low }, high: { mdeg: high } });

/** Takes a plan from what is known, as the plan's card writes it. */
function take(job, left = PLANNED, right = PLANNED, more = {}) {
  const round = more.round ?? 1;
  const { input } = round === job.round ? job.chooseInput(["demo-54"]) : { input: more.input };
  return job.plan(round, left, right, { input, tables: {}, ...more.body });
}

function planned(until = "consent") {
  const job = new SheetsJob().workUntil("round.1.plan");
  return take(job).workUntil(until);
}

const corrected = (job) => job.set("window.left.toe", window(0, 150));
const places = [["consent", "consent"], ["prepare.left.last-look", "prepare.left.last-look"],
  ["fit.left.hub-supported", "fit.left.hub-supported"], ["fit.left.bolt-length", "fit.left.bolt-length"]];

test("a plan that was just taken holds", () => {
  const job = planned();
  deepEqual(planChanges(job.fold, 1), []);
  equal(job.has(STANDS), false);
});

test("what was corrected is named, with what it was and what it is", () => {
  const job = corrected(planned()).add("base.right.1", "reading-taken", { camber: { mdeg: -1200 }, toe: { mdeg: 420 } })
    .set("aim.left", [-900, 100]).set("window.thrust", window(-100, 100)).set("rings.right", "no");
  deepEqual(planChanges(job.fold, 1), [
    { what: "window.left.toe", was: [0, 200], now: [0, 150] }, { what: "aim.left", was: null, now: [-900, 100] },
    { what: "right.camber", was: -1640, now: -1200 }, { what: "axle.thrust", was: null, now: [-100, 100] },
    { what: "rings.right", was: true, now: "no" },
  ]);
});

for (const [until, locked] of places) {
  test(`a plan that follows no more is a hold before ${locked}`, () => {
    const job = corrected(planned(until));
    deepEqual([job.at(STANDS).state, job.at(STANDS).hold, job.at(STANDS).canPass], ["open", true, true]);
    deepEqual([job.at(locked).lockedBy, job.at(locked).state], [STANDS, "locked"]);
    equal(job.nextOpen().slot, STANDS);
    equal(take(job).has(STANDS), false, "chosen again");
    equal(job.at(locked).state, "open");
  });
}

test("a reason lets the old plan stand, for these changes and for no others, and is seen", () => {
  const job = corrected(planned("prepare.left.last-look"));
  job.add(STANDS, "hold-overridden",
    job.entryBody(job.at(STANDS), "hold-overridden",
      { reason: "the window was typed for another body, the plan was for this one" }));
  deepEqual([job.at(STANDS).state, job.at(STANDS).unusual, job.at("prepare.left.last-look").state],
    ["overridden", true, "open"]);
  job.set("window.left.toe", window(0, 100));
  deepEqual([job.at(STANDS).state, job.at("prepare.left.last-look").lockedBy], ["open", STANDS]);
});

test("a reason by an entry that does not say what it speaks of covers nothing", () => {
  const job = corrected(planned());
  equal(job.add(STANDS, "hold-overridden", { reason: "never mind" }).at(STANDS).state, "open");
});

test("corrected back, the plan holds again", () => {
  equal(corrected(planned()).set("window.left.toe", window(0, 200)).has(STANDS), false);
});

test("a reading taken once more with the same mean changes nothing; a withdrawn one does", () => {
  const job = planned().add("base.left.2", "reading-taken", { camber: { mdeg: -1640 }, toe: { mdeg: 420 } });
  equal(stalePlan(job.fold, 1), null);
  job.add("base.right.1", "reading-taken", { camber: null, toe: null });
  deepEqual(stalePlan(job.fold, 1).changes.map(({ what, now }) => [what, now]),
    [["right.camber", null], ["right.toe", null]]);
});

test("an untrusted set that is taken out again takes its plan with it, and one that no plan uses does not", () => {
  const job = new SheetsJob().set("rings.put-in", { "demo-54": ["wide-gap"], "demo-40": ["wide-gap"] })
    .workUntil("round.1.plan");
  const { input } = job.chooseInput(["demo-40", "demo-54"]);
  const trust = { untrusted: { "demo-40": ["wide-gap"], "demo-54": ["wide-gap"] }, put_in: ["demo-40", "demo-54"] };
  job.plan(1, PLANNED, null, { input: { ...input, ...trust }, tables: {} })
    .set("rings.put-in", { "demo-54": ["wide-gap"] });
  equal(stalePlan(job.fold, 1), null);
  job.set("rings.put-in", {});
  deepEqual(stalePlan(job.fold, 1).changes, [{ what: "rings.put-in.demo-54", was: true, now: false }]);
  equal(job.at(STANDS).state, "open");
});

test("what is closed was closed: the check readings judge it", () => {
  const job = corrected(planned("check.compensation"));
  equal(job.has(STANDS), false);
  equal(corrected(planned("fit.right.hub-free")).has(STANDS), true, "one wheel is still open");
});

test("a plan without rings that follows no more is not closed by doing nothing", () => {
  const job = new SheetsJob().workUntil("round.1.plan");
  ok(corrected(take(job, null, null)).has(STANDS));
});

test("in a second round the plan follows from the check readings", () => {
  const job = planned("finish.front");
  const base = job.readings("round.1.check");
  const less = { left: [0, 0], right: [0, 0] };
  const body = { open: ["left"], less };
  job.plan(2, PLANNED, null, body);
  const { input } = job.chooseInput(["demo-54"]);
  equal(input.wheels.left.camber, base.left.camber);
  job.plan(2, PLANNED, null, { ...body, input });
  equal(job.has("round.2.choose.plan-stands"), false);
  job.add("round.1.check.left.1", "reading-taken", { camber: { mdeg: -1000 }, toe: { mdeg: 420 } });
  deepEqual(stalePlan(job.fold, 2).changes.map(({ what }) => what), ["left.camber"]);
  equal(job.at("round.2.choose.plan-stands").state !== "done", true);
});

test("a plan of a program that did not write what it was taken from is believed", () => {
  deepEqual(planChanges(new SheetsJob().plan(1, PLANNED, null).fold, 1), []);
});

test("choosing again may give the same plan", () => {
  ok(isSamePlan({ left: PLANNED, right: null }, { left: { ...PLANNED, effect: [641, -320] }, right: null }));
  ok(!isSamePlan({ left: PLANNED, right: null }, { left: { ...PLANNED, pair: [31, 12] }, right: null }));
});

const READY = "fit.parts-ready";
const list = (job, parts) => {
  const { slot, items } = job.at("choose.single-use");
  return job.set(slot, { ...Object.fromEntries(items.map((item) => [item, "at-hand"])), ...parts });
};

test("a part to order, or one that the plan needs and nobody has, keeps the vehicle on the ground", () => {
  const job = new SheetsJob().set("vehicle.axle-nut", "yes").workUntil("round.1.plan").plan(1, PLANNED, PLANNED)
    .workUntil("choose.single-use");
  deepEqual(list(job, { seal: "to-order", rings: "not-needed", clips: "not-needed", "axle-nut": "not-needed" })
    .partsMissing(), ["rings", "axle-nut", "seal"]);
  job.workUntil(READY);
  deepEqual([job.at(READY).canPass, job.at("fit.chocked").lockedBy, job.at("fit.left.hub-supported").state],
    [true, READY, "locked"]);
  ok(signing(job).open.some(({ slot }) => slot === READY));
  job.add(READY, "hold-overridden",
    job.entryBody(job.at(READY), "hold-overridden", { reason: "seal comes at noon, the rest is in the van" }));
  deepEqual([job.at(READY).state, job.at("fit.chocked").state], ["overridden", "open"]);
  equal(list(job, { seal: "to-order", rings: "not-needed", "axle-nut": "not-needed", locker: "to-order" }).at(READY)
    .state, "open", "the reason did not speak of the locker");
  equal(list(job, {}).has(READY), false);
});

test("an axle nut counts as needed until all say that there is none", () => {
  const missing = (say) => {
    const job = new SheetsJob().workUntil("round.1.plan").plan(1, PLANNED, PLANNED).workUntil("choose.single-use");
    say(job);
    return list(job, { "axle-nut": "not-needed" }).partsMissing();
  };
  deepEqual(missing((job) => job.set("vehicle.axle-nut", "no")), []);
  deepEqual(missing((job) => job.set("vehicle.axle-nut", "yes")), ["axle-nut"]);
  deepEqual(missing((job) => job.set("vehicle.axle-nut", null)), ["axle-nut"], "nobody has looked");
  deepEqual(missing((job) => job.set("vehicle.axle-nut", "yes", { concurrent: true })), ["axle-nut"], "people differ");
});

test("rings that go in again as they are need no others", () => {
  const job = planned("finish.front").plan(2, PLANNED, null, { open: ["left"] });
  const { slot, items } = job.at("round.2.choose.single-use");
  deepEqual(job.set(slot, Object.fromEntries(items.map((item) => [item, item === "rings" ? "not-needed" : "at-hand"])))
    .partsMissing(), []);
});

test("hub bolts said to be not needed, where the plan's stack asks for longer ones, keep the vehicle on the ground",
    async () => {
  const ringSet = await fixture("demo/ring-sets/demo-54.json");
  const at = Array.from({ length: 5 }, (_, k) => [55, k * 72]);
  const needs = (bolts) => {
    const job = new SheetsJob().workUntil("vehicle.high-voltage").set("vehicle.bolts", { typed: {}, bolts });
    return neededBy(job.fold, 1, { left: PLANNED, right: null }, () => ringSet);
  };
  const bolts = { at, thread: { diameter_mm: 12, pitch_mm: 1.5 }, metal: "steel", engaged_mm: 14 };
  deepEqual([needs(bolts), needs({ ...bolts, engaged_mm: 25 }), needs({ at })], [["hub-bolts"], [], []]);
  const job = new SheetsJob().workUntil("round.1.plan").plan(1, PLANNED, PLANNED, { needs: ["hub-bolts"] })
    .workUntil("choose.single-use");
  deepEqual(list(job, { "hub-bolts": "not-needed" }).partsMissing(), ["hub-bolts"]);
});

test("an axle nut that the vehicle does not have is not asked for", () => {
  const job = new SheetsJob().set("vehicle.axle-nut", "no").workUntil("round.1.plan").plan(1, PLANNED, PLANNED)
    .workUntil("choose.single-use");
  const { slot, items } = job.at("choose.single-use");
  const parts = Object.fromEntries(items.filter((item) => item !== "axle-nut").map((item) => [item, "at-hand"]));
  equal(job.set(slot, parts).at(slot).state, "done");
  deepEqual(job.set(slot, { ...parts, "axle-nut": "to-order" }).partsMissing(), [], "said before there was none");
  equal(job.at(slot).warning, null);
  job.set("vehicle.axle-nut", "yes").set(slot, parts);
  equal(job.at(slot).state, "open");
});

test("a plan stays current when a ring set that it does not use goes; not when its own does, or one is new", () => {
  const wheels = Object.fromEntries(["left", "right"]
    .map((side) => [side, { camber: -1640, toe: 420, rings: "auto" }]));
  const body = { plan: { left: { ring_set: "a" }, right: null }, input: { wheels, ring_sets: ["a", "b"] } };
  const isCurrent = (...ids) => isPlanCurrent(body, { wheels, ring_sets: ids }, 1);
  deepEqual([isCurrent("a", "b"), isCurrent("a"), isCurrent("b"), isCurrent("a", "b", "c")],
    [true, true, false, false]);
});
