// The checklist's states: holds lock what follows, refusals cannot be passed over, wheels without rings have no steps.

import { currentRound, missing, nextStep, refusals, stageStates, stepsOf, warnings, wheelsWithRings } from "/js/domain/checklist.js";
import { fold } from "/js/domain/fold.js";
import { deepEqual, equal, ok, test, throws } from "/tests/harness.js";

const checklist = await (await fetch("/checklist.json")).json();
const PLANNED = { ring_set: "demo-54", pair: [12, 31], effect: [640, -320] };
const READING = { camber: { mdeg: -1640 }, toe: { mdeg: 420 } };

/** A job as a list of entries; each call adds one that supersedes what is live in its slot, as the phone writes it. */
class Job {
  #entries = [];

  get fold() {
    return fold(this.#entries);
  }

  add(slot, kind, body = {}, { concurrent = false } = {}) {
    const id = `e${String(this.#entries.length).padStart(4, "0")}`;
    const live = concurrent ? [] : this.fold.slots[slot] ?? [];
    this.#entries.push({ id, slot: slot ?? id, kind, body, after: live.map((entry) => entry.id) });
    return this;
  }

  field(slot, value, how) {
    return this.add(slot, "field-set", { value }, how);
  }

  plan(round, left, right, how) {
    return this.add(`round.${round}.plan`, "plan-chosen", { plan: { left, right } }, how);
  }

  photo(about) {
    return this.add(null, "photo-attached", { about });
  }

  read(prefix) {
    return this.add(`${prefix}.left.1`, "reading-taken", READING).add(`${prefix}.right.1`, "reading-taken", READING);
  }

  /** Does a step in the plainest way that its type knows. */
  confirm(step) {
    const { slot, type, panel } = step;
    if (type === "tick") return this.add(slot, "step-done", { hold: step.hold });
    if (type === "choice") return this.field(slot, plainOption(step));
    if (type === "text") return this.field(slot, "as asked");
    if (type === "number") return this.field(slot, { text: "62,1", number: 62.1, unit: step.units[0] });
    if (type === "photo") return this.photo(slot);
    return PANELS[panel](this, step);
  }

  /** Does step after step, as nextStep leads, until the step `until` is next (or nothing is). */
  workUntil(until = null) {
    for (let count = 0; count < 300; count += 1) {
      const step = nextStep(checklist, this.fold);
      if (step === null || step.slot === until) return this;
      this.confirm(step);
    }
    throw new Error("nextStep never came to an end");
  }
}

const PANELS = {
  readings: (job) => job.read("base"),
  windows: (job) => job.field("window.left.toe", { low: {}, high: {} }).field("window.source", "Service book, edition 4"),
  plan: (job) => job.plan(1, PLANNED, PLANNED),
  consent: (job) => job.add("consent", "consent-recorded", { customer: "A. Person" }),
  "single-use-list": (job, { slot, items }) => job.field(slot, Object.fromEntries(items.map((item) => [item, "at-hand"]))),
  torque: (job, { slot }) => job.field(slot, { value_nm: 60, source: "Service book" }),
  "check-readings": (job) => job.read(`round.${currentRound(job.fold)}.check`),
  sign: (job) => job.add(null, "job-signed", { covers: [] }),
};

/** The answer after which the job goes on without warning or further question. */
function plainOption({ options }) {
  return options.find(({ refuse, warn }) => !refuse && !warn).id;
}

function stepAt(job, slot) {
  const found = stepsOf(checklist, job.fold).find((step) => step.slot === slot);
  if (!found) throw new Error(`expected a step at ${slot}`);
  return found;
}

function slotsOf(job) {
  return stepsOf(checklist, job.fold).map(({ slot }) => slot);
}

function stateOfStage(job, id) {
  return stageStates(checklist, job.fold).find((stage) => stage.id === id).state;
}

test("following nextStep leads through the whole job to the signature", () => {
  const job = new Job().workUntil();
  deepEqual(stageStates(checklist, job.fold).map(({ state }) => state), Array(7).fill("done"));
  deepEqual(missing(checklist, job.fold), []);
  equal(job.fold.state, "signed");
});

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

test("mark numbers and ring set of the wheel's pair go with the step", () => {
  const job = new Job().plan(1, PLANNED, { ...PLANNED, pair: [3, 4] });
  deepEqual(stepAt(job, "prepare.left.marks-meet").params, { inner: 12, outer: 31, ringSet: "demo-54" });
  deepEqual(stepAt(job, "prepare.right.marks-meet").params, { inner: 3, outer: 4, ringSet: "demo-54" });
  deepEqual(stepAt(job, "fit.chocked").params, {});
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

test("an old pair must be out before the base readings", () => {
  const job = new Job().workUntil("vehicle.pair-fitted").field("vehicle.pair-fitted", "right");
  equal(stepAt(job, "base.readings").lockedBy, "vehicle.pair-removed");
  job.add("vehicle.pair-removed", "step-done", { hold: true });
  equal(stepAt(job, "base.readings").state, "open");
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
    "fit.witness-line": ["fit.left.witness-line", "fit.left.bolts-by-hand"],
    "fit.line-bled": ["fit.left.line-bled", "fit.left.wheel-on"],
    "fit.pedal": ["fit.pedal", "fit.left.wheel-fasteners"],
  };
  const opened = () => new Job().plan(1, PLANNED, PLANNED).field("fit.left.line", "opened").field("prepare.left.clearances", "tight");
  for (const [hold, locked] of Object.values(behind)) {
    const job = opened().workUntil(hold);
    equal(stepAt(job, hold).state, "open", hold);
    equal(stepAt(job, locked).lockedBy, hold, locked);
    ok(stepAt(job.confirm(stepAt(job, hold)), locked).lockedBy !== hold, `${locked} is freed`);
  }
  const known = [...Object.keys(behind), "vehicle.pair-fitted", "vehicle.pair-removed"].sort();
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

test("the same confirmed twice on two phones is confirmed", () => {
  const job = new Job().workUntil("fit.chocked");
  for (const how of [{ concurrent: true }, { concurrent: true }]) job.add("fit.chocked", "step-done", { hold: true }, how);
  equal(stepAt(job, "fit.chocked").state, "done");
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
  for (const stage of checklist.stages) for (const step of stage.steps) {
    for (const { id, refuse } of checklist.option_sets[step.options] ?? []) {
      if (!refuse) continue;
      const job = new Job().plan(1, PLANNED, PLANNED);
      for (const { field, is } of step.when ?? []) if (is) job.field(field.replace("fit.", "fit.left."), is[0]);
      job.field(step.per ? step.id.replace(".", ".left.") : step.id, id);
      deepEqual(refusals(checklist, job.fold).map(({ code }) => code), [refuse], `${step.id} ${id}`);
      const later = stepsOf(checklist, job.fold).filter((other) => other.stage !== stage.id && !other.always);
      const following = later.slice(later.findIndex((other) => checklist.stages.findIndex(({ id: at }) => at === other.stage) > checklist.stages.indexOf(stage)));
      ok(following.length > 0 && following.every(({ state, lockedBy }) => lockedBy !== null && state !== "open"), `${step.id} ${id}`);
    }
  }
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

test("with nothing else to do the refused step is next: it is changed, or the job is stopped", () => {
  const job = new Job().field("vehicle.bearings", "faulty").workUntil("vehicle.bearings");
  equal(nextStep(checklist, job.fold).slot, "vehicle.bearings");
  equal(missing(checklist, job.fold).some(({ slot }) => slot === "vehicle.bearings"), true);
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
