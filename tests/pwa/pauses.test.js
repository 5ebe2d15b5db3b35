// A pause at the wheel holds nine rows at most, whatever the axle and whatever the round: a longer list is not read.

import { PLANNED, SheetsJob } from "/tests/sheets-job.js";
import { deepEqual, ok, test } from "/tests/harness.js";

const MOST_ROWS = 9;
/** What an axle may be, as far as a row at the wheel asks for it. */
const AXLE = {
  "vehicle.mounting": ["bolt-on-unit", "bolt-on-stub", "driven"],
  "vehicle.rear-brake": ["drum", "disc", "disc-drum", null],
  "vehicle.caliper-bracket": ["outboard-of-ear", "moves-with-hub"],
  "vehicle.sensor": ["none", "with-hub", "on-axle"],
  "vehicle.pilot": ["centred", "unknown"],
  "vehicle.axle-nut": ["no", "yes"],
};
/** What may be done at a wheel: how the job comes there, and the sheet. */
const WORK = {
  "rings": [(job) => job.plan(1, PLANNED, PLANNED), "wheel.left"],
  "rings tried at the bench": [(job) => job.plan(1, PLANNED, PLANNED).tick("prepare.left.trial-fit"), "wheel.left"],
  "another pair in round 2": [(job) => secondRound(job, { ...PLANNED, pair: [3, 4] }), "round.2.wheel.left"],
  "the same pair in round 2": [(job) => secondRound(job, PLANNED), "round.2.wheel.left"],
  "left bare in round 2": [(job) => secondRound(job, null), "round.2.wheel.left"],
  "old rings taken out": [(job) => job.set("vehicle.pair-fitted", "both"), "round.0.wheel.left"],
};
/** Rows that an answer of the same pause opens beneath itself, which an everyday job never sees. */
const BENEATH = { "fit.line": ["fit.line-capped"], "fit.touches": ["fit.rerouted", "fit.edge-eased", "fit.edge-whole"] };

function secondRound(job, left) {
  return job.plan(1, PLANNED, PLANNED).plan(2, left, null, { open: ["left"] });
}

/** Every axle: each choice of one fact with each of the others. */
function axles() {
  return Object.entries(AXLE).reduce((made, [slot, options]) => made.flatMap((axle) => options.map((option) => ({ ...axle, [slot]: option }))), [{}]);
}

/** The rows of each pause that stand in sight, folded ones left out. */
function pausesOf(axle, [bring, sheet], answers = {}) {
  const job = new SheetsJob();
  for (const [slot, option] of Object.entries(axle)) if (option !== null) job.set(slot, option);
  bring(job);
  for (const [id, value] of Object.entries(answers)) {
    const row = job.sheet(sheet).rows.find((each) => each.id === id);
    if (row) job.set(row.slot, value);
  }
  return job.sheet(sheet).pauses.map(({ id, rows }) => ({ id, rows: rows.filter(({ more }) => !more).map((row) => row.id) }));
}

test("no pause has more than nine rows in sight, on any axle, in any round, with old rings or left bare", () => {
  const longest = {};
  for (const axle of axles()) {
    for (const [name, work] of Object.entries(WORK)) {
      for (const { id, rows } of pausesOf(axle, work)) {
        ok(rows.length <= MOST_ROWS, `${name}, ${id}: ${rows.length} rows on ${JSON.stringify(axle)}: ${rows.join()}`);
        longest[id] = Math.max(longest[id] ?? 0, rows.length);
      }
    }
  }
  deepEqual(Object.keys(longest), ["hub-off", "stack", "tight", "brake"]);
  ok(longest.stack === MOST_ROWS, "the fullest pause is among those that were looked at");
});

test("what goes past nine is only what an answer out of the ordinary opens beneath itself", () => {
  const answers = { "fit.line": "opened", "fit.touches": "touches", "fit.rerouted": "edge" };
  const beneath = Object.values(BENEATH).flat();
  for (const axle of axles().filter((each) => each["vehicle.sensor"] === "on-axle")) {
    for (const [name, work] of Object.entries(WORK)) {
      for (const { id, rows } of pausesOf(axle, work, answers)) {
        const own = rows.filter((row) => !beneath.includes(row));
        ok(own.length <= MOST_ROWS, `${name}, ${id}: ${own.join()}`);
      }
    }
  }
});

test("where the pilot is only seen at the wheel, looking at it is the trial fit", () => {
  const stack = (pilot) => pausesOf({ "vehicle.pilot": pilot }, WORK.rings).find(({ id }) => id === "stack").rows;
  ok(stack("unknown").includes("fit.pilot") && !stack("unknown").includes("fit.trial-fit"), stack("unknown").join());
  ok(stack("centred").includes("fit.trial-fit") && !stack("centred").includes("fit.pilot"), stack("centred").join());
});

test("a wheel that the plan has given up is closed in no longer pauses", () => {
  const late = (until) => new SheetsJob().workUntil(until).plan(1, null, PLANNED).sheet("wheel.left");
  const again = new SheetsJob().workUntil("finish.front").plan(2, { ...PLANNED, pair: [3, 4] }, null, { open: ["left"] });
  const inRound2 = again.workUntil("round.2.fit.left.wheel-on").plan(2, null, PLANNED, { open: ["right"] }).sheet("round.2.wheel.left");
  for (const { pauses } of [late("fit.left.bolt-length"), late("fit.left.wheel-on"), inRound2]) {
    ok(pauses.every(({ rows }) => rows.filter(({ more }) => !more).length <= MOST_ROWS));
  }
});
