// Which sheets and rows a job has and what state each is in: wheels, rounds, conditions, answers.

import { agreement } from "/js/domain/job/agreed-plan.js";
import { sheetsOf } from "/js/domain/job/sheets.js";
import { nextRowIn } from "/js/ui/screens/next-row.js";
import { checklist, PLANNED, READING, SheetsJob } from "/tests/sheets-job.js";
import { deepEqual, equal, ok, test, throws } from "/tests/harness.js";

const THIRTEEN = ["vehicle", "condition", "readings", "possible", "plan", "bench.left", "bench.right", "lift",
  "wheel.left", "wheel.right", "down", "check", "finish"];
const keys = (job) => job.sheets.map(({ key }) => key);
const slots = (job) => job.rows.map(({ slot }) => slot);

test("following the next open row leads through the whole job to the signature", () => {
  const job = new SheetsJob().workUntil();
  deepEqual(keys(job), THIRTEEN);
  deepEqual(job.sheets.map(({ state }) => state), Array(13).fill("done"));
  deepEqual(job.openRows(), []);
  equal(job.fold.state, "signed");
});

test("thirteen sheets from the first moment; a plan for one wheel leaves eleven, one without rings six", () => {
  const job = new SheetsJob();
  deepEqual(keys(job), THIRTEEN);
  deepEqual(job.sheets.map(({ number }) => number), THIRTEEN.map((_, k) => k + 1));
  deepEqual(job.sheets.filter(({ state }) => state === "waiting").map(({ id }) => id),
    ["bench", "bench", "lift", "wheel", "wheel", "down", "check"]);
  deepEqual(keys(new SheetsJob().plan(1, PLANNED, null)), THIRTEEN.filter((key) => !key.endsWith("right")));
  deepEqual(keys(new SheetsJob().plan(1, null, null)),
    ["vehicle", "condition", "readings", "possible", "plan", "finish"]);
});

for (const [name, choiceOf] of [["least", (options) => options[0]], ["most", (options) => options.at(-1)]]) {
  test(`what is left of a sheet falls with every answer and never rises, also with answers that ask the ${name}`,
      () => {
    const job = new SheetsJob();
    for (let row = job.nextOpen(); row; row = job.nextOpen()) {
      const before = new Map(job.sheets.map((sheet) => [sheet.key, sheet]));
      const options = (row.options ?? []).filter(({ refuse }) => !refuse);
      if (row.id === "vehicle.pair-fitted") job.set(row.slot, "none");
      else if (row.type === "choice") job.set(row.slot, choiceOf(options).id);
      else job.confirm(row);
      for (const { key, left, state } of job.sheets) {
        if (before.get(key)?.state !== "waiting" && before.has(key))
          ok(left <= before.get(key).left,
            `${row.slot}: ${key} had ${before.get(key).left} left, now ${left} (${state})`);
      }
      for (const { key, left, state, pauses } of job.sheets) {
        const inPauses = pauses.reduce((sum, pause) => sum + pause.left, 0);
        equal(state === "waiting" ? left : inPauses, left, `${row.slot}: the pauses of ${key} come to its count`);
        equal(left === 0, state === "done", `${row.slot}: ${key} is ${state} with ${left} left`);
      }
      ok(job.sheet(row.sheet).left < before.get(row.sheet).left || !row.required,
        `${row.slot} takes one off ${row.sheet}`);
    }
    deepEqual(job.sheets.map(({ left }) => left), job.sheets.map(() => 0));
    equal(job.fold.state, "signed");
  });
}

test("one hub bolt is backed out before the plan, or why none can be is said; older jobs ask for neither", () => {
  const at = [[55, 0], [55, 120], [55, 240]];
  const counted = { at, thread: { diameter_mm: 12, pitch_mm: 1.5 }, turns: 12 };
  const told = (bolts, more = {}) => new SheetsJob().workUntil("vehicle.bolts")
    .set("vehicle.bolts", { typed: {}, bolts, ...more });
  const read = (job) => [job.sheet("possible").state, job.sheet("possible").left, job.at("vehicle.bolts").state,
    job.at("vehicle.bolts").warning];
  deepEqual(read(new SheetsJob().workUntil("vehicle.bolts")), ["open", 1, "open", null]);
  deepEqual(read(told({ at })), ["open", 1, "open", null], "nobody backed one out");
  deepEqual(read(told(counted)), ["open", 1, "open", null], "nor measured its length");
  deepEqual(read(told(counted, { length_mm: 45 })), ["done", 0, "done", null]);
  deepEqual(read(told({ at }).set("vehicle.bolts-stay", "Seized, hub stays on")), ["done", 0, "done", "bolts-stay"]);
  for (const begunWith of [1, 2]) {
    const job = new SheetsJob(null, begunWith).workUntil("round.1.plan");
    deepEqual([job.stateOf("possible"), job.at("vehicle.bolts").required], ["done", false], `checklist ${begunWith}`);
    equal(nextRowIn(checklist)(job.fold, job.entries).id, "choose.plan", "the list of jobs says the same");
  }
});

test("the wheels' sheets come one after the other, each side in the slot, each slot once", () => {
  const job = new SheetsJob().plan(1, PLANNED, PLANNED);
  const all = slots(job);
  ok(all.indexOf("fit.left.wheel-on") < all.indexOf("fit.right.wheel-off"), "left done before right begins");
  ok(all.indexOf("prepare.right.whole") < all.indexOf("fit.chocked"), "the bench before the lift");
  equal(new Set(all).size, all.length, "each slot once");
  deepEqual(job.sheet("lift").rows.filter(({ id }) => id === "fit.top-marked").map(({ slot }) => slot),
    ["fit.left.top-marked", "fit.right.top-marked"]);
});

test("only wheels that get rings have rows", () => {
  const job = new SheetsJob().plan(1, null, PLANNED);
  ok(slots(job).includes("fit.right.hub-supported"), "right");
  ok(!slots(job).some((slot) => /^(fit|prepare)\.left\./.test(slot)), "no left");
});

test("at the wheel the rows stand in four pauses, each with what is said going in", () => {
  const { pauses } = new SheetsJob().plan(1, PLANNED, PLANNED).sheet("wheel.left");
  deepEqual(pauses.map(({ id }) => id), ["hub-off", "stack", "tight", "brake"]);
  ok(pauses.every(({ goingIn, rows }) => goingIn.length >= 1 && goingIn.length <= 3 && rows.length > 0));
  ok(pauses.every(({ id, rows }) => rows.every(({ pause, sheet }) => pause === id && sheet === "wheel.left")));
  const withOld = new SheetsJob().plan(1, PLANNED, PLANNED).plan(2, null, null, { open: ["left"] });
  deepEqual(withOld.sheet("round.2.wheel.left").pauses.map(({ id }) => id),
    ["hub-off", "old-rings", "stack", "tight", "brake"], "old rings have one of their own");
  deepEqual(new SheetsJob().sheet("vehicle").pauses.map(({ id }) => id), [null]);
});

test("two different plans are no plan until a person settles it", () => {
  const job = new SheetsJob().plan(1, PLANNED, null).plan(1, null, PLANNED, {}, { concurrent: true });
  equal(job.at("round.1.plan").conflict, true);
  ok(job.at("round.1.plan").state !== "done", "not done");
  equal(job.stateOf("lift"), "waiting");
  equal(job.stateOf("bench.left"), "waiting");
});

test("in a next round the old pair comes out, then rings are got ready; a wheel that gets none is closed bare", () => {
  const job = new SheetsJob().workUntil("finish.front").plan(2, PLANNED, null, { open: ["left", "right"] });
  const order = ["fit.left.hub-free", "fit.left.pair-out", "prepare.left.marks-meet", "prepare.left.whole",
    "fit.left.faces", "fit.left.rings-in", "fit.left.wheel-on",
    "fit.right.hub-free", "fit.right.pair-out", "fit.right.faces", "fit.right.hub-back", "fit.right.bare-bolts",
    "fit.right.tightened", "fit.right.wheel-on", "check.readings"];
  deepEqual(slots(job).map((slot) => slot.replace("round.2.", "")).filter((slot) => order.includes(slot)), order);
  deepEqual(keys(job).slice(4), ["round.2.plan", "round.2.lift", "round.2.wheel.left", "round.2.bench.left",
    "round.2.wheel.right", "round.2.down", "round.2.check", "finish"]);
  for (const id of ["top-marked", "rings-in", "witness-line", "touches", "read-back", "bolt-length"])
    ok(!job.has(`round.2.fit.right.${id}`), id);
  ok(!slots(job).some((slot) => slot.startsWith("round.2.prepare.right.")), "nothing to line up where no rings go in");
});

const BENCH_WORK = ["right-set", "named", "clearances", "last-look", "opened"];
const benchOfRound2 = (job) => job.rows.filter(({ round, id }) => round === 2 && id.startsWith("prepare."))
  .map(({ id }) => id.replace("prepare.", ""));

test("rings that go in again as they are need no cutting and no naming; other rings and another pair need all of it",
    () => {
  const job = new SheetsJob().workUntil("finish.front").plan(2, PLANNED, null, { open: ["left"] });
  job.set("round.2.prepare.left.same-rings", "same");
  ok(!BENCH_WORK.some((id) => benchOfRound2(job).includes(id)), benchOfRound2(job).join());
  ok(benchOfRound2(job).includes("whole") && benchOfRound2(job).includes("marks-meet"));
  job.set("round.2.prepare.left.same-rings", "other");
  ok(BENCH_WORK.every((id) => benchOfRound2(job).includes(id)), "other rings are got ready as any");
  job.set("round.2.prepare.left.same-rings", "same").plan(2, { ...PLANNED, pair: [12, 32] }, null, { open: ["left"] });
  ok(!benchOfRound2(job).includes("same-rings") && BENCH_WORK.every((id) => benchOfRound2(job).includes(id)),
    "another pair is got ready whatever was said");
});

test("mark numbers and ring set of the wheel's pair go with the row", () => {
  const job = new SheetsJob().plan(1, PLANNED, { ...PLANNED, pair: [3, 4] });
  deepEqual(job.at("prepare.left.marks-meet").params, { inner: 12, outer: 31, ringSet: "demo-54", letter: "L" });
  deepEqual(job.at("prepare.right.marks-meet").params, { inner: 3, outer: 4, ringSet: "demo-54", letter: "R" });
  deepEqual(job.at("fit.chocked").params, {});
  job.names = { "demo-54": "Demo 54" };
  equal(job.at("prepare.left.marks-meet").params.ringSet, "Demo 54");
});

test("whether the arch leaves room is never passed over: its two measures belong to the verdict", () => {
  const job = new SheetsJob().workUntil("vehicle.tyre-radius");
  equal(job.at("vehicle.tyre-radius").required, true);
  ok(job.at("vehicle.can-rings-go-in").state !== "done", "not judged without the tyre's radius");
  equal(job.confirm(job.at("vehicle.tyre-radius")).at("vehicle.can-rings-go-in").state, "done");
});

test("warnings stop nothing, and a shut line names what is not usual", () => {
  const job = new SheetsJob().set("vehicle.wear-rear-left", "feathered").set("vehicle.tyres", "right");
  equal(job.at("vehicle.wear-rear-left").warning, "wear-feathered");
  equal(job.at("vehicle.wear-rear-left").state, "done");
  deepEqual(job.sheet("condition").rows.filter(({ unusual }) => unusual).map(({ slot }) => slot),
    ["vehicle.wear-rear-left"]);
  job.plan(1, PLANNED, PLANNED).set("fit.left.hub-free", "eased");
  equal(job.at("fit.left.hub-free").unusual, true);
  equal(job.set("fit.left.hub-free", "came").at("fit.left.hub-free").unusual, false);
});

test("a part to order is said before anything is taken apart", () => {
  const job = new SheetsJob().workUntil("choose.single-use");
  const { slot, items } = job.at("choose.single-use");
  job.set(slot, Object.fromEntries(items.map((item) => [item, "to-order"])));
  deepEqual([job.at(slot).state, job.at(slot).warning], ["done", "part-to-order"]);
  equal(job.set(slot, { [items[0]]: "at-hand" }).at(slot).state, "open", "every part needs its answer");
});

const agree = (job, round = 1) => job.add("consent", "consent-recorded",
  { customer: "A. Person", ...agreement(job.fold, round, job.live("consent")) });

test("a plan changed after the consent holds until the customer has agreed to it, or the reason why not stands there",
    () => {
  const job = agree(new SheetsJob().workUntil("consent"));
  deepEqual([job.at("consent").state, job.at("consent").warning], ["done", null]);
  job.plan(1, null, PLANNED);
  deepEqual([job.at("consent").state, job.at("consent").warning, job.at("consent").canPass],
    ["open", "consent-anew", true]);
  equal(job.at("fit.chocked").lockedBy, "consent");
  equal(agree(job).at("consent").state, "done");
  job.plan(1, PLANNED, null).add("consent", "hold-overridden",
    { reason: "one mark further, as told", plan: job.planEntry.id });
  equal(job.at("consent").state, "overridden");
  equal(job.plan(1, PLANNED, PLANNED).at("consent").state, "open",
    "gone past for one plan is not gone past for the next");
});

test("every later round asks for the customer's yes anew", () => {
  const job = agree(new SheetsJob().workUntil("consent")).workUntil("finish.front").plan(2, PLANNED, null);
  deepEqual([job.at("consent").state, job.at("consent").warning], ["open", "consent-other-plan"]);
  equal(agree(job, 2).at("consent").state, "done");
});

test("nobody but the customer can say yes to a plan that nobody has seen", () => {
  equal(new SheetsJob().workUntil("consent").at("consent").canPass, false);
});

test("while a question is unanswered the cautions that hang on it are shown", () => {
  const job = new SheetsJob().plan(1, PLANNED, PLANNED);
  for (const id of ["fit.left.drum-off", "fit.left.caliper-hung", "fit.parking-mode", "fit.suspension-mode",
    "fit.high-voltage"]) ok(job.has(id), id);
  job.set("vehicle.rear-brake", "drum").set("vehicle.high-voltage", "no").set("vehicle.parking-brake", "cable");
  ok(job.has("fit.left.drum-off") && !job.has("fit.left.caliper-hung") && !job.has("fit.high-voltage")
    && !job.has("fit.parking-mode"));
  ok(job.has("fit.suspension-mode"), "the suspension is still unknown");
  ok(!job.set("vehicle.suspension", "steel").has("fit.suspension-mode"));
});

test("a trial fit that was not done at the bench is asked at the wheel, at that wheel", () => {
  const job = new SheetsJob().plan(1, PLANNED, PLANNED).tick("prepare.left.trial-fit");
  ok(!job.has("fit.left.trial-fit") && job.has("fit.right.trial-fit"));
});

test("a follow-up belongs to its own wheel and round", () => {
  const job = new SheetsJob().plan(1, PLANNED, PLANNED).set("fit.left.line", "opened");
  ok(job.has("fit.left.line-bled") && !job.has("fit.right.line-bled"), "left only");
  ok(!job.plan(2, PLANNED, PLANNED).has("round.2.fit.left.line-bled"), "not in the next round");
});

test("a new round has its own rows and keeps what is asked once", () => {
  const job = new SheetsJob().workUntil("finish.front").plan(2, null, PLANNED);
  equal(job.at("fit.torque").state, "done");
  equal(job.at("base.readings").state, "done");
  equal(job.at("round.2.fit.right.hub-supported").state, "locked");
  equal(job.row("fit.left.hub-supported").state, "done");
  deepEqual(job.workUntil().openRows(), []);
});

test("a reading counts when it has camber and toe, at both wheels", () => {
  const job = new SheetsJob().add("base.left.1", "reading-taken", READING);
  const isDone = () => job.at("base.readings").state === "done";
  equal(isDone(), false);
  job.add("base.right.1", "reading-taken", { camber: READING.camber, toe: null });
  equal(isDone(), false);
  job.add("base.right.1", "reading-taken", READING);
  equal(isDone(), true);
  job.add("base.right.1", "reading-taken", { camber: null, toe: null });
  equal(isDone(), false, "withdrawn");
});

test("check readings that contradict each other are no result, until one of them is struck", () => {
  const job = new SheetsJob().workUntil("finish.front");
  const result = () => job.at("check.result").state;
  job.add("round.1.check.left.2", "reading-taken", { ...READING, toe: { mdeg: -READING.toe.mdeg } });
  equal(result(), "open");
  equal(job.readings("round.1.check").left.toe, null);
  job.set("struck.round.1.check.left.2", { reason: "" });
  equal(result(), "done");
  job.set("struck.round.1.check.left.1", { reason: "" });
  equal(result(), "open", "a reading that is struck is none");
});

test("windows need their source, which has its own row", () => {
  const job = new SheetsJob().set("window.total-toe", { low: {}, high: {} });
  deepEqual([job.at("base.windows").state === "done", job.at("window.source").state === "done"], [true, false]);
  ok(job.openRows().some(({ slot }) => slot === "window.source"));
  ok(job.set("window.source", "  ").at("window.source").state !== "done");
  equal(job.set("window.source", "Service book, edition 4").at("window.source").state, "done");
  ok(job.set("window.total-toe", null).at("base.windows").state !== "done", "the maker gives none at all");
});

test("the advice that a plan was chosen under is answered code by code", () => {
  const job = new SheetsJob().plan(1, PLANNED, PLANNED, { advice: ["skewed-axle", "beyond-usual"] });
  job.set("choose.advice", { "skewed-axle": "looked: straight" });
  ok(job.at("choose.advice").state !== "done");
  job.set("choose.advice", { "skewed-axle": "looked: straight", "beyond-usual": "looked: it is so here" });
  equal(job.row("choose.advice").entry.body.value["skewed-axle"], "looked: straight");
  ok(job.at("choose.advice").state === "done");
});

test("a photo row is done by a photo about it", () => {
  const job = new SheetsJob().workUntil("fit.left.witness-line").photo("fit.right.witness-line");
  equal(job.at("fit.left.witness-line").state, "open");
  equal(job.photo("fit.left.witness-line").at("fit.left.witness-line").state, "done");
});

test("after a row the next open one comes, also one that is not required", () => {
  const job = new SheetsJob().set("vehicle.registration", "AB 123").set("vehicle.description", "Van");
  equal(job.nextOpen("vehicle.odometer").slot, "vehicle.complaint");
  equal(job.nextOpen().slot, "vehicle.odometer");
  equal(job.nextOpen("finish.sign").slot, "vehicle.odometer", "nothing open after it");
});

test("while two plans differ over rings that are in, the wheel is shut and says to settle first", () => {
  const job = new SheetsJob().workUntil("fit.left.bolt-length");
  job.plan(1, PLANNED, { ...PLANNED, pair: [3, 4] }, {}, { concurrent: true });
  const bare = job.at("fit.left.bare-bolts");
  deepEqual([bare.state, bare.lockedFor, bare.lockedBy], ["locked", "settle", "round.1.plan"]);
  ok(job.sheet("wheel.left").rows.every(({ state }) => state === "done" || state === "locked"),
    "nothing can be tapped there");
  equal(job.at("fit.lowered").state, "locked");
  equal(job.nextOpen().slot, "round.1.plan", "settling is what comes next");
  job.plan(1, PLANNED, PLANNED);
  equal(job.has("fit.left.bare-bolts"), false);
  equal(job.at("fit.left.bolt-length").state, "open");
});

test("an answer that people differ about is open, is named by a shut line, and hides no row", () => {
  const job = new SheetsJob().workUntil("vehicle.rear-brake").plan(1, PLANNED, PLANNED)
    .set("vehicle.rear-brake", "drum");
  job.set("vehicle.rear-brake", "disc", { concurrent: true });
  const { state, value, unusual } = job.at("vehicle.rear-brake");
  deepEqual([state, value, unusual], ["open", null, true]);
  for (const id of ["drum-off", "caliper-hung"]) ok(job.has(`fit.left.${id}`), id);
});

test("an answer taken back is no answer", () => {
  const job = new SheetsJob().set("vehicle.registration", "AB 123").set("vehicle.registration", null);
  deepEqual([job.at("vehicle.registration").state, job.at("vehicle.registration").value], ["open", null]);
});

test("a condition of an unknown form is a bug, not a silent yes", () => {
  const { fold } = new SheetsJob();
  const broken = (when) => ({ ...checklist,
    sheets: [{ id: "vehicle", rows: [{ id: "vehicle.x", type: "tick", when }, { id: "vehicle.y", type: "text" }] }] });
  throws(() => sheetsOf(broken([{ field: "vehicle.y" }]), fold), /checklist condition/);
  throws(() => sheetsOf(broken([{ field: "vehicle.z", is: ["a"] }]), fold), /expected a row "vehicle.z"/);
});
