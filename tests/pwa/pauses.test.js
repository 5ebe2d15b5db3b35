// A pause at the wheel holds nine rows at most, whatever the axle, the round and the answers: a longer list is not
// read. What opens a row is read from the data, so that a row that comes later is counted with all the others.

import { checklist, PLANNED, SheetsJob } from "/tests/sheets-job.js";
import { deepEqual, ok, test } from "/tests/harness.js";

const MOST_ROWS = 9;
const PAUSES = checklist.sheets.find(({ id }) => id === "wheel").pauses;
const OPTIONS = new Map(checklist.sheets.flatMap(({ rows, pauses }) => rows ?? pauses.flatMap((pause) => pause.rows))
  .filter(({ options }) => options)
  .map(({ id, options }) => [id, checklist.option_sets[options].map((option) => option.id)]));
/** What may be done at a wheel: how the job comes there, and the sheet. */
const WORK = {
  "rings": [(job) => job.plan(1, PLANNED, PLANNED), "wheel.left"],
  "rings tried at the bench": [(job) => job.plan(1, PLANNED, PLANNED).tick("prepare.left.trial-fit"), "wheel.left"],
  "another pair in round 2": [(job) => secondRound(job, { ...PLANNED, pair: [3, 4] }), "round.2.wheel.left"],
  "the same pair in round 2": [(job) => secondRound(job, PLANNED), "round.2.wheel.left"],
  "left bare in round 2": [(job) => secondRound(job, null), "round.2.wheel.left"],
  "old rings taken out": [(job) => job.set("vehicle.pair-fitted", "both"), "round.0.wheel.left"],
};

function secondRound(job, left) {
  return job.plan(1, PLANNED, PLANNED).plan(2, left, null, { open: ["left"] });
}

function conditionsOf({ rows }) {
  return rows.flatMap(({ when = [] }) => when.flatMap((condition) => condition.any ?? [condition]))
    .filter(({ field }) => field);
}

/** The answers that may be live to a question of the pause: none, each, and all at once, as of people who differ. */
function answersTo(field, conditions) {
  const own = conditions.filter((condition) => condition.field === field);
  const options = OPTIONS.get(field);
  const opens = (answers) => JSON.stringify(own.map(({ is, not, none }) =>
    (none ? !answers.some((each) => none.includes(each))
      : answers.some((each) => (is ? is.includes(each) : !not.includes(each))))));
  const all = [[null], ...options.map((each) => [each]), options];
  return [...new Map(all.map((answers) => [opens(answers), answers])).values()];
}

/** Every combination of the answers that open a row of this pause; those that open the same rows stand once. */
function combinationsOf(pause) {
  const conditions = conditionsOf(pause);
  const fields = [...new Set(conditions.map(({ field }) => field))];
  return fields.reduce((made, field) =>
    made.flatMap((one) => answersTo(field, conditions).map((answers) => ({ ...one, [field]: answers }))), [{}]);
}

function answer(job, slot, answers) {
  answers.filter((each) => each !== null).forEach((each, k) => job.set(slot, each, { concurrent: k > 0 }));
}

/** The rows of a pause in this work, once everything is answered so. */
function rowsWith(combination, [bring, sheet], id) {
  const job = new SheetsJob();
  const ofVehicle = (field) => field.startsWith("vehicle.");
  for (const [field, answers] of Object.entries(combination)) if (ofVehicle(field)) answer(job, field, answers);
  bring(job);
  for (const [field, answers] of Object.entries(combination)) {
    const row = ofVehicle(field) ? null : job.sheet(sheet).rows.find((each) => each.id === field);
    if (row) answer(job, row.slot, answers);
  }
  return job.sheet(sheet).pauses.find((pause) => pause.id === id)?.rows ?? [];
}

for (const pause of PAUSES) {
  test(`the pause ${pause.id} has nine rows in sight at most, whatever is answered, on any axle, in any round`, () => {
    const seen = new Set();
    let fullest = 0;
    for (const combination of combinationsOf(pause)) {
      for (const [name, work] of Object.entries(WORK)) {
        const rows = rowsWith(combination, work, pause.id);
        const inSight = rows.filter(({ more }) => !more).map(({ id }) => id);
        ok(inSight.length <= MOST_ROWS,
          `${name}: ${inSight.length} rows with ${JSON.stringify(combination)}: ${inSight.join()}`);
        fullest = Math.max(fullest, inSight.length);
        for (const { id } of rows) seen.add(id);
      }
    }
    deepEqual(pause.rows.filter(({ id }) => !seen.has(id)), [], "every row was looked at");
    ok(fullest > 0);
  });
}

test("where the pilot is only seen at the wheel, looking at it is the trial fit, also where two people differ", () => {
  const stack = (...pilot) => rowsWith({ "vehicle.pilot": pilot }, WORK.rings, "stack").map(({ id }) => id);
  for (const pilot of [["unknown"], ["centred", "unknown"]]) {
    ok(stack(...pilot).includes("fit.pilot") && !stack(...pilot).includes("fit.trial-fit"), stack(...pilot).join());
  }
  ok(stack("centred").includes("fit.trial-fit") && !stack("centred").includes("fit.pilot"), stack("centred").join());
});

test("a wheel that the plan has given up is closed in no longer pauses", () => {
  const late = (until) => new SheetsJob().workUntil(until).plan(1, null, PLANNED).sheet("wheel.left");
  const again = new SheetsJob().workUntil("finish.front").plan(2, { ...PLANNED, pair: [3, 4] }, null,
    { open: ["left"] });
  const inRound2 = again.workUntil("round.2.fit.left.wheel-on").plan(2, null, PLANNED, { open: ["right"] })
    .sheet("round.2.wheel.left");
  for (const { pauses } of [late("fit.left.bolt-length"), late("fit.left.wheel-on"), inRound2]) {
    ok(pauses.every(({ rows }) => rows.filter(({ more }) => !more).length <= MOST_ROWS));
  }
});

test("hub and drive shaft carried, and an edge eased, before each stood in one row, stay readable", () => {
  const job = new SheetsJob().set("vehicle.mounting", "driven").workUntil("fit.left.hub-free")
    .tick("fit.left.shaft-carried");
  ok(job.at("fit.left.hub-supported").state === "done" && job.live("fit.left.shaft-carried").length === 1);
  ok(job.set("fit.left.touches", "touches").set("fit.left.rerouted", "edge").tick("fit.left.edge-eased")
    .at("fit.left.edge-whole").state !== "done",
    "what was eased is looked at all the same");
});
