// What is in a vehicle by the record: this phone's own jobs and what the shop tells, the newest counts.

import { vehicleHistory } from "/js/domain/job/vehicle-history.js";
import { deepEqual, equal, test } from "/tests/harness.js";
import { PLANNED, SheetsJob } from "/tests/sheets-job.js";

const THIS = { job: "own", registration: "QX41 LTM", vin: "" };
const kept = (job, id, at, unsent = false) => {
  const signed = job.fold.signed.map((entry) => ({ ...entry, at }));
  return { job: id, fold: { ...job.fold, signed }, unsent };
};
const of = (registration, left, right, vin = null) => {
  const job = new SheetsJob().set("vehicle.registration", registration).plan(1, left, right);
  return vin ? job.set("vehicle.vin", vin) : job;
};
const signed = (job) => job.add(null, "job-signed", { covers: [] });
const row = (job, day, left = { ring_set: "demo-40", pair: [1, 2] }) => ({ job, day, left, right: null });
const ids = (history) => history && [history.job, history.isOwn];

test("a finished job of the same registration, however it is written, tells its pairs; the newest counts", () => {
  const old = kept(signed(of("QX 41 LTM", PLANNED, PLANNED)), "a", "2026-01-01T08:00:00Z");
  const newer = kept(signed(of("qx-41ltm", PLANNED, null)), "b", "2026-03-01T08:00:00Z");
  const found = vehicleHistory(THIS, [old, newer], []);
  deepEqual([found.day, found.left.pair, found.right, found.left.seen], ["2026-03-01", PLANNED.pair, null, false]);
});

test("the own job, an unfinished one, another vehicle and one without rings tell nothing", () => {
  const own = kept(signed(of("QX 41 LTM", PLANNED, null)), "own", "2026-01-01T08:00:00Z");
  const open = kept(of("QX 41 LTM", PLANNED, null), "a", "2026-01-01T08:00:00Z");
  const other = kept(signed(of("QX 42 LTM", PLANNED, null)), "b", "2026-01-01T08:00:00Z");
  equal(vehicleHistory(THIS, [own, open, other], []), null);
  const taken = of("QX 41 LTM", PLANNED, null)
    .add("round.2.plan", "plan-chosen", { plan: { left: null, right: null }, open: ["left"] });
  taken.tick("round.2.fit.left.pair-out");
  equal(vehicleHistory(THIS, [kept(signed(taken), "c", "2026-01-02T08:00:00Z")], []), null, "the pair came out again");
  equal(vehicleHistory({ ...THIS, registration: "" },
    [kept(signed(of("", PLANNED, null)), "d", "2026-01-02T08:00:00Z")], []), null);
});

test("the shop's newest job counts before an older one here, and one that nobody has sent yet before it", () => {
  const here = (day, unsent) => kept(signed(of("QX 41 LTM", PLANNED, null)), "here", `${day}T08:00:00Z`, unsent);
  deepEqual(ids(vehicleHistory(THIS, [here("2026-01-01", false)], [row("shop", "2026-02-01")])), ["shop", false]);
  deepEqual(ids(vehicleHistory(THIS, [here("2026-03-01", true)], [row("shop", "2026-02-01")])), ["here", true]);
  deepEqual(ids(vehicleHistory(THIS, [here("2026-01-01", true)], [row("shop", "2026-02-01")])), ["shop", false]);
  deepEqual(ids(vehicleHistory(THIS, [here("2026-02-01", false)], [row("here", "2026-02-01")])), ["here", true]);
  equal(vehicleHistory(THIS, [here("2026-01-01", false)], [row("shop", "2026-02-01", null)]), null,
    "they came out since");
  equal(vehicleHistory(THIS, [], [row("own", "2026-02-01")]), null);
});

test("a plate that was moved to another vehicle tells nothing of that one", () => {
  const moved = kept(signed(of("QX 41 LTM", PLANNED, null, "VIN A1")), "a", "2026-01-01T08:00:00Z");
  equal(vehicleHistory({ ...THIS, vin: "VIN B2" }, [moved], []), null);
  deepEqual(ids(vehicleHistory({ ...THIS, vin: "vin-a1" }, [moved], [])), ["a", true]);
  deepEqual(ids(vehicleHistory(THIS, [moved], [])), ["a", true]);
});
