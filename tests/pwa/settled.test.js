// What two phones answered alike is one answer, on every screen that asks: no step is done whose value is then not
// shown.

import { KIND } from "/js/domain/job/entry.js";
import { fold } from "/js/domain/job/fold.js";
import { Job } from "/js/domain/job/living-job.js";
import { meanReadings } from "/js/domain/job/readings.js";
import { reportOf } from "/js/domain/job/report.js";
import { fieldOf, settledAt } from "/js/domain/job/slot-values.js";
import { deepEqual, equal, test } from "./harness.js";

const JOB = "11111111-1111-4111-8111-111111111111";
const CHECKLIST = await (await fetch("/checklist.json")).json();
const angle = (mdeg) => ({ mdeg, text: String(mdeg), unit: "deg", way: null, diameter_mm: null });
const WINDOW = { low: angle(0), high: angle(200) };
const PLAN = { round: 1, plan: { left: null, right: null } };
const SAID = [
  [KIND.FIELD_SET, "vehicle.registration", { value: "AB 1" }],
  [KIND.FIELD_SET, "window.left.toe", { value: WINDOW }],
  [KIND.READING_TAKEN, "base.left.1", { camber: angle(-1640), toe: angle(420) }],
  [KIND.READING_TAKEN, "front.before.left", { camber: angle(-200), toe: angle(80) }],
  [KIND.PLAN_CHOSEN, "round.1.plan", PLAN],
];

let made = 0;
function entry([kind, slot, body]) {
  made += 1;
  const id = `22222222-2222-4222-8222-${String(made).padStart(12, "0")}`;
  return { format: 1, id, job: JOB, device: JOB, n: made, at: "2026-11-28T10:00:00Z", by: "Ines Tavell", kind, slot,
    after: [], body };
}

const twice = (said) => [...said.map(entry), ...said.map(entry)];
const frontOf = (entries) => reportOf(new Job({ id: JOB, entries, checklist: CHECKLIST })).front;

test("two phones that answered alike gave one answer: field, window, reading, plan, front", () => {
  const entries = twice(SAID);
  const job = new Job({ id: JOB, entries, checklist: CHECKLIST });
  equal(job.live("vehicle.registration").length, 2);
  deepEqual(job.fold.conflicts, []);
  equal(fieldOf(job.fold, "vehicle.registration"), "AB 1");
  equal(job.registration, "AB 1");
  deepEqual(job.body("window.left.toe", KIND.FIELD_SET), { value: WINDOW });
  deepEqual(job.planEntry.body, PLAN);
  equal(meanReadings(job.fold, "base").left.toe, 420);
  deepEqual(frontOf(entries).map(({ side, quantity, before }) => [side, quantity, before]),
    [["left", "camber", -200], ["left", "toe", 80]]);
});

test("where two phones differ, nothing holds until a person has said which", () => {
  const other = [
    [KIND.FIELD_SET, "vehicle.registration", { value: "AB 2" }],
    [KIND.FIELD_SET, "window.left.toe", { value: { ...WINDOW, high: angle(300) } }],
    [KIND.READING_TAKEN, "front.before.left", { camber: angle(-300), toe: angle(80) }],
    [KIND.PLAN_CHOSEN, "round.1.plan",
      { ...PLAN, plan: { left: null, right: { ring_set: "demo-54", pair: [1, 2], effect: [0, 0] } } }],
  ];
  const entries = [...SAID, ...other].map(entry);
  const job = new Job({ id: JOB, entries, checklist: CHECKLIST });
  equal(job.registration, "");
  equal(job.body("window.left.toe", KIND.FIELD_SET), null);
  equal(job.planEntry, null);
  deepEqual(frontOf(entries), []);
});

test("an entry of another kind is no value", () => {
  const folded = fold([entry([KIND.STEP_UNDONE, "vehicle.registration", {}])]);
  equal(settledAt(folded, "vehicle.registration", KIND.FIELD_SET), null);
  equal(fieldOf(folded, "vehicle.registration"), undefined);
});
