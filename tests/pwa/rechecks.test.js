// What jobs say of rechecking their fasteners, against the golden jobs that the server's is held to as well.

import { fold } from "/js/domain/job/fold.js";
import { doneWith, dueOf, RECHECK, rechecksOf } from "/js/domain/job/rechecks.js";
import { deepEqual, fixture, ok, test } from "./harness.js";

const { cases } = await fixture("golden/recheck.json");

test("every golden job asks for the same rechecks, done by the same people", () => {
  ok(cases.length >= 11);
  for (const { about, entries, rechecks } of cases) deepEqual(rechecksOf(fold(entries)), rechecks, about);
});

test("one more is done without forgetting the others, and one less leaves the others done", () => {
  const entry = (value) => ({ kind: "field-set", slot: RECHECK.DONE, body: { value } });
  const first = doneWith([], "b", { by: "Ada Lind", day: "2026-03-02" });
  deepEqual(first, { recheck_of: ["b"], by: "Ada Lind", day: "2026-03-02" });
  const both = doneWith([entry(first)], "a", { by: "Jo Berg", day: "2026-03-03" });
  deepEqual(both, { recheck_of: ["a", "b"], by: "Jo Berg", day: "2026-03-03" });
  deepEqual(doneWith([entry(both)], "a", null), { recheck_of: ["b"], by: "Jo Berg", day: "2026-03-03" });
  deepEqual(doneWith([entry(first)], "b", null), null);
  deepEqual(doneWith([entry(null), entry({ recheck_of: 3 })], "b", null), null);
});

const asked = (entry, day = null) => ({ entry, day, distance: null, source: "common-practice", page: "" });
const told = (job, entry, day = null, last_day = "2026-03-01") =>
  ({ job, registration: `TM ${job}`, vehicle: "Marrow Vale", last_day, ...asked(entry, day) });
const march = (day) => Date.UTC(2026, 2, day);

test("what is due in the shop stands once, by its day, then by how long ago the job was worked on", () => {
  const jobs = [
    { job: "1", registration: "TM 1", changed_ms: march(9), rechecks: [asked("a"), asked("b", "2026-05-01")] },
    // done here, and the shop does not know it yet
    { job: "2", registration: "TM 2", changed_ms: march(9), rechecks: [] },
    { job: "3" }, // never summed up
  ];
  const shop = [told("9", "c", "2026-04-30"), told("1", "b", "2026-05-01"), told("2", "d"), told("3", "e"),
    told("8", "f"), told("7", "g", null, null), told("6", "h", null, "2026-03-20")];
  const due = dueOf(jobs, shop);
  deepEqual(due.map(({ recheck, isHere }) => [recheck.entry, isHere]),
    [["c", false], ["b", true], ["g", false], ["f", false], ["a", true], ["h", false]]);
  deepEqual([due[0].job, due[0].recheck],
    [{ job: "9", registration: "TM 9", description: "Marrow Vale" }, asked("c", "2026-04-30")]);
});
