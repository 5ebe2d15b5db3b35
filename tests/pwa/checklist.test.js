// Which steps a job has and what state each is in: wheels, rounds, conditions, answers.

import { currentRound, wheelsWithRings } from "/js/domain/job/checklist-slots.js";
import { agreement } from "/js/domain/job/agreed.js";
import { missing, nextStep, stageStates, stepsOf, warnings } from "/js/domain/job/checklist.js";
import { Job, PLANNED, READING, checklist, slotsOf, stateOfStage, stepAt } from "/tests/checklist-job.js";
import { deepEqual, equal, ok, throws, test } from "/tests/harness.js";

test("following nextStep leads through the whole job to the signature", () => {
  const job = new Job().workUntil();
  deepEqual(stageStates(checklist, job.fold).map(({ state }) => state), Array(7).fill("done"));
  deepEqual(missing(checklist, job.fold), []);
  equal(job.fold.state, "signed");
});

/** Confirms every step with the answer that asks least, or most, and calls `look` with the job before and after. */
function walk(choiceOf, look) {
  const job = new Job();
  for (let step = nextStep(checklist, job.fold); step; step = nextStep(checklist, job.fold)) {
    const before = stageStates(checklist, job.fold);
    if (step.type === "choice") job.field(step.slot, choiceOf(step.options.filter(({ refuse }) => !refuse)).id);
    else job.confirm(step);
    look(step, before, stageStates(checklist, job.fold));
  }
  return job;
}

for (const [name, choiceOf] of [["least", (options) => options[0]], ["most", (options) => options.at(-1)]]) {
  test(`what is left of a stage falls with every answer and never rises, also with answers that ask the ${name}`, () => {
    const job = walk(choiceOf, ({ slot, stage, panel }, before, after) => {
      before.forEach(({ id, state, left }, at) => {
        if (state !== "waiting" && panel !== "plan") ok(after[at].left <= left, `${slot}: ${id} had ${left} left, now ${after[at].left}`);
      });
      const of = (states) => states.find(({ id }) => id === stage).left;
      ok(of(after) < of(before), `${slot} takes one off ${stage}`);
    });
    deepEqual(stageStates(checklist, job.fold).map(({ left }) => left), Array(7).fill(0));
  });
}

test("the wheels' steps come one wheel after the other, each side in the slot", () => {
  const slots = slotsOf(new Job().plan(1, PLANNED, PLANNED));
  const lastLeft = slots.indexOf("fit.left.wheel-on");
  ok(slots.indexOf("fit.left.wheel-off") < lastLeft, "left wheel off before on");
  ok(lastLeft < slots.indexOf("fit.right.wheel-off"), "left done before right begins");
  ok(slots.indexOf("fit.right.wheel-on") < slots.indexOf("fit.pedal"), "both wheels on before the pedal");
  equal(new Set(slots).size, slots.length, "each slot once");
});

test("only wheels that get rings have steps", () => {
  const job = new Job().plan(1, null, PLANNED);
  deepEqual(wheelsWithRings(job.fold, 1), ["right"]);
  ok(slotsOf(job).includes("fit.right.hub-supported"), "right");
  ok(!slotsOf(job).some((slot) => slot.includes(".left.")), "no left");
});

test("before a plan the work waits; a plan without rings needs no work", () => {
  equal(stateOfStage(new Job(), "fit"), "waiting");
  const job = new Job().plan(1, null, null);
  for (const stage of ["prepare", "fit", "check"]) equal(stateOfStage(job, stage), "not-needed");
  ok(!slotsOf(job).includes("choose.single-use"), "no parts to have at hand");
  ok(!slotsOf(job).includes("finish.recheck-slip"), "no fasteners to recheck");
});

test("two different plans are no plan until a person settles it", () => {
  const job = new Job().plan(1, PLANNED, null).plan(1, null, PLANNED, { concurrent: true });
  equal(wheelsWithRings(job.fold, 1), null);
  equal(stepAt(job, "round.1.plan").conflict, true);
  ok(stepAt(job, "round.1.plan").state !== "done", "not done");
  equal(stateOfStage(job, "fit"), "waiting");
});

test("in a next round the old pair comes out first, then the rings are got ready; a wheel that gets none is closed bare", () => {
  const job = new Job().workUntil("check.result").add("round.2.plan", "plan-chosen", { plan: { left: PLANNED, right: null }, open: ["left", "right"] });
  const slots = slotsOf(job).filter((slot) => slot.startsWith("round.2."));
  const order = ["fit.left.last-bolts", "fit.left.pair-out", "prepare.left.marks-meet", "prepare.left.whole", "fit.left.faces", "fit.left.rings-in", "fit.left.wheel-on",
    "fit.right.last-bolts", "fit.right.pair-out", "fit.right.faces", "fit.right.hub-back", "fit.right.bare-bolts", "fit.right.tightened", "fit.right.wheel-on", "check.readings"];
  deepEqual(slots.filter((slot) => order.includes(slot.replace("round.2.", ""))).map((slot) => slot.replace("round.2.", "")), order);
  for (const id of ["top-marked", "rings-in", "witness-line", "touches", "position-seen"]) ok(!slots.includes(`round.2.fit.right.${id}`), id);
  ok(!slots.some((slot) => slot.startsWith("round.2.prepare.right.")), "nothing to line up where no rings go in");
  equal(stepAt(job, "round.2.prepare.left.marks-meet").state, "locked", "not while the old pair sits there");
  job.workUntil("round.2.fit.left.pair-out");
  equal(stepAt(job, "round.2.prepare.left.marks-meet").lockedBy, "round.2.fit.left.pair-out");
  job.workUntil("round.2.prepare.left.whole").field("round.2.prepare.left.whole", "cracked");
  equal(stepAt(job, "round.2.fit.left.faces").lockedFor, "refusal", "a cracked ring keeps the hub off");
  job.field("round.2.prepare.left.whole", "whole").workUntil();
  deepEqual(missing(checklist, job.fold), []);
});

const BENCH_WORK = ["right-set", "ring-lot", "named", "needs", "clearances", "last-look", "eyes", "opened"];

function benchOfRound2(job) {
  return slotsOf(job).filter((slot) => slot.startsWith("round.2.prepare.left.")).map((slot) => slot.replace("round.2.prepare.left.", ""));
}

test("rings that go back in as they are need no bench work done before; where they sit and whether they are whole is seen anew", () => {
  const job = new Job().workUntil("check.result").add("round.2.plan", "plan-chosen", { plan: { left: PLANNED, right: null }, open: ["left"] });
  deepEqual([benchOfRound2(job)[0], BENCH_WORK.every((id) => benchOfRound2(job).includes(id))], ["same-rings", true], "while nobody has said so");
  equal(stepAt(job, "round.2.prepare.left.same-rings").state, "locked", "the old pair is not out");
  job.field("round.2.prepare.left.same-rings", "same");
  deepEqual(benchOfRound2(job), ["same-rings", "marks-meet", "marked-faces", "trial-fit", "whole"]);
  const holds = ["fit.chocked", "fit.supported", "fit.left.hub-supported", "fit.left.pair-out", "fit.left.faces", "fit.left.witness-line", "fit.pedal", "fit.lowered", "fit.left.wheel-fasteners"];
  for (const id of holds) equal(stepAt(job, `round.2.${id}`).hold, true, id);
  job.field("round.2.prepare.left.same-rings", "other");
  ok(BENCH_WORK.every((id) => benchOfRound2(job).includes(id)), "other rings are got ready as any");
});

test("another pair is got ready whatever was said of the one before", () => {
  const job = new Job().workUntil("check.result").add("round.2.plan", "plan-chosen", { plan: { left: PLANNED, right: null }, open: ["left"] });
  job.field("round.2.prepare.left.same-rings", "same").add("round.2.plan", "plan-chosen", { plan: { left: { ...PLANNED, pair: [12, 32] }, right: null }, open: ["left"] });
  ok(!benchOfRound2(job).includes("same-rings") && BENCH_WORK.every((id) => benchOfRound2(job).includes(id)), "nothing left out");
});

test("mark numbers and ring set of the wheel's pair go with the step", () => {
  const job = new Job().plan(1, PLANNED, { ...PLANNED, pair: [3, 4] });
  deepEqual(stepAt(job, "prepare.left.marks-meet").params, { inner: 12, outer: 31, ringSet: "demo-54", letter: "L" });
  deepEqual(stepAt(job, "prepare.right.marks-meet").params, { inner: 3, outer: 4, ringSet: "demo-54", letter: "R" });
  deepEqual(stepAt(job, "fit.chocked").params, {});
});

test("an old pair must be out before the base readings", () => {
  const job = new Job().workUntil("vehicle.pair-fitted").field("vehicle.pair-fitted", "right");
  const removal = ["removal-agreed", "removal-chocked", "removal-stands", "removal-hub-carried", "pair-removed", "removal-pedal"];
  for (const slot of removal.map((id) => `vehicle.${id}`)) {
    equal(stepAt(job, "base.readings").lockedBy, slot);
    job.add(slot, "step-done", { hold: true });
  }
  equal(stepAt(job, "base.readings").state, "open");
  ok(!slotsOf(job.field("vehicle.pair-fitted", "none")).some((slot) => slot.includes("removal")), "none fitted, none to take out");
});

test("whether the arch leaves room is never passed over: its two measures belong to the gate", () => {
  const job = new Job().workUntil("vehicle.tyre-radius");
  equal(stepAt(job, "vehicle.tyre-radius").required, true);
  ok(stepAt(job, "vehicle.can-rings-go-in").state !== "done", "not judged without the tyre's radius");
  equal(stepAt(job.confirm(stepAt(job, "vehicle.tyre-radius")), "vehicle.can-rings-go-in").state, "done");
});

test("warnings stop nothing and are listed", () => {
  const job = new Job().field("vehicle.wear-rear-left", "feathered").field("vehicle.sensor", "on-axle");
  deepEqual(warnings(checklist, job.fold).map(({ code }) => code), ["wear-feathered", "sensor-gap"]);
  equal(stepAt(job, "vehicle.wear-rear-left").state, "done");
  ok(slotsOf(job).includes("vehicle.sensor-gap"), "the question behind the warning");
});

test("a part to order is said before anything is taken apart", () => {
  const job = new Job().workUntil("choose.single-use");
  const { slot, items } = stepAt(job, "choose.single-use");
  job.field(slot, Object.fromEntries(items.map((item) => [item, "to-order"])));
  equal(stepAt(job, slot).state, "done");
  deepEqual(warnings(checklist, job.fold).map(({ code }) => code), ["part-to-order"]);
  job.field(slot, { [items[0]]: "at-hand" });
  equal(stepAt(job, slot).state, "open", "every part needs its answer");
});

/** The customer agrees to the plan of a round as it stands. */
function agree(job, round = 1) {
  return job.add("consent", "consent-recorded", { customer: "A. Person", plan: planId(job, round) });
}

function planId(job, round) {
  return job.fold.slots[`round.${round}.plan`][0].id;
}

test("a plan changed after the consent holds until the customer has agreed to it, or the reason why not stands there", () => {
  const job = agree(new Job().workUntil("consent"));
  equal(stepAt(job, "consent").warning, null);
  equal(stepAt(job, "consent").state, "done");
  job.plan(1, null, PLANNED);
  deepEqual(warnings(checklist, job.fold).map(({ code }) => code), ["consent-anew"]);
  equal(stepAt(job, "consent").state, "open");
  equal(stepAt(job, "fit.chocked").lockedBy, "consent");
  equal(stepAt(job, "consent").canOverride, true);
  equal(stepAt(agree(job), "consent").state, "done");
  job.plan(1, PLANNED, null).add("consent", "hold-overridden", { reason: "one mark further, as told", plan: planId(job, 1) });
  equal(stepAt(job, "consent").state, "overridden");
  equal(stepAt(job.plan(1, PLANNED, PLANNED), "consent").state, "open", "gone past for one plan is not gone past for the next");
});

test("a later round asks the customer anew only where it opens a wheel that nobody agreed to", () => {
  const job = new Job().plan(1, PLANNED, null);
  agree(job).workUntil("check.result");
  equal(stepAt(job.plan(2, PLANNED, null), "consent").state, "done");
  equal(stepAt(job, "consent").warning, "consent-other-plan", "it says so, and lets the person decide");
  equal(stepAt(job.plan(2, PLANNED, PLANNED), "consent").state, "open");
  equal(stepAt(agree(job, 2), "consent").warning, null);
  job.add("consent", "consent-recorded", { customer: "A. Person" });
  equal(stepAt(job.plan(2, null, PLANNED), "consent").warning, null, "an older program's entry does not say");
});

test("the same plan under a new entry is the plan that the customer agreed to", () => {
  const job = agree(new Job().workUntil("consent"));
  job.plan(1, null, PLANNED).plan(1, PLANNED, PLANNED);
  deepEqual([stepAt(job, "consent").state, stepAt(job, "consent").warning], ["done", null]);
  equal(stepAt(job.plan(1, PLANNED, { ...PLANNED, pair: [12, 32] }), "consent").warning, "consent-anew", "another mark is another plan");
});

test("what was gone past for the first round covers the same wheels in the next", () => {
  const job = agree(new Job().workUntil("consent"));
  job.plan(1, PLANNED, null).add("consent", "hold-overridden", { reason: "one wheel less, as told", plan: planId(job, 1) });
  job.plan(2, PLANNED, null);
  deepEqual([stepAt(job, "consent").state, stepAt(job, "consent").warning], ["overridden", "consent-other-plan"]);
});

test("a pair that comes out where nobody agreed to work asks anew, and a later yes keeps the earlier ones", () => {
  const opened = (job, round, left, right, open) => job.add(`round.${round}.plan`, "plan-chosen", { plan: { left, right }, open });
  const yes = (job, round) => job.add("consent", "consent-recorded", { customer: "A. Person", ...agreement(job.fold, round, job.fold.slots.consent ?? []) });
  const job = new Job().plan(1, PLANNED, null);
  yes(job, 1);
  equal(stepAt(opened(job, 2, null, PLANNED, ["right"]), "consent").warning, "consent-anew");
  yes(job, 2);
  equal(stepAt(job, "consent").warning, null);
  equal(stepAt(opened(job, 3, null, null, ["left"]), "consent").warning, "consent-other-plan", "the yes to the first round still stands");
  job.plan(1, PLANNED, PLANNED);
  equal(stepAt(job, "consent").warning, "consent-anew", "the first round is not what it was");
  const other = new Job().plan(1, PLANNED, PLANNED).plan(2, PLANNED, null);
  yes(other, 2);
  equal(stepAt(opened(other, 3, null, null, ["right"]), "consent").warning, "consent-anew", "the yes was to the left wheel alone");
});

test("while a question is unanswered the cautions that hang on it are shown", () => {
  const job = new Job().plan(1, PLANNED, PLANNED);
  for (const id of ["drum-off", "caliper-hung", "lead-joined"]) ok(slotsOf(job).includes(`fit.left.${id}`), id);
  for (const id of ["fit.service-mode", "fit.high-voltage"]) ok(slotsOf(job).includes(id), id);
  job.field("vehicle.rear-brake", "drum").field("vehicle.high-voltage", "no").field("vehicle.parking-brake", "cable");
  deepEqual(slotsOf(job).filter((slot) => /left.(caliper-hung|drum-off)/.test(slot)), ["fit.left.drum-off"]);
  ok(!slotsOf(job).includes("fit.high-voltage"), "no high voltage");
  ok(slotsOf(job).includes("fit.service-mode"), "the suspension is still unknown");
  ok(!slotsOf(job.field("vehicle.suspension", "steel")).includes("fit.service-mode"), "neither needs it");
  ok(slotsOf(job.field("vehicle.parking-brake", "electric")).includes("fit.service-mode"), "electric");
});

test("a follow-up belongs to its own wheel and round", () => {
  const job = new Job().plan(1, PLANNED, PLANNED).field("fit.left.line", "opened");
  ok(slotsOf(job).includes("fit.left.line-bled") && !slotsOf(job).includes("fit.right.line-bled"), "left only");
  job.plan(2, PLANNED, PLANNED);
  ok(!slotsOf(job).includes("round.2.fit.left.line-bled"), "not in the next round");
});

test("a new round has its own steps and keeps what is asked once", () => {
  const job = new Job().workUntil("check.result").plan(2, null, PLANNED);
  equal(currentRound(job.fold), 2);
  equal(stepAt(job, "round.2.fit.right.hub-supported").state, "locked");
  equal(stepAt(job, "consent").state, "done");
  equal(stepAt(job, "fit.torque").state, "done");
  equal(stepAt(job, "base.readings").state, "done");
  equal(stepAt(job, "round.2.check.readings").state, "locked");
  equal(stepsOf(checklist, job.fold, { round: 1 }).find(({ slot }) => slot === "fit.left.hub-supported").state, "done");
  equal(missing(checklist, job.workUntil().fold).length, 0);
});

test("a reading counts when it has camber and toe, at both wheels", () => {
  const job = new Job().add("base.left.1", "reading-taken", READING);
  equal(stepAt(job, "base.readings").state === "done", false);
  job.add("base.right.1", "reading-taken", { camber: READING.camber, toe: null });
  equal(stepAt(job, "base.readings").state === "done", false);
  job.add("base.right.1", "reading-taken", READING);
  equal(stepAt(job, "base.readings").state, "done");
  job.add("base.right.1", "reading-taken", { camber: null, toe: null });
  equal(stepAt(job, "base.readings").state === "done", false, "withdrawn");
});

test("windows need their source", () => {
  const job = new Job().field("window.total-toe", { low: {}, high: {} });
  equal(stepAt(job, "base.windows").state === "done", false);
  job.field("window.source", "  ");
  equal(stepAt(job, "base.windows").state === "done", false);
  job.field("window.source", "Service book, edition 4");
  equal(stepAt(job, "base.windows").state, "done");
  job.field("window.total-toe", null);
  equal(stepAt(job, "base.windows").state === "done", false, "the maker gives none at all");
});

test("a photo step is done by a photo about it", () => {
  const job = new Job().workUntil("fit.left.witness-line").photo("fit.right.witness-line");
  equal(stepAt(job, "fit.left.witness-line").state, "open");
  equal(stepAt(job.photo("fit.left.witness-line"), "fit.left.witness-line").state, "done");
});

test("after a step the next open one comes, also one that is not required", () => {
  const job = new Job().field("vehicle.registration", "AB 123").field("vehicle.description", "Van");
  equal(nextStep(checklist, job.fold, "vehicle.description").slot, "vehicle.vin");
  equal(nextStep(checklist, job.fold).slot, "vehicle.odometer");
  equal(nextStep(checklist, job.fold, "finish.sign").slot, "vehicle.odometer", "nothing open after it");
});

test("an answer that people differ about is open, and hides no step", () => {
  const job = new Job().plan(1, PLANNED, PLANNED).field("vehicle.rear-brake", "drum");
  job.field("vehicle.rear-brake", "disc", { concurrent: true });
  equal(stepAt(job, "vehicle.rear-brake").state, "open");
  equal(stepAt(job, "vehicle.rear-brake").value, null);
  for (const id of ["drum-off", "caliper-hung"]) ok(slotsOf(job).includes(`fit.left.${id}`), id);
});

test("an answer taken back is no answer", () => {
  const job = new Job().field("vehicle.registration", "AB 123").field("vehicle.registration", null);
  equal(stepAt(job, "vehicle.registration").state, "open");
  equal(stepAt(job, "vehicle.registration").value, null);
});

test("a condition of an unknown form is a bug, not a silent yes", () => {
  const broken = { ...checklist, stages: [{ id: "vehicle", steps: [{ id: "vehicle.x", type: "tick", when: [{ field: "vehicle.y" }] }] }] };
  broken.stages[0].steps.push({ id: "vehicle.y", type: "text" });
  throws(() => stepsOf(broken, new Job().fold), /checklist condition/);
});
