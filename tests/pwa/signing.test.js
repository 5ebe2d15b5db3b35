// Nobody signs "complete and true" past a hold that can kill; what else is open is listed in full.

import { signing } from "/js/domain/job/signing.js";
import { PLANNED, SheetsJob } from "/tests/sheets-job.js";
import { deepEqual, equal, ok, test } from "/tests/harness.js";

test("a job that is done may be signed, with nothing left open", () => {
  const job = new SheetsJob().workUntil("finish.sign");
  const { may, refusals, open } = signing(job);
  deepEqual([may, refusals.length, open.length], [true, 0, 0]);
});

test("each unpassable hold that is taken back refuses the signature by name", () => {
  const job = new SheetsJob().set("vehicle.axle-nut", "yes").set("vehicle.rear-brake", "disc")
    .set("vehicle.high-voltage", "yes").plan(1, PLANNED, PLANNED)
    .set("fit.left.line", "opened").workUntil("finish.sign");
  const holds = job.rows.filter(({ hold, passable }) => hold && !passable);
  ok(holds.length >= 22, `${holds.length} holds`);
  for (const { slot } of holds) {
    job.undo(slot);
    const { may, refusals } = signing(job);
    equal(may, false, slot);
    ok(refusals.some(({ code, row }) => code === "hold-open" && row.slot === slot), slot);
    job.confirm(job.at(slot));
    if (slot === "fit.supported")
      for (const down of job.rows.filter(({ sheetId, state }) => sheetId === "down" && state !== "done"))
      job.confirm(down);
  }
  equal(signing(job).may, true);
});

test("going past an unpassable hold with an entry of its own frees nothing", () => {
  const job = new SheetsJob().workUntil("fit.left.tightened").add("fit.left.tightened", "hold-overridden",
    { reason: "looked tight to me" });
  equal(job.at("fit.left.tightened").state, "open");
  equal(job.at("fit.left.wheel-on").lockedBy, "fit.left.tightened");
  equal(signing(job).may, false);
});

test("all else that is open is listed, in working order and whole", () => {
  const job = new SheetsJob().workUntil("finish.sign");
  const given = ["vehicle.odometer", "fit.left.flush-again", "fit.right.turns-free", "check.settled", "finish.lamps"];
  for (const slot of given) job.add(slot, job.at(slot).type === "number" ? "field-set" : "step-undone",
    { value: null });
  const { may, open } = signing(job);
  ok(given.every((slot) => open.some((row) => row.slot === slot)), open.map(({ slot }) => slot).join());
  deepEqual(open.map(({ order }) => order), open.map(({ order }) => order).sort((a, b) => a - b));
  equal(may, false, "the vehicle was lowered, and rows at its wheels are open: it is supported anew first");
});

test("an answer that stops the job refuses the signature, until the job ends here for it", () => {
  const job = new SheetsJob().workUntil("vehicle.mounting").set("vehicle.mounting", "one-piece");
  ok(signing(job).refusals.some(({ code, row }) => code === "refused" && row.slot === "vehicle.mounting"));
  job.set("finish.ending", "stub-one-piece");
  deepEqual(signing(job).refusals, []);
});

const holdsOpen = (job) => signing(job).refusals.filter(({ code }) => code === "hold-open").map(({ row }) => row.slot);

test("a plan of another phone, or a plan taken back, takes no hold from a wheel that is off, and nobody signs", () => {
  const atHub = () => new SheetsJob().workUntil("fit.left.faces");
  const other = { ...PLANNED, pair: [20, 44] };
  for (const job of [atHub().plan(1, other, PLANNED, {}, { concurrent: true }), atHub().undo("round.1.plan")]) {
    for (const slot of ["round.1.plan", "fit.left.bare-bolts", "fit.left.tightened", "fit.pedal", "fit.lowered",
        "fit.left.wheel-fasteners", "fit.right.wheel-fasteners"]) {
      ok(holdsOpen(job).includes(slot), `${slot}: ${holdsOpen(job).join()}`);
    }
    job.plan(1, PLANNED, PLANNED);
    ok(!holdsOpen(job).includes("round.1.plan") && job.at("fit.left.read-back").state === "locked",
      "one plan again, and it goes on by it");
  }
});

test("without a single plan nobody signs, were all else done; a vehicle that nobody raised needs none", () => {
  const done = new SheetsJob().workUntil("finish.sign").undo("round.1.plan");
  ok(holdsOpen(done).includes("round.1.plan"), holdsOpen(done).join());
  deepEqual(holdsOpen(new SheetsJob().workUntil("fit.chocked").undo("round.1.plan"))
    .filter((slot) => slot.startsWith("round.")), []);
});

const torque = (nm) => ({ value_nm: nm, text: String(nm), unit: "nm", source: "Service book", angle_deg: null });

test("a hub that stays closed in a second round counts by the torque as it is known now", () => {
  const job = new SheetsJob().workUntil("finish.front").plan(2, { ...PLANNED, pair: [13, 32] }, null,
    { open: ["left"] });
  job.set("fit.torque", torque(90)).workUntil("finish.sign");
  deepEqual(holdsOpen(job).filter((slot) => slot.includes("tightened")), ["fit.right.tightened"],
    "the left one was opened since");
  equal(signing(job.set("fit.torque", torque(60))).refusals.some(({ row }) => row.slot === "fit.right.tightened"),
    false, "as it was tightened");
});

test("what an earlier round left open is not forgotten by beginning another, nor by taking that back", () => {
  const begun = (slot) => new SheetsJob().set("fit.left.line", "opened").workUntil("finish.front").undo(slot)
    .plan(2, PLANNED, null, { open: ["left"] });
  for (const slot of ["fit.right.bolt-length", "fit.left.line-bled", "fit.right.tightened"])
    ok(holdsOpen(begun(slot).undo("round.2.plan")).includes(slot), slot);
  ok(holdsOpen(begun("fit.right.wheel-fasteners")).includes("fit.right.wheel-fasteners"));
  ok(holdsOpen(begun("fit.left.line-bled").workUntil("finish.sign")).includes("fit.left.line-bled"),
    "nobody bled it in round 2 either");
  const closedAgain = begun("fit.left.tightened").workUntil("finish.sign");
  deepEqual(holdsOpen(closedAgain), [], "what is opened again is asked there");
  const givenUp = begun("fit.left.tightened").workUntil("round.2.fit.left.line").plan(2, null, null, { open: [] });
  ok(holdsOpen(givenUp).includes("fit.left.tightened"), "its wheel came off once more, its hub did not");
});
