// An old and a new phone on one job the same day: what a new row stands for is answered for the old one's holds, and
// the other way round.

import { missing, stepsOf } from "/tests/released/checklist.js";
import { PLANNED, SheetsJob } from "/tests/sheets-job.js";
import { deepEqual, equal, fixture, ok, test } from "/tests/harness.js";

const old = await fixture("demo/checklist.json");
const oldStep = (job, slot) => stepsOf(old, job.fold).find((step) => step.slot === slot);

/** A new phone: every answer is followed by what an older one waits for. */
class BothPhones extends SheetsJob {
  confirm(row) {
    super.confirm(row);
    return this.also(row);
  }

  also(row) {
    for (const { slot, kind, body } of this.alsoDue(row)) this.add(slot, kind, body);
    return this;
  }
}

test("a job done on the sheets holds up no older phone: every hold of its checklist is answered", () => {
  const job = new BothPhones().set("vehicle.pilot", "unknown").set("vehicle.rear-brake", "disc")
    .set("vehicle.parking-brake", "electric").set("vehicle.suspension", "air")
    .plan(1, PLANNED, PLANNED).set("fit.left.line", "opened").workUntil("finish.sign");
  deepEqual(missing(old, job.fold).map(({ slot }) => slot),
    ["prepare.left.trial-fit", "prepare.right.trial-fit", "fit.brake-released"]);
  const holds = stepsOf(old, job.fold).filter(({ hold, state }) => hold && state !== "done");
  deepEqual(holds.map(({ slot }) => slot), []);
});

test("at each step on the way the older phone is locked by nothing that the new one has behind it", () => {
  const job = new BothPhones().workUntil("fit.left.flush-again");
  for (const slot of ["fit.lifted", "fit.left.hub-bolts", "fit.left.last-bolts", "fit.left.flush",
    "fit.left.position-seen", "prepare.left.marked-faces", "fit.left.tightened"])
    equal(oldStep(job, slot).state, "done", slot);
  equal(oldStep(job, "fit.left.routed").state, "open");
});

test("what is taken back, or comes to refuse, is taken back for the older phone too", () => {
  const job = new BothPhones().workUntil("fit.left.faces");
  job.set("fit.left.hub-free", "seized").also(job.at("fit.left.hub-free"));
  ok(oldStep(job, "fit.left.last-bolts").state !== "done");
  job.set("fit.left.hub-free", "eased").also(job.at("fit.left.hub-free"));
  equal(oldStep(job, "fit.left.last-bolts").state, "done");
  job.undo("fit.supported").also(job.row("fit.supported"));
  ok(oldStep(job, "fit.lifted").state !== "done");
  deepEqual(job.alsoDue(job.row("fit.supported")), [], "once is enough");
});

test("two rows that share one older step tick it when both are done", () => {
  const job = new BothPhones().set("vehicle.parking-brake", "electric").set("vehicle.suspension", "air")
    .workUntil("fit.suspension-mode");
  ok(oldStep(job, "fit.service-mode").state !== "done");
  job.confirm(job.at("fit.suspension-mode"));
  equal(oldStep(job, "fit.service-mode").state, "done");
});

test("an answer that warns ticks nothing: a road test that nobody drove is not done", () => {
  const job = new BothPhones().workUntil("finish.road-test-result");
  job.set("finish.road-test-result", "not-driven").also(job.at("finish.road-test-result"));
  ok(oldStep(job, "finish.road-test").state !== "done");
  job.set("finish.road-test-result", "good").also(job.at("finish.road-test-result"));
  equal(oldStep(job, "finish.road-test").state, "done");
});

test("a job begun before the sheets goes on: its ticks count, and no closed wheel is opened for a question", () => {
  const job = new SheetsJob(null, 1);
  const ids = ["vehicle.inspection-supported", "fit.left.read-back", "fit.left.bolt-length", "fit.left.flush-again",
    "torque.wheel", "fit.parking-mode", "fit.plates-pinned"];
  job.set("vehicle.parking-brake", "electric").plan(1, PLANNED, PLANNED);
  ok(job.has("fit.left.read-back") && job.has("fit.plates-pinned"), "not yet lifted: everything is asked");
  ok(!job.has("vehicle.inspection-supported"), "what was looked at before the plan was looked at");
  equal(job.tick("fit.chocked").tick("fit.service-mode").at("fit.parking-mode").state, "done",
    "ticked by its older name");
  for (const slot of ["fit.lifted", "fit.supported", "fit.left.wheel-off", "fit.left.hub-supported",
    "fit.left.hub-bolts"]) job.tick(slot);
  ok(job.has("fit.left.read-back"), "the hub is still open: the marks are read back");
  for (const slot of ["fit.left.tightened", "fit.left.wheel-on"]) job.tick(slot);
  for (const slot of ids) ok(!job.has(slot), slot);
  ok(job.has("fit.right.read-back"), "the other wheel is open");
  equal(job.at("fit.left.tightened").state, "done");
});

test("what an older program let somebody go past stays gone past in a job that it began", () => {
  const passed = (begunWith) => new SheetsJob(null, begunWith).plan(1, PLANNED, PLANNED)
    .add("fit.supported", "hold-overridden", { reason: "pit, vehicle on its wheels" });
  equal(passed(1).at("fit.supported").state, "overridden");
  ok(passed(2).at("fit.supported").state !== "overridden");
});
