// Rings that an earlier job left in the same vehicle are told of before anything is measured or fitted.

import { earlierRings } from "/js/domain/job/earlier-rings.js";
import { Job, PLANNED } from "/tests/checklist-job.js";
import { deepEqual, equal, test } from "/tests/harness.js";

const kept = (job, id, at) => ({ job: id, at, fold: job.fold });
const of = (registration, left, right) => new Job().field("vehicle.registration", registration).plan(1, left, right);
const signed = (job) => job.add(null, "job-signed", { covers: [] });

test("a finished job of the same registration, however it is written, tells its pairs; the newest counts", () => {
  const old = kept(signed(of("QX 41 LTM", PLANNED, PLANNED)), "a", "2026-01-01T08:00:00Z");
  const newer = kept(signed(of("qx-41ltm", PLANNED, null)), "b", "2026-03-01T08:00:00Z");
  const found = earlierRings([newer, old], "QX41 LTM", "own");
  deepEqual([found.at, found.left.pair, found.right], [newer.at, PLANNED.pair, null]);
});

test("the own job, an unfinished one, another vehicle and one without rings tell nothing", () => {
  const own = kept(signed(of("QX 41 LTM", PLANNED, null)), "own", "2026-01-01T08:00:00Z");
  const open = kept(of("QX 41 LTM", PLANNED, null), "a", "2026-01-01T08:00:00Z");
  const other = kept(signed(of("QX 42 LTM", PLANNED, null)), "b", "2026-01-01T08:00:00Z");
  equal(earlierRings([own, open, other], "QX 41 LTM", "own"), null);
  const taken = signed(of("QX 41 LTM", PLANNED, null).add("round.2.plan", "plan-chosen", { plan: { left: null, right: null }, open: ["left"] }));
  equal(earlierRings([kept(taken, "c", "2026-01-02T08:00:00Z")], "QX 41 LTM", "own"), null, "the pair came out again");
  equal(earlierRings([kept(signed(of("", PLANNED, null)), "d", "2026-01-02T08:00:00Z")], "", "own"), null);
});
