// A vehicle off the ground: chocked and supported before anything at its wheels, anew whenever it was lowered, and
// lowered with nothing open.

import { signing } from "/js/domain/job/signing.js";
import { PLANNED, SheetsJob } from "/tests/sheets-job.js";
import { deepEqual, equal, ok, test } from "/tests/harness.js";

const states = (job, ...slots) => slots.map((slot) => job.at(slot).state);
const down = (job) => job.rows.filter(({ sheetId }) => sheetId === "down");

test("before every row under the car or at a raised wheel stands a hold that nobody may go past", () => {
  const job = new SheetsJob().plan(1, PLANNED, PLANNED);
  const support = { condition: "vehicle.inspection-supported", possible: "vehicle.under-supported",
    wheel: "fit.supported" };
  for (const [slot, behind] of [["vehicle.inspection-supported", ["vehicle.bearings", "vehicle.structure"]],
    ["vehicle.under-supported", ["vehicle.pair-fitted", "vehicle.mounting", "vehicle.arch-gap"]],
    ["fit.supported", job.sheet("wheel.left").rows.map((row) => row.slot)]]) {
    ok(Object.values(support).includes(slot) && job.at(slot).hold && !job.at(slot).passable, slot);
    for (const each of behind) ok(job.at(each).order > job.at(slot).order && job.at(each).lockedBy !== null, each);
  }
});

test("nobody lowers a vehicle with something open at a wheel", () => {
  const job = new SheetsJob().workUntil("fit.lowered").undo("fit.left.turns-free");
  deepEqual([job.at("fit.lowered").state, job.at("fit.lowered").lockedFor, job.at("fit.lowered").lockedBy],
    ["locked", "open", "fit.left.turns-free"]);
  job.confirm(job.at("fit.left.turns-free"));
  equal(job.at("fit.lowered").state, "open");
});

test("a vehicle that was lowered is chocked and supported anew before anything at its wheels is done again", () => {
  const job = new SheetsJob().workUntil("check.compensation");
  job.undo("fit.left.tightened");
  deepEqual(states(job, "fit.chocked", "fit.supported", "fit.left.tightened"), ["open", "locked", "locked"]);
  equal(job.nextOpen().slot, "fit.chocked");
  ok(!signing(job).may);
  job.confirm(job.at("fit.chocked"));
  deepEqual(states(job, "fit.supported", "fit.left.tightened"), ["open", "locked"]);
  job.confirm(job.at("fit.supported"));
  deepEqual(states(job, "fit.left.tightened", "fit.lowered"), ["open", "locked"]);
  ok(down(job).every(({ state }) => state !== "done"), "what was said on the way down was said of the first lifting");
  job.workUntil("check.compensation");
  ok(down(job).every(({ state }) => state === "done"));
  deepEqual(states(job, "fit.chocked", "fit.supported"), ["done", "done"]);
});

test("it is asked anew each time", () => {
  const job = new SheetsJob().workUntil("check.compensation");
  for (let turn = 0; turn < 3; turn += 1) {
    equal(job.undo("fit.right.wheel-on").at("fit.chocked").state, "open", `turn ${turn}`);
    job.workUntil("check.compensation");
  }
});

test("a plan changed after the vehicle was lowered puts it back on its stands", () => {
  const job = new SheetsJob().workUntil("check.compensation").plan(1, { ...PLANNED, pair: [20, 44] }, PLANNED);
  deepEqual(states(job, "fit.chocked", "fit.supported"), ["locked", "locked"]);
  equal(job.at("fit.left.wheel-off").state, "locked");
  equal(job.row("fit.chocked").entry.kind, "step-done", "the tick of the first lifting stands in the record");
});

test("what an older phone ticked on the way down counts, though it names no support", () => {
  const job = new SheetsJob().workUntil("fit.pedal");
  for (const { slot, type } of down(job)) if (type === "tick") job.tick(slot);
  ok(down(job).every(({ state }) => state === "done"));
});
