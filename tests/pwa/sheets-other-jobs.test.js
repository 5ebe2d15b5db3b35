// Jobs that are not plain: old rings found, ended without rings, one wheel, a second round. Each is walked as a whole.

import { asFoundBack, withoutOldRings } from "/js/domain/job/as-found.js";
import { mayBoltBeOut } from "/js/domain/job/round-work.js";
import { Answers } from "/js/ui/sheets/save-answers.js";
import { signing } from "/js/domain/job/signing.js";
import { PLANNED, READING, SheetsJob } from "/tests/sheets-job.js";
import { deepEqual, equal, near, ok, test } from "/tests/harness.js";

const keys = (job) => job.sheets.map(({ key }) => key);
const ids = (job, sheet) => job.sheet(sheet).rows.map(({ id }) => id);

/** As the phone does it: what hangs on an answer is written with it. */
class PhoneJob extends SheetsJob {
  confirm(row) {
    return super.confirm(row).due(row);
  }

  answer(slot, value) {
    return this.set(slot, value).due({ slot });
  }

  due(row) {
    for (const { slot, kind, body } of this.alsoDue(this.row(row.slot) ?? row)) this.add(slot, kind, body);
    return this;
  }
}

const withOldRings = (sides = "both") => new PhoneJob().workUntil("vehicle.pair-fitted")
  .answer("vehicle.pair-fitted", sides);

test("old rings found: taken out on sheets of their own, from parts to wheel fasteners, then read and planned", () => {
  const job = withOldRings();
  deepEqual(keys(job).slice(0, 9), ["vehicle", "condition", "readings", "possible", "round.0.plan", "round.0.lift",
    "round.0.wheel.left", "round.0.wheel.right", "round.0.down"]);
  deepEqual(ids(job, "round.0.plan").filter((id) => !id.startsWith("torque.")),
    ["choose.single-use", "choose.parts-lot", "fit.torque", "fit.wrench"], "no plan, no consent to one");
  const wheel = ids(job, "round.0.wheel.left");
  for (const id of ["fit.hub-supported", "fit.old-marks-photo", "fit.between-faces", "fit.pair-out", "fit.faces",
    "fit.hub-back", "fit.bare-bolts", "fit.tightened", "fit.wheel-on"]) ok(wheel.includes(id), id);
  for (const id of ["fit.rings-in", "fit.read-back", "fit.bolt-length", "fit.witness-line", "fit.trial-fit"])
    ok(!wheel.includes(id), id);
  equal(job.at("round.1.plan").state, "locked", "no plan over old rings");
  job.workUntil("base.readings");
  ok(["base.compensation", "base.settled"].every((slot) => job.at(slot).state === "done"),
    "compensated and settled anew");
  deepEqual(keys(job).slice(3, 10), ["round.0.plan", "round.0.lift", "round.0.wheel.left", "round.0.wheel.right",
    "round.0.down", "readings", "plan"], "and read when it stands on its wheels");
  deepEqual([job.readings("found").left.camber, job.readings("base").left.camber], [READING.camber.mdeg, null]);
  job.workUntil();
  equal(job.fold.state, "signed");
  deepEqual(job.openRows(), []);
});

test("every hold stands in the way of taking old rings out as of putting new ones in", () => {
  const job = withOldRings();
  const order = ["vehicle.removal-agreed", "round.0.fit.chocked", "round.0.fit.supported",
    "round.0.fit.left.hub-supported", "round.0.fit.left.pair-out", "round.0.fit.left.bare-bolts",
    "round.0.fit.left.tightened", "round.0.fit.pedal", "round.0.fit.lowered", "round.0.fit.right.wheel-fasteners"];
  for (const slot of order) {
    job.workUntil(slot);
    equal(job.at("round.1.plan").lockedBy !== null, true, slot);
    const wheel = job.at(slot).wheel;
    ok(job.rows.filter((row) => row.order > job.at(slot).order
      && (wheel === null || row.wheel === null || row.wheel === wheel)).every(({ lockedBy }) => lockedBy !== null),
      slot);
  }
});

test("old rings are read before anybody agrees to take them out", () => {
  const job = new PhoneJob().workUntil("base.readings").set("vehicle.under-supported", null)
    .tick("vehicle.under-supported").set("vehicle.pair-fitted", "left");
  job.set("vehicle.pair-marks", { left: { inner: 3, outer: 9 } });
  deepEqual([job.at("vehicle.removal-agreed").state, job.at("vehicle.removal-agreed").lockedFor,
    job.at("vehicle.removal-agreed").lockedBy], ["locked", "open", "base.readings"]);
  equal(job.read("base").at("vehicle.removal-agreed").state, "open");
});

test("rings at one wheel are taken out there alone; none found, nothing to take out", () => {
  ok(!keys(withOldRings("left")).includes("round.0.wheel.right"));
  equal(keys(withOldRings("none")).some((key) => key.startsWith("round.0.")), false);
});

test("fasteners that were eased before somebody saw that the rings are at the other wheel are tightened again", () => {
  const job = withOldRings("both").workUntil("round.0.fit.left.wheel-off").answer("vehicle.pair-fitted", "left");
  const open = job.openRows().filter(({ round, wheel }) => round === 0 && wheel === "right").map(({ id }) => id);
  deepEqual(open, ["fit.wheel-fasteners"]);
});

test("what was opened to take old rings out is closed, also where somebody says by now that there are none", () => {
  const open = (until, correct) => {
    const job = correct(withOldRings("left").set("vehicle.rear-brake", "disc").workUntil(until));
    equal(signing(job).may, false);
    return job.unpassableOpen().map(({ slot }) => slot.replace("round.0.fit.", ""));
  };
  const corrections = {
    none: (job) => job.answer("vehicle.pair-fitted", "none"),
    takenBack: (job) => job.answer("vehicle.pair-fitted", null),
    another: (job) => job.set("vehicle.pair-fitted", "none", { concurrent: true }),
  };
  for (const [name, correct] of Object.entries(corrections)) {
    const hubFree = (job) => correct(job.set("round.0.fit.left.line", "opened").tick("round.0.fit.left.line-capped"));
    const closed = open("round.0.fit.left.faces", hubFree);
    for (const slot of ["left.bare-bolts", "left.tightened", "left.bracket-bolts", "left.line-bled", "pedal", "lowered",
      "left.wheel-fasteners"]) ok(closed.includes(slot), `${name}, ${slot}: ${closed.join()}`);
    const eased = open("round.0.fit.left.wheel-off", correct);
    for (const slot of ["lowered", "left.wheel-fasteners"])
      ok(eased.includes(slot), `${name}, ${slot}: ${eased.join()}`);
  }
});

test("a hub with old rings that will not come is closed over them, or bare where they are out", () => {
  const begun = (until) => withOldRings("left").workUntil(until).answer("finish.ending", "hub-seized").openRows()
    .map(({ slot }) => slot.replace("round.0.", ""));
  const seized = begun("round.0.fit.left.pair-out");
  for (const slot of ["fit.left.tightened", "fit.left.wheel-on", "fit.lowered", "fit.left.wheel-fasteners"])
    ok(seized.includes(slot), `${slot}: ${seized.join()}`);
  ok(!seized.some((slot) => /pair-out|hub-back|bare-bolts/.test(slot)), seized.join());
  const out = begun("round.0.fit.left.faces");
  ok(out.includes("fit.left.hub-back") && out.includes("fit.left.bare-bolts"), out.join());
});

test("a job of an older program that took old rings out step by step asks no second time", () => {
  const job = new SheetsJob(null, 1).set("vehicle.pair-fitted", "both").tick("vehicle.pair-removed");
  equal(keys(job).some((key) => key.startsWith("round.0.")), false);
});

test("without its old rings the axle reads what it read less what they did, and with what error", () => {
  const means = { left: { camber: -900, toe: 300, camber_sd: 30, toe_sd: 20 },
    right: { camber: -800, toe: null, camber_sd: 30, toe_sd: 20 } };
  const { left, right } = withoutOldRings(means, { left: { effect: [600, -400] }, right: null },
    { seat_sd: 20, clock_sd_deg: 2 });
  deepEqual([left.camber, left.toe, right.camber, right.toe, right.camber_sd], [-1500, 700, -800, null, 30]);
  const turned = 2 * Math.PI / 180;
  near(left.camber_sd, Math.hypot(30, 20, 400 * turned), 1e-9);
  near(left.toe_sd, Math.hypot(20, 20, 600 * turned), 1e-9);
});

test("readings whose pressures, load, height or part were put right afterwards become as found, and are read anew",
    () => {
  for (const [slot, was, now] of [["vehicle.load", "Empty", "Driver's weight"], ["vehicle.tank", "half", "full"],
    ["vehicle.ride-height", "out", "right"], ["vehicle.bushes-springs", "sound", "repaired"],
    ["vehicle.pressures-found", { pressures: { set: { front: 2.2 } } }, { pressures: { set: { front: 2.4 } } }]]) {
    const job = new PhoneJob().set(slot, was).workUntil("base.readings").read("base")
      .add("base.left.2", "reading-taken", READING);
    job.answer(slot, now);
    equal(job.at("base.readings").state === "done", false, slot);
    deepEqual([job.readings("found").left.count, job.readings("found").right.count, job.readings("base").left.count],
      [2, 1, 0], slot);
    ok(job.at("base.compensation").state !== "done" && job.at("base.settled").state !== "done", slot);
    for (const back of asFoundBack(job)) job.add(back.slot, back.kind, back.body);
    deepEqual([job.readings("found").left.count, job.readings("base").left.count], [0, 2], "taken back");
    job.answer(slot, was).read("base").answer(slot, now);
    deepEqual([job.readings("found").left.count, job.readings("base").left.count], [3, 0], "both stay to be read");
  }
});

test("total toe and thrust go with the readings that were made of them, and leave nothing to make new ones of", () => {
  const axle = (job, prefix) => ["total-toe", "thrust"].map((part) => job.field(`${prefix}.${part}.1`)?.mdeg ?? null);
  const job = new PhoneJob().set("vehicle.load", "Empty").workUntil("base.readings")
    .set("base.total-toe.1", { mdeg: 840 }).set("base.thrust.1", { mdeg: 100 }).read("base");
  job.answer("vehicle.load", "Driver's weight");
  deepEqual([axle(job, "base"), axle(job, "found")], [[null, null], [840, 100]]);
  for (const back of asFoundBack(job)) job.add(back.slot, back.kind, back.body);
  deepEqual([axle(job, "base"), axle(job, "found")], [[840, 100], [null, null]]);
});

test("an answer and the readings that it makes as found are saved together, so that none stands without the other",
    async () => {
  const job = new PhoneJob().set("vehicle.load", "Empty").set("vehicle.tank", "Half")
    .workUntil("base.readings").read("base");
  const saved = [];
  const answers = new Answers({ saveTogether: async (contents) => { saved.push(contents.map(({ slot }) => slot));
    return contents; } });
  await answers.save(job, [{ row: job.at("vehicle.load"), body: { value: "Driver's weight" } }]);
  deepEqual(saved, [["vehicle.load", "found.left.1", "base.left.1", "found.right.1", "base.right.1",
    "base.compensation", "base.settled"]]);
  equal(job.field("vehicle.load"), "Empty", "what may not be saved changes nothing");
  await answers.save(job, ["load", "tank"]
    .map((name) => ({ row: job.at(`vehicle.${name}`), body: { value: "Full" } })));
  deepEqual(saved[1], ["vehicle.load", "vehicle.tank", ...saved[0].slice(1)],
    "one tap for several rows moves them once");
});

test("what changes nothing moves no reading: a first answer, capitals, the same again, a late correction", () => {
  const read = () => new PhoneJob().set("vehicle.load", "Empty").workUntil("base.readings").read("base");
  for (const job of [read().answer("vehicle.ride-height-left", { number: 402 }),
      read().answer("vehicle.load", " empty"), read().answer("vehicle.load", "Empty"),
      read().answer("vehicle.load", null)]) {
    equal(job.readings("base").left.count, 1);
  }
  equal(new PhoneJob().workUntil("fit.lowered").answer("vehicle.load", "two boxes").readings("base").left.count, 1);
});

test("End here: after a refusal the short Finish is all that is asked, and no consent to work that is not done", () => {
  const job = new PhoneJob().workUntil("vehicle.mounting").set("vehicle.mounting", "one-piece")
    .set("finish.ending", "stub-one-piece");
  equal(job.isEnding, true);
  deepEqual(job.openRows().map(({ slot }) => slot),
    ["finish.end-part", "finish.end-photo", "finish.end-drive", "finish.end-told"]);
  ok(!job.has("consent") && !job.has("round.1.plan") && !keys(job).includes("lift"), keys(job).join());
  ok(job.has("vehicle.mounting") && job.at("vehicle.mounting").state === "refused", "why stays in sight");
  job.workUntil();
  equal(job.fold.state, "signed");
  job.set("finish.ending", null);
  ok(job.has("round.1.plan") && !job.has("finish.end-told"), "it goes on");
});

const BOLTS = { typed: { count: "5", circle: "100", thread: "12x1.5" }, bolts: { turns: 9 }, length_mm: 32 };

test("a hub bolt that was backed out: Finish asks for it unless both hubs are tightened", () => {
  const until = (plan, ...pairs) => new PhoneJob().set("vehicle.bolts", BOLTS).workUntil(plan).plan(1, ...pairs);
  const ended = new PhoneJob().set("vehicle.bolts", BOLTS).set("vehicle.mounting", "one-piece")
    .set("finish.ending", "stub-one-piece");
  for (const job of [ended, until("round.1.plan", null, null), until("round.1.plan", PLANNED, null),
    until("round.1.plan", PLANNED, PLANNED).workUntil("fit.left.hub-supported").set("finish.ending", "no-consent")])
    equal(job.at("finish.bolt-back").required, true);
  const both = until("round.1.plan", PLANNED, PLANNED);
  ok(!both.has("finish.bolt-back"), "both hubs come off");
  const unmeasured = new PhoneJob().set("vehicle.bolts-stay", "seized").set("finish.ending", "no-consent");
  ok(!unmeasured.has("finish.bolt-back"), "none was out");
});

test("a bolt was out by either of two answers, and by turns alone; hubs that are tightened hold it again", () => {
  const ended = (value) => new PhoneJob().set("vehicle.bolts", value).set("finish.ending", "no-consent");
  ok(ended({ typed: { turns: "9" }, bolts: {} }).has("finish.bolt-back"), "no thread was chosen");
  ok(!ended({ typed: { turns: " " }, bolts: { engaged_mm: 14 } }).has("finish.bolt-back"));
  const job = ended(BOLTS);
  equal(mayBoltBeOut(job.fold, 1), true);
  equal(mayBoltBeOut(job.fold, 1, ["left"]), true, "nobody wrote down at which wheel");
  equal(mayBoltBeOut(job.fold, 1, ["left", "right"]), false);
  const [entry] = job.fold.slots["vehicle.bolts"];
  const fold = { ...job.fold, slots: { "vehicle.bolts": [{ ...entry, body: { value: null } }, entry] } };
  equal(mayBoltBeOut(fold, 1), true, "two people differ");
});

test("a plan without rings ends the job without consent to open a hub; rings ask it, also an emptied wheel", () => {
  const planned = new PhoneJob().workUntil("round.1.plan").plan(1, null, null);
  equal(planned.row("consent"), null);
  ok(!planned.openRows().some(({ slot }) => slot === "consent"), "nothing left open for it");
  planned.workUntil(null);
  deepEqual(planned.openRows().map(({ slot }) => slot), [], "nothing waits for a yes");
  const rings = new PhoneJob().workUntil("round.1.plan").plan(1, PLANNED, null);
  deepEqual([rings.row("consent").hold, rings.row("consent").state], [true, "open"]);
  equal(rings.plan(1, null, null).row("consent"), null);
});

test("ending at a seized hub closes the wheel row by row, lets the vehicle down and tightens the fasteners", () => {
  const job = new PhoneJob().workUntil("fit.left.hub-free").set("fit.left.hub-free", "seized")
    .set("finish.ending", "hub-seized");
  const open = job.openRows().map(({ slot }) => slot);
  for (const slot of ["fit.left.bolts-by-hand", "fit.left.tightened", "fit.left.flush-again", "fit.left.wheel-on",
      "fit.pedal", "fit.lowered", "fit.left.wheel-fasteners", "fit.right.wheel-fasteners", "fit.chocks-away"]) {
    ok(open.includes(slot), `${slot}: ${open.join()}`);
  }
  ok(!open.some((slot) => /rings-in|read-back|bolt-length|right\.(?!wheel-fasteners)|^check|^prepare/.test(slot)),
    open.join());
  equal(signing(job).may, false, "not with the wheel open");
  job.workUntil();
  equal(job.fold.state, "signed");
  deepEqual(job.openRows(), []);
});

test("ending with a line open that nobody capped yet has it bled, and with bolts perhaps eased has them tightened",
    () => {
  const ended = (more) => more(new PhoneJob().set("vehicle.rear-brake", "disc").set("vehicle.axle-nut", "yes"))
    .answer("finish.ending", "no-rings");
  const holds = (job) => job.unpassableOpen().map(({ slot }) => slot);
  const line = ended((job) => job.workUntil("fit.left.line").set("fit.left.line", "opened"));
  ok(holds(line).includes("fit.left.line-bled"), holds(line).join());
  ok(!holds(ended((job) => job.workUntil("fit.left.hub-supported"))).includes("fit.left.line-bled"),
    "it stayed closed");
  const carried = ended((job) => job.workUntil("fit.left.hub-free"));
  const counted = ended((job) => job.workUntil("fit.left.hub-supported")
    .set("fit.left.bolt-turns", { text: "9", number: 9, unit: "turns" }));
  for (const job of [carried, counted]) {
    for (const slot of ["fit.left.tightened", "fit.left.axle-nut"])
      ok(holds(job).includes(slot), `${slot}: ${holds(job).join()}`);
    for (const slot of ["fit.left.bolts-by-hand", "fit.left.flush-again"])
      ok(job.openRows().some((row) => row.slot === slot), slot);
  }
});

test("ending asks for the torques that close what was opened, where nobody typed them, and for no other", () => {
  const TORQUES = ["fit.torque", "torque.caliper", "torque.bracket", "torque.wheel", "torque.axle-nut"];
  const ended = (until) => {
    const job = new PhoneJob().set("vehicle.rear-brake", "disc").workUntil(until);
    for (const slot of TORQUES) if (job.has(slot)) job.set(slot, null);
    return job.set("finish.ending", "hub-seized");
  };
  const asked = (job) => TORQUES.filter((slot) => job.row(slot)?.state === "open");
  const seized = ended("fit.left.hub-free");
  deepEqual(asked(seized), ["fit.torque", "torque.caliper", "torque.wheel"]);
  ok(seized.has("fit.left.tightened") && seized.sheet("plan") !== null, "bolt mode leads to it");
  equal(seized.workUntil().fold.state, "signed");
  deepEqual(asked(ended("fit.left.wheel-off")), ["torque.wheel"], "only the wheel fasteners were eased");
  deepEqual(asked(ended("fit.chocked")), []);
  const begunAgain = new PhoneJob().workUntil("finish.front").plan(2, PLANNED, null, { open: ["left"] })
    .workUntil("round.2.fit.left.faces");
  deepEqual(asked(begunAgain.set("fit.torque", null).set("finish.ending", "no-rings")), ["fit.torque"],
    "in a second round too");
});

test("ending with rings in at one wheel proves that wheel like any, or has them out again", () => {
  const job = new PhoneJob().workUntil("fit.right.hub-free").set("fit.right.hub-free", "seized")
    .set("finish.ending", "hub-seized");
  equal(job.at("fit.left.bolt-length").state, "done");
  ok(job.has("fit.right.wheel-on") && !job.has("fit.right.rings-in"));
  job.undo("fit.left.tightened");
  ok(signing(job).refusals.some(({ row }) => row.slot === "fit.left.tightened"));
  job.undo("fit.left.rings-in");
  ok(job.has("fit.left.hub-back") && job.has("fit.left.bare-bolts") && !job.has("fit.left.read-back"), "closed bare");
});

test("a vehicle that was only chocked and lifted is let down before the job ends", () => {
  const job = new PhoneJob().workUntil("fit.left.wheel-off").set("finish.ending", "no-rings");
  const open = job.openRows().map(({ slot }) => slot);
  ok(open.includes("fit.lowered") && open.includes("fit.chocks-away")
    && open.includes("fit.left.wheel-fasteners"), open.join());
  ok(!open.some((slot) => slot.startsWith("fit.left.wheel-off")));
});

test("a job with one wheel has eleven sheets and is signed on them", () => {
  const job = new PhoneJob().workUntil("round.1.plan").plan(1, null, PLANNED);
  equal(job.sheets.length, 11);
  equal(job.workUntil().fold.state, "signed");
});

test("a second round at one wheel: confirmed anew, closed anew, signed; the first round stays to be looked at", () => {
  const job = new PhoneJob().workUntil("finish.front").plan(2, { ...PLANNED, pair: [13, 32] }, null,
    { open: ["left"] });
  deepEqual(keys(job), ["vehicle", "condition", "readings", "possible", "round.2.plan", "round.2.lift",
    "round.2.wheel.left", "round.2.bench.left", "round.2.down", "round.2.check", "finish"]);
  for (const slot of ["round.2.choose.single-use", "consent", "round.2.fit.chocked", "round.2.fit.left.read-back",
    "round.2.fit.left.bolt-length"]) ok(job.at(slot).state !== "done", slot);
  job.workUntil();
  equal(job.fold.state, "signed");
  equal(job.sheet("wheel.right").state, "done");
});

test("what sits at a wheel is what was put in there, and closed is what was tightened", () => {
  const job = new PhoneJob().plan(1, PLANNED, PLANNED).workUntil("fit.left.rings-in");
  equal(job.installed("left"), null, "a plan alone fits nothing");
  job.workUntil("fit.left.tightened");
  deepEqual([job.installed("left").pair, job.installed("left").closed, job.installed("left").leaving],
    [PLANNED.pair, false, false]);
  job.plan(1, { ...PLANNED, pair: [20, 44] }, PLANNED);
  deepEqual([job.installed("left").pair, job.installed("left").leaving], [PLANNED.pair, true],
    "another plan does not change what is in");
  job.workUntil("finish.front");
  deepEqual([job.installed("left").pair, job.installed("left").closed], [[20, 44], true]);
  job.plan(2, null, null, { open: ["left"] }).workUntil("round.2.fit.left.pair-out");
  equal(job.installed("left").leaving, true);
  job.workUntil("round.2.fit.left.faces");
  deepEqual([job.installed("left"), job.installed("right").round], [null, 1]);
});

test("a job of an older program is believed by its plan, as it was", () => {
  deepEqual(new SheetsJob(null, 1).plan(1, PLANNED, null).installed("left").pair, PLANNED.pair);
});

test("nothing is lifted before what is done with the wheels on the ground", () => {
  const job = new PhoneJob().workUntil("fit.eased");
  deepEqual([job.at("fit.supported").state, job.at("fit.supported").lockedBy], ["locked", "fit.eased"]);
  job.workUntil("fit.supported");
  equal(job.at("fit.supported").state, "open");
  job.workUntil("fit.left.faces").undo("fit.key-away");
  equal(job.at("fit.supported").state, "done", "what is up stays held");
});
