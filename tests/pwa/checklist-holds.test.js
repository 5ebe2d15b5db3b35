// Holds lock what follows until they are confirmed or overridden; refusals cannot be passed over.

import { missing, nextStep, refusals, stepsOf } from "/js/domain/job/checklist.js";
import { Job, PLANNED, checklist, stateOfStage, stepAt } from "/tests/checklist-job.js";
import { deepEqual, equal, ok, test } from "/tests/harness.js";

/** Those before the plan: checklist.test.js takes old rings out one hold after the other. */
const HOLDS_OF_THE_VEHICLE = [
  "vehicle.pair-fitted", "vehicle.removal-agreed", "vehicle.removal-chocked", "vehicle.removal-stands", "vehicle.removal-hub-carried",
  "vehicle.pair-removed", "vehicle.removal-pedal",
];

/** Those of a pair that comes out again. */
const HOLDS_OF_LATER_ROUNDS = ["fit.pair-out", "fit.hub-back", "fit.bare-bolts"];

test("old rings, a ring left in and bolts too long each keep the hub open in a later round", () => {
  const job = new Job().workUntil("check.result").add("round.2.plan", "plan-chosen", { plan: { left: null, right: null }, open: ["left"] });
  for (const [hold, locked] of [["pair-out", "faces"], ["hub-back", "bare-bolts"], ["bare-bolts", "bolts-by-hand"]].map((ids) => ids.map((id) => `round.2.fit.left.${id}`))) {
    job.workUntil(hold);
    equal(stepAt(job, locked).lockedBy, hold);
    equal(stepAt(job, hold).canOverride, hold.endsWith("hub-back"), hold); // a second pair on top, or a bolt that bottoms, is no choice
  }
});

test("an unconfirmed hold locks what follows, in its stage and in later ones", () => {
  const job = new Job().workUntil("vehicle.pair-fitted");
  equal(stepAt(job, "vehicle.pair-fitted").state, "open");
  equal(stepAt(job, "base.compensation").state, "locked");
  equal(stepAt(job, "base.compensation").lockedBy, "vehicle.pair-fitted");
  equal(stepAt(job, "base.compensation").lockedFor, "hold");
  equal(stateOfStage(job, "base"), "locked");
  job.field("vehicle.pair-fitted", "none");
  equal(stepAt(job, "base.compensation").state, "open");
});

test("every hold in turn locks the step that matters behind it", () => {
  const behind = {
    "choose.consent": ["consent", "fit.chocked"],
    "prepare.last-look": ["prepare.left.last-look", "prepare.left.opened"],
    "fit.top-marked": ["fit.right.top-marked", "fit.lifted"],
    "fit.chocked": ["fit.chocked", "fit.brake-released"],
    "fit.supported": ["fit.supported", "fit.left.wheel-off"],
    "fit.hub-supported": ["fit.left.hub-supported", "fit.left.hub-bolts"],
    "fit.hub-free": ["fit.left.hub-free", "fit.left.last-bolts"],
    "fit.faces": ["fit.left.faces", "fit.left.rings-in"],
    "fit.pilot": ["fit.left.pilot", "fit.left.rings-in"],
    "fit.edge-whole": ["fit.left.edge-whole", "fit.left.witness-line"],
    "fit.witness-line": ["fit.left.witness-line", "fit.left.bolts-by-hand"],
    "fit.line-bled": ["fit.left.line-bled", "fit.left.wheel-on"],
    "fit.pedal": ["fit.pedal", "fit.lowered"],
    "fit.lowered": ["fit.lowered", "fit.left.wheel-fasteners"],
    "fit.wheel-fasteners": ["fit.right.wheel-fasteners", "fit.chocks-away"],
  };
  const opened = () => new Job().field("vehicle.pilot", "unknown").plan(1, PLANNED, PLANNED)
    .field("fit.left.line", "opened").field("fit.left.touches", "touches").field("prepare.left.clearances", "tight");
  for (const [hold, locked] of Object.values(behind)) {
    const job = opened().workUntil(hold);
    equal(stepAt(job, hold).state, "open", hold);
    equal(stepAt(job, locked).lockedBy, hold, locked);
    ok(stepAt(job.confirm(stepAt(job, hold)), locked).lockedBy !== hold, `${locked} is freed`);
  }
  const known = [...Object.keys(behind), ...HOLDS_OF_THE_VEHICLE, ...HOLDS_OF_LATER_ROUNDS].sort();
  deepEqual(checklist.stages.flatMap(({ steps }) => steps).filter(({ hold }) => hold).map(({ id }) => id).sort(), known);
});

test("a hold at one wheel leaves the other wheel open and keeps the vehicle's steps waiting", () => {
  const job = new Job().workUntil("fit.left.hub-supported");
  equal(stepAt(job, "fit.left.hub-bolts").state, "locked");
  equal(stepAt(job, "fit.right.wheel-off").state, "open");
  equal(stepAt(job, "fit.pedal").lockedBy, "fit.left.hub-supported");
});

test("an override with its reason opens what follows and stays visible", () => {
  const job = new Job().workUntil("fit.supported");
  equal(stepAt(job, "fit.supported").canOverride, true);
  job.add("fit.supported", "hold-overridden", { reason: "pit, vehicle on its wheels" });
  equal(stepAt(job, "fit.supported").state, "overridden");
  equal(stepAt(job, "fit.left.wheel-off").state, "open");
  job.add("fit.supported", "step-undone");
  equal(stepAt(job, "fit.left.wheel-off").lockedBy, "fit.supported");
});

test("taking a hold back says so at the steps that were done behind it", () => {
  const job = new Job().workUntil("fit.left.hub-bolts").add("fit.chocked", "step-undone");
  equal(stepAt(job, "fit.supported").state, "done");
  equal(stepAt(job, "fit.supported").lockedBy, "fit.chocked");
  equal(nextStep(checklist, job.fold).slot, "fit.chocked");
});

test("two people who differ about a hold have not confirmed it", () => {
  const job = new Job().workUntil("fit.chocked");
  job.add("fit.chocked", "step-done", { hold: true }, { concurrent: true }).add("fit.chocked", "step-undone", {}, { concurrent: true });
  equal(stepAt(job, "fit.chocked").state, "open");
  equal(stepAt(job, "fit.chocked").conflict, true);
  equal(stepAt(job, "fit.brake-released").state, "locked");
});

test("an override counts beside a confirmation, and not beside somebody who takes it back", () => {
  const apart = { concurrent: true };
  const job = new Job().workUntil("fit.chocked").add("fit.chocked", "hold-overridden", { reason: "on level rails" }, apart);
  job.add("fit.chocked", "step-done", { hold: true }, apart);
  equal(stepAt(job, "fit.chocked").state, "overridden");
  equal(stepAt(job.add("fit.chocked", "step-undone", {}, apart), "fit.chocked").state, "open");
});

test("the same confirmed twice on two phones is confirmed", () => {
  const job = new Job().workUntil("fit.chocked");
  for (const how of [{ concurrent: true }, { concurrent: true }]) job.add("fit.chocked", "step-done", { hold: true }, how);
  equal(stepAt(job, "fit.chocked").state, "done");
});

test("the chocks stay until the fasteners of both wheels are at their torque, and nobody goes past that", () => {
  const job = new Job().workUntil("fit.left.wheel-fasteners");
  equal(stepAt(job, "fit.left.wheel-fasteners").canOverride, false);
  job.confirm(stepAt(job, "fit.left.wheel-fasteners"));
  deepEqual([stepAt(job, "fit.chocks-away").state, stepAt(job, "fit.chocks-away").lockedBy], ["locked", "fit.right.wheel-fasteners"]);
  job.confirm(stepAt(job, "fit.right.wheel-fasteners"));
  equal(stepAt(job, "fit.chocks-away").state, "open");
});

test("a ring cracked at one wheel keeps that wheel; the other goes on once the vehicle is supported, and nothing is lowered", () => {
  const job = new Job().workUntil("fit.left.wheel-off").field("prepare.left.whole", "cracked");
  equal(stepAt(job, "fit.left.wheel-off").lockedFor, "refusal");
  equal(stepAt(job, "fit.right.wheel-off").state, "open");
  job.workUntil("prepare.left.whole");
  equal(stepAt(job, "fit.right.wheel-on").state, "done");
  deepEqual(["fit.pedal", "fit.lowered"].map((slot) => stepAt(job, slot).lockedBy), ["prepare.left.whole", "prepare.left.whole"]);
});

test("a ring cracked before the vehicle is supported keeps it from being lifted at all", () => {
  const job = new Job().workUntil("fit.torque").field("prepare.left.whole", "cracked");
  equal(stepAt(job, "fit.chocked").lockedBy, "prepare.left.whole");
  equal(stepAt(job, "fit.right.wheel-off").state, "locked");
});

test("a refusal stops the later stages and cannot be overridden", () => {
  const job = new Job().workUntil("vehicle.mounting").field("vehicle.mounting", "one-piece");
  deepEqual(refusals(checklist, job.fold), [
    { code: "stub-one-piece", slot: "vehicle.mounting", id: "vehicle.mounting", wheel: null, gate: true }]);
  equal(stepAt(job, "vehicle.mounting").state, "refused");
  equal(stepAt(job, "vehicle.mounting").canOverride, false);
  equal(stepAt(job, "vehicle.sensor").state, "open", "the other questions can still be answered");
  job.workUntil("vehicle.can-rings-go-in").field("vehicle.pair-fitted", "none");
  equal(stepAt(job, "base.readings").lockedBy, "vehicle.mounting");
  equal(stepAt(job, "base.readings").lockedFor, "refusal");
  equal(stateOfStage(job, "vehicle"), "refused");
  equal(stateOfStage(job, "base"), "locked");
  equal(stepAt(job, "vehicle.can-rings-go-in").state, "open");
  equal(stepAt(job, "finish.stop").state, "open", "stopping is always possible");
  job.field("vehicle.mounting", "bolt-on-unit");
  equal(stepAt(job, "vehicle.can-rings-go-in").state, "done");
  equal(stepAt(job, "base.readings").state, "open");
});

test("a refusing hold stops its own stage too: no rings on a pitted face", () => {
  const job = new Job().workUntil("fit.left.faces").field("fit.left.faces", "pitted");
  equal(stepAt(job, "fit.left.faces").state, "refused");
  equal(stepAt(job, "fit.left.faces").canOverride, false);
  equal(stepAt(job, "fit.left.rings-in").lockedFor, "refusal");
  equal(stepAt(job, "fit.right.wheel-off").state, "open");
  equal(stepAt(job, "check.readings").lockedBy, "fit.left.faces");
});

test("a refusal counts even while another person says otherwise", () => {
  const job = new Job().field("vehicle.pilot", "binds").field("vehicle.pilot", "centred", { concurrent: true });
  deepEqual(refusals(checklist, job.fold).map(({ code }) => code), ["pilot-binds"]);
});

test("no refusing answer of the data lets the next stage begin", () => {
  const order = checklist.stages.map(({ id }) => id);
  for (const stage of checklist.stages) for (const step of stage.steps) {
    for (const { id, refuse } of checklist.option_sets[step.options] ?? []) {
      if (!refuse) continue;
      const job = new Job().plan(1, PLANNED, PLANNED);
      for (const { field, is } of step.when ?? []) if (is) job.field(field.replace("fit.", "fit.left."), is[0]);
      job.field(step.per ? step.id.replace(".", ".left.") : step.id, id);
      deepEqual(refusals(checklist, job.fold).map(({ code }) => code), [refuse], `${step.id} ${id}`);
      const later = stepsOf(checklist, job.fold).filter((other) => order.indexOf(other.stage) > order.indexOf(stage.id) && !other.always);
      ok(later.length > 0 && later.every(({ state, lockedBy }) => lockedBy !== null && state !== "open"), `${step.id} ${id}`);
    }
  }
});

test("with nothing else to do the refused step is next: it is changed, or the job is stopped", () => {
  const job = new Job().field("vehicle.bearings", "faulty").workUntil("vehicle.bearings");
  equal(nextStep(checklist, job.fold).slot, "vehicle.bearings");
  equal(missing(checklist, job.fold).some(({ slot }) => slot === "vehicle.bearings"), true);
});

/** Steps of the left wheel that stand in the way of lowering the vehicle, or of the chocks. */
const leftToClose = (job) => missing(checklist, job.fold).filter(({ stage, wheel }) => stage === "fit" && wheel === "left").map(({ id }) => id);

test("a wheel that is open is closed again, also where the plan was changed and works there no more", () => {
  const job = new Job().plan(1, PLANNED, PLANNED).workUntil("fit.left.faces").plan(1, null, PLANNED);
  deepEqual(leftToClose(job), [
    "hub-back", "bare-bolts", "bolts-by-hand", "flush", "tightened", "routed", "drum-turns", "wheel-on", "wheel-fasteners",
  ].map((id) => `fit.${id}`));
  job.workUntil("fit.left.hub-back");
  equal(stepAt(job, "fit.lowered").lockedBy, "fit.left.hub-back");
  equal(nextStep(checklist, job.workUntil("check.compensation").fold).stage === "fit", false);
  deepEqual(leftToClose(job), []);
});

test("a wheel that is off, its hub closed, is only put on again", () => {
  const job = new Job().plan(1, PLANNED, PLANNED).workUntil("fit.left.drum-off").plan(1, null, null);
  deepEqual(leftToClose(job), ["fit.wheel-on", "fit.wheel-fasteners"]);
  equal(stepAt(job, "fit.lowered").state === "done", false);
});

test("a wheel that nobody touched is left alone by a plan that leaves it out", () => {
  const job = new Job().plan(1, PLANNED, PLANNED).workUntil("fit.heads-off").plan(1, null, PLANNED);
  deepEqual(leftToClose(job), []);
});

test("in a later round a hub that is open closes over the pair that stays, or bare where that pair is out", () => {
  const begun = () => new Job().workUntil("check.result").add("round.2.plan", "plan-chosen", { plan: { left: null, right: null }, open: ["left"] });
  const changed = (job) => job.add("round.2.plan", "plan-chosen", { plan: { left: null, right: PLANNED }, open: ["right"] });
  const stays = leftToClose(changed(begun().workUntil("round.2.fit.left.pair-out")));
  ok(stays.includes("fit.tightened") && stays.includes("fit.wheel-fasteners"));
  ok(!stays.includes("fit.hub-back"), "the pair of round 1 sits there");
  const out = leftToClose(changed(begun().workUntil("round.2.fit.left.faces")));
  ok(out.includes("fit.hub-back") && out.includes("fit.bare-bolts"));
});

test("what was confirmed of a pair does not hold for another", () => {
  const job = new Job().plan(1, PLANNED, PLANNED).workUntil("fit.left.position-seen");
  const plan = job.fold.slots["round.1.plan"][0].id;
  for (const id of ["prepare.left.marks-meet", "prepare.left.last-look", "prepare.right.marks-meet", "fit.left.rings-in", "fit.left.hub-bolts"]) {
    job.add(id, "step-done", { hold: false, plan });
  }
  job.plan(1, { ...PLANNED, pair: [20, 44] }, PLANNED);
  const states = (...slots) => slots.map((slot) => stepAt(job, slot).state);
  ok(!states("prepare.left.marks-meet", "prepare.left.last-look", "fit.left.rings-in").includes("done"));
  deepEqual(states("prepare.right.marks-meet", "fit.left.hub-bolts"), ["done", "done"]);
  job.plan(1, PLANNED, PLANNED);
  deepEqual(states("prepare.left.marks-meet", "fit.left.rings-in"), ["done", "done"], "the same pair again");
});
