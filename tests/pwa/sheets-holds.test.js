// Holds lock what follows until they are confirmed or gone past; refusals cannot be passed over; whatever was opened is
// closed again.

import { checklist, PLANNED, SheetsJob } from "/tests/sheets-job.js";
import { deepEqual, equal, ok, test } from "/tests/harness.js";

const ROWS = checklist.sheets.flatMap((sheet) => (sheet.pauses ?? [sheet])
  .flatMap(({ rows }) => rows.map((row) => ({ ...row, sheet: sheet.id }))));
const HOLDS = ROWS.filter(({ hold }) => hold);

/** A job in which every hold of the data is asked, but for those of old rings and later rounds. */
function everyHold() {
  return new SheetsJob().set("vehicle.pair-fitted", "none").set("vehicle.rear-brake", "disc")
    .set("vehicle.caliper-bracket", "outboard-of-ear")
    .set("vehicle.mounting", "bolt-on-unit").set("vehicle.axle-nut", "yes").set("vehicle.high-voltage", "yes")
    .set("vehicle.pilot", "unknown")
    .plan(1, PLANNED, PLANNED).set("fit.left.touches", "touches").set("fit.left.rerouted", "edge")
    .set("fit.left.line", "opened");
}

test("every hold in turn locks whatever stands behind it at its wheel, and its confirmation frees that", () => {
  const asked = new Set();
  const job = everyHold();
  for (let row = job.nextOpen(); row && row.id !== "finish.sign"; row = job.nextOpen()) {
    if (row.hold) {
      asked.add(row.id);
      // what is looked at on a lift holds its own sheet alone
      const isNear = (other) => row.holds !== "sheet" || other.sheet === row.sheet;
      const behind = job.rows.filter((other) => other.order > row.order && isNear(other)
        && (row.wheel === null || other.wheel === null || other.wheel === row.wheel));
      ok(behind.every(({ lockedBy }) => lockedBy !== null), `${row.slot} locks all behind it`);
      const next = behind.find(({ state }) => state === "locked");
      equal(next.lockedBy, row.slot, next.slot);
      job.confirm(row);
      ok(job.at(next.slot).lockedBy !== row.slot, `${row.slot} frees ${next.slot}`);
    } else {
      job.confirm(row);
    }
  }
  const notHere = ["vehicle.pair-fitted", "vehicle.removal-agreed", "choose.plan-stands", "fit.parts-ready",
    "fit.pair-out", "fit.hub-back", "fit.bare-bolts"];
  const first = ["vehicle.pair-fitted"];
  deepEqual(HOLDS.map(({ id }) => id).filter((id) => !asked.has(id) && !first.includes(id)),
    notHere.filter((id) => !first.includes(id)));
});

test("unpassable holds offer no way past; the others can be passed with a reason", () => {
  const unpassable = ["vehicle.inspection-supported", "vehicle.under-supported", "fit.chocked", "fit.high-voltage",
    "fit.supported", "fit.hub-supported", "fit.pair-out", "fit.read-back", "fit.bolt-length",
    "fit.bare-bolts", "fit.tightened", "fit.bracket-bolts", "fit.axle-nut", "fit.line-bled", "fit.pedal", "fit.lowered",
    "fit.wheel-fasteners", "fit.axle-nut-final"];
  deepEqual(HOLDS.filter(({ passable }) => passable === false).map(({ id }) => id), unpassable);
  const job = everyHold();
  for (let row = job.nextOpen(); row && row.id !== "finish.sign"; row = job.nextOpen()) {
    if (row.hold && row.card !== "consent") equal(row.canPass, !unpassable.includes(row.id), row.slot);
    job.confirm(row);
  }
});

test("an unconfirmed hold locks what follows, on its sheet and on later ones", () => {
  const job = new SheetsJob().workUntil("vehicle.pair-fitted");
  equal(job.at("vehicle.pair-fitted").state, "open");
  deepEqual([job.at("vehicle.mounting").lockedBy, job.at("vehicle.mounting").lockedFor],
    ["vehicle.pair-fitted", "hold"]);
  equal(job.stateOf("plan"), "held");
  job.set("vehicle.pair-fitted", "none");
  equal(job.at("vehicle.mounting").state, "open");
});

test("a hold at one wheel leaves the other wheel open and keeps the vehicle's rows waiting", () => {
  const job = new SheetsJob().workUntil("fit.left.hub-supported");
  equal(job.at("fit.left.hub-free").state, "locked");
  equal(job.at("fit.right.wheel-off").state, "open");
  equal(job.at("fit.pedal").lockedBy, "fit.left.hub-supported");
});

test("going past with a reason opens what follows and stays visible", () => {
  const job = new SheetsJob().workUntil("fit.left.top-marked");
  equal(job.at("fit.left.top-marked").canPass, true);
  job.add("fit.left.top-marked", "hold-overridden", { reason: "marked by the level alone" });
  deepEqual([job.at("fit.left.top-marked").state, job.at("fit.left.top-marked").unusual], ["overridden", true]);
  ok(job.at("fit.left.wheel-off").lockedBy !== "fit.left.top-marked");
  equal(job.undo("fit.left.top-marked").at("fit.eased").lockedBy, "fit.left.top-marked");
});

test("taking a hold back says so at the rows that were done behind it", () => {
  const job = new SheetsJob().workUntil("fit.left.hub-free").undo("fit.chocked");
  equal(job.at("fit.supported").state, "done");
  equal(job.at("fit.supported").lockedBy, "fit.chocked");
  equal(job.nextOpen().slot, "fit.chocked");
});

test("two people who differ about a hold have not confirmed it; the same confirmed twice is confirmed", () => {
  const job = new SheetsJob().workUntil("fit.chocked");
  job.tick("fit.chocked", { hold: true }, { concurrent: true })
    .tick("fit.chocked", { hold: true }, { concurrent: true });
  equal(job.at("fit.chocked").state, "done");
  job.add("fit.chocked", "step-undone", {}, { concurrent: true });
  deepEqual([job.at("fit.chocked").state, job.at("fit.chocked").conflict], ["open", true]);
  equal(job.at("fit.plates-pinned").state, "locked");
});

test("the chocks stay until the fasteners of both wheels are at their torque", () => {
  const job = new SheetsJob().workUntil("fit.left.wheel-fasteners");
  job.confirm(job.at("fit.left.wheel-fasteners"));
  deepEqual([job.at("fit.chocks-away").state, job.at("fit.chocks-away").lockedBy],
    ["locked", "fit.right.wheel-fasteners"]);
  job.confirm(job.at("fit.right.wheel-fasteners"));
  equal(job.at("fit.chocks-away").state, "open");
});

test("a ring cracked at one wheel keeps that wheel; the other goes on once supported, and nothing is lowered", () => {
  const job = new SheetsJob().workUntil("fit.left.wheel-off").set("prepare.left.whole", "cracked");
  equal(job.at("fit.left.wheel-off").lockedFor, "refusal");
  equal(job.at("fit.right.wheel-off").state, "open");
  job.workUntil("prepare.left.whole");
  equal(job.at("fit.right.wheel-on").state, "done");
  deepEqual(["fit.pedal", "fit.lowered"].map((slot) => job.at(slot).lockedBy),
    ["prepare.left.whole", "prepare.left.whole"]);
});

test("a ring cracked before the vehicle is supported keeps it from being lifted at all", () => {
  const job = new SheetsJob().workUntil("fit.chocked").set("prepare.left.whole", "cracked");
  equal(job.at("fit.chocked").lockedBy, "prepare.left.whole");
  equal(job.at("fit.right.wheel-off").state, "locked");
});

test("a refusal stops the later sheets, leaves its own to be answered, and cannot be gone past", () => {
  const job = new SheetsJob().workUntil("vehicle.mounting").set("vehicle.mounting", "one-piece");
  const { state, refusal, canPass } = job.at("vehicle.mounting");
  deepEqual([state, refusal, canPass], ["refused", "stub-one-piece", false]);
  equal(job.at("vehicle.sensor").state, "open", "the other questions can still be answered");
  job.workUntil("vehicle.mounting");
  deepEqual([job.at("round.1.plan").lockedBy, job.at("round.1.plan").lockedFor], ["vehicle.mounting", "refusal"]);
  deepEqual([job.stateOf("possible"), job.stateOf("plan")], ["refused", "held"]);
  equal(job.nextOpen().slot, "vehicle.mounting", "with nothing else to do the refused row is next");
  equal(job.set("vehicle.mounting", "bolt-on-unit").at("vehicle.can-rings-go-in").state, "done");
});

test("a refusing hold stops its own pause too: no rings on a pitted face", () => {
  const job = new SheetsJob().workUntil("fit.left.faces").set("fit.left.faces", "pitted");
  deepEqual([job.at("fit.left.faces").state, job.at("fit.left.faces").canPass], ["refused", false]);
  equal(job.at("fit.left.rings-in").lockedFor, "refusal");
  equal(job.at("fit.right.wheel-off").state, "open");
  equal(job.at("check.readings").lockedBy, "fit.left.faces");
});

test("a refusal counts even while another person says otherwise", () => {
  const job = new SheetsJob().workUntil("vehicle.pilot").set("vehicle.pilot", "binds")
    .set("vehicle.pilot", "centred", { concurrent: true });
  equal(job.at("vehicle.pilot").refusal, "pilot-binds");
});

test("no refusing answer of the data lets the next sheet, or the next pause, begin", () => {
  let count = 0;
  for (const row of ROWS) for (const { id, refuse } of checklist.option_sets[row.options] ?? []) {
    if (!refuse) continue;
    count += 1;
    const job = new SheetsJob().plan(1, PLANNED, PLANNED);
    for (const { field, is } of row.when ?? []) if (is) job.set(field.replace("fit.", "fit.left."), is[0]);
    const slot = /^(fit|prepare)\./.test(row.id) ? row.id.replace(".", ".left.") : row.id;
    job.set(slot, id);
    const { refusal, place, wheel, state } = job.at(slot);
    deepEqual([refusal, state], [refuse, "refused"], slot);
    const later = job.rows.filter((other) => other.place > place && (wheel === null || other.wheel !== "right"));
    ok(later.length > 0 && later.every((other) => other.lockedBy !== null && other.state !== "open"),
      `${row.id} ${id}`);
  }
  ok(count >= 14, `${count} refusals`);
});

const leftToClose = (job) => job.openRows().filter(({ wheel, id }) => id.startsWith("fit.") && wheel === "left")
  .map(({ id }) => id);

test("a wheel that is open is closed again, also where the plan was changed and works there no more", () => {
  const changed = (until) => new SheetsJob().workUntil(until).plan(1, null, PLANNED);
  const drumOff = leftToClose(changed("fit.left.leads-free"));
  for (const id of ["fit.wheel-on", "fit.wheel-fasteners", "fit.drum-turns"])
    ok(drumOff.includes(id), `${id}: ${drumOff.join()}`);
  ok(!drumOff.includes("fit.tightened") && !drumOff.includes("fit.hub-back"), "the hub was never loosened");
  const hubOff = leftToClose(changed("fit.left.faces"));
  for (const id of ["fit.hub-back", "fit.bare-bolts", "fit.bolts-by-hand", "fit.tightened", "fit.flush-again",
    "fit.turns-free", "fit.wheel-on", "fit.wheel-fasteners"]) ok(hubOff.includes(id), id);
  for (const id of ["fit.rings-in", "fit.read-back", "fit.witness-line", "fit.faces"]) ok(!hubOff.includes(id), id);
});

test("what was opened of a given-up wheel beyond the hub is closed too: brake line, leads, shaft and axle nut", () => {
  const job = new SheetsJob().set("vehicle.mounting", "driven").set("vehicle.axle-nut", "yes").plan(1, PLANNED, PLANNED)
    .set("fit.left.line", "opened");
  const open = leftToClose(job.workUntil("fit.left.faces").plan(1, null, PLANNED));
  for (const id of ["fit.line-bled", "fit.routed", "fit.shaft-joined", "fit.axle-nut", "fit.axle-nut-final"])
    ok(open.includes(id), `${id}: ${open.join()}`);
});

test("the axle nut's holds stand unless everybody says that there is none", () => {
  const NUT = ["torque.axle-nut", "fit.axle-nut-eased", "fit.left.axle-nut", "fit.right.axle-nut-final"];
  const jobs = {
    unanswered: new SheetsJob().plan(1, PLANNED, PLANNED), takenBack: new SheetsJob().set("vehicle.axle-nut", "no")
      .set("vehicle.axle-nut", null).plan(1, PLANNED, PLANNED),
    differ: new SheetsJob().set("vehicle.axle-nut", "yes").set("vehicle.axle-nut", "no", { concurrent: true })
      .plan(1, PLANNED, PLANNED),
  };
  for (const [name, job] of Object.entries(jobs)) for (const slot of NUT) ok(job.has(slot), `${name}: ${slot}`);
  const none = new SheetsJob().workUntil("vehicle.ring-place");
  deepEqual(NUT.filter((slot) => none.plan(1, PLANNED, PLANNED).has(slot)), [], "answered in one tap, and gone");
  ok(new SheetsJob().workUntil("vehicle.arch-gap").set("vehicle.axle-nut", null).workUntil("round.1.plan")
    .at("vehicle.axle-nut").gate, "the verdict waits for it");
});

test("a driven hub without an axle nut is questioned; the answer stands", () => {
  const job = new SheetsJob().set("vehicle.axle-nut", "no").set("vehicle.mounting", "driven");
  deepEqual([job.at("vehicle.axle-nut").warning, job.at("vehicle.axle-nut").state === "refused",
    job.at("vehicle.axle-nut").done], ["driven-no-nut", false, true]);
  equal(job.set("vehicle.axle-nut", "yes").at("vehicle.axle-nut").warning, null);
  equal(job.set("vehicle.axle-nut", "no").set("vehicle.mounting", "bolt-on-stub").at("vehicle.axle-nut").warning, null);
});

test("a line that one phone says was opened, and another that it stayed closed, is capped and bled until they agree",
    () => {
  const job = new SheetsJob().workUntil("fit.left.line").set("fit.left.line", "opened")
    .set("fit.left.line", "closed", { concurrent: true });
  for (const slot of ["fit.left.line-capped", "fit.left.line-bled"]) ok(job.has(slot), slot);
  ok(!job.set("fit.left.line", "closed").has("fit.left.line-bled"));
});

test("a job of an older program, which asked for no axle nut, is asked while its wheels are not done, and then no more",
    () => {
  const old = new SheetsJob(null, 1).plan(1, PLANNED, PLANNED).tick("fit.supported");
  ok(old.has("vehicle.axle-nut") && old.has("fit.left.axle-nut"), "the way out of the hold is there");
  ok(!old.set("vehicle.axle-nut", "no").has("fit.left.axle-nut"));
  const down = new SheetsJob(null, 1).plan(1, PLANNED, PLANNED).tick("fit.left.wheel-on").tick("fit.right.wheel-on")
    .tick("fit.chocks-away");
  deepEqual(["vehicle.axle-nut", "fit.left.axle-nut", "fit.left.axle-nut-final"].filter((slot) => down.has(slot)), []);
});

test("fasteners and axle nut that were eased for a wheel which is never opened are tightened all the same", () => {
  const job = new SheetsJob().set("vehicle.axle-nut", "yes").plan(1, PLANNED, PLANNED).workUntil("fit.eased");
  const { id } = job.planEntry;
  job.tick("fit.eased", { plan: id }).tick("fit.axle-nut-eased", { plan: id }).plan(1, null, PLANNED);
  deepEqual(leftToClose(job), ["fit.wheel-fasteners", "fit.axle-nut-final"]);
  deepEqual(leftToClose(new SheetsJob().plan(1, PLANNED, PLANNED).workUntil("fit.eased").plan(1, null, PLANNED)), [],
    "nothing was touched");
});

test("a vehicle that was lifted is let down again, also where no wheel came off and none will", () => {
  const job = new SheetsJob().workUntil("fit.left.wheel-off").plan(1, null, null);
  ok(job.has("fit.lowered") && job.has("fit.chocks-away"), "down");
  ok(!job.has("fit.left.wheel-off") && job.sheet("bench.left") === null);
  ok(job.openRows().some(({ id }) => id === "fit.lowered"));
});

test("in a later round a hub that is open closes over the pair that stays, or bare where that pair is out", () => {
  const begun = () => new SheetsJob().workUntil("finish.front").plan(2, null, null, { open: ["left"] });
  const changed = (job) => job.plan(2, null, PLANNED, { open: ["right"] });
  const stays = leftToClose(changed(begun().workUntil("round.2.fit.left.pair-out")));
  ok(stays.includes("fit.tightened") && stays.includes("fit.wheel-fasteners"), stays.join());
  ok(!stays.includes("fit.hub-back"), "the pair of round 1 sits there");
  const out = leftToClose(changed(begun().workUntil("round.2.fit.left.faces")));
  ok(out.includes("fit.hub-back") && out.includes("fit.bare-bolts"));
});

test("old rings, a ring left in and bolts too long each keep the hub open in a later round", () => {
  const job = new SheetsJob().workUntil("finish.front").plan(2, null, null, { open: ["left"] });
  for (const [hold, locked] of [["pair-out", "faces"], ["hub-back", "bare-bolts"], ["bare-bolts", "bolts-by-hand"]]
      .map((ids) => ids.map((id) => `round.2.fit.left.${id}`))) {
    job.workUntil(hold);
    equal(job.at(locked).lockedBy, hold);
    equal(job.at(hold).canPass, hold.endsWith("hub-back"), hold);
  }
});

test("what was confirmed of a pair does not hold for another", () => {
  const job = new SheetsJob().workUntil("fit.left.bolts-by-hand");
  const states = (...slots) => slots.map((slot) => job.at(slot).state);
  const ofPair = ["prepare.left.marks-meet", "prepare.left.last-look", "fit.left.rings-in", "fit.left.read-back",
    "fit.left.bolt-length"];
  job.plan(1, { ...PLANNED, pair: [20, 44] }, PLANNED);
  ok(!states(...ofPair).includes("done"), states(...ofPair).join());
  deepEqual(states("prepare.right.marks-meet", "fit.left.hub-supported", "fit.left.hub-free"),
    ["done", "done", "done"]);
  job.plan(1, PLANNED, PLANNED);
  deepEqual(states(...ofPair), ofPair.map(() => "done"), "the same pair again");
});

test("a hub that was tightened over another pair comes off again: nothing that was done on the way to it counts",
    () => {
  const job = new SheetsJob().workUntil("finish.front").plan(1, { ...PLANNED, pair: [20, 44] }, PLANNED);
  for (const id of ["wheel-off", "hub-supported", "tightened", "wheel-on", "wheel-fasteners"]) {
    ok(job.at(`fit.left.${id}`).state !== "done", `left ${id}`);
    equal(job.at(`fit.right.${id}`).state, "done", `right ${id}`);
  }
});
