// What jobs say of rechecking their fasteners, against the golden jobs that the server's is held to as well.

import { fold } from "/js/domain/job/fold.js";
import { doneWith, RECHECK, rechecksOf } from "/js/domain/job/rechecks.js";
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
