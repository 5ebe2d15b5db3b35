// The one open job: read once, moved on by what is saved here, and read again only when somebody else has written.

import { OpenJob } from "/js/ui/open-job.js";
import { deepEqual, equal, ok, test } from "./harness.js";

const entry = (id, job = "a") => ({ id, job });

/** A phone whose store is a list, and a job that only remembers what it was given. */
function parts() {
  const phone = { held: [], reads: 0, names: {},
    entries: async (job) => { phone.reads += 1; return phone.held.filter((each) => each.job === job); },
    ringSetNames: async () => phone.names, holdJob: async () => () => {} };
  const make = async ({ id, entries, names }) =>
    ({ id, names, given: entries.map((each) => each.id), apply(each) { this.given.push(each.id); } });
  return { phone, open: new OpenJob({ phone, make }) };
}

test("what is saved here is applied without reading the store", async () => {
  const { phone, open } = parts();
  phone.held = [entry("1")];
  const job = await open.job("a");
  phone.held.push(entry("2"));
  open.heard({ jobs: ["a"], cause: "saved" });
  open.apply(entry("2"));
  equal(await open.job("a"), job);
  deepEqual(job.given, ["1", "2"]);
  equal(phone.reads, 1);
});

test("a job that begins here is not read, and is current until somebody else writes", async () => {
  const { phone, open } = parts();
  const began = open.begin("a", Promise.resolve(entry("1")));
  equal(open.isCurrent("a"), false, "it is not there yet");
  open.heard({ jobs: ["a"], cause: "saved" });
  await began;
  deepEqual([(await open.job("a")).given, phone.reads, open.isCurrent("a")], [["1"], 0, true]);
  open.heard({ jobs: ["a"], cause: "synced" });
  equal(open.isCurrent("a"), false);
  const other = parts();
  await other.open.begin("b", Promise.resolve(null));
  equal(other.open.kept("b"), null, "its first entry could not be saved");
});

test("what another tab or sync wrote is applied to the same job, once", async () => {
  const { phone, open } = parts();
  const job = await open.job("a");
  phone.held = [entry("1"), entry("2")];
  open.heard({ jobs: ["a"], cause: "saved", elsewhere: true });
  equal(await open.job("a"), job);
  open.apply(entry("2"));
  open.heard({ jobs: ["b"], cause: "synced" });
  await open.job("a");
  deepEqual(job.given, ["1", "2"]);
  equal(phone.reads, 2, "another job's change is not read");
});

test("what is saved while the job is being read is not lost", async () => {
  const { phone, open } = parts();
  const reading = open.job("a");
  phone.held = [entry("1")]; // after the store was asked
  open.apply(entry("1"));
  await reading;
  const job = await open.job("a");
  deepEqual(job.given, ["1"]);
});

test("a job that was erased meanwhile, and one with other ring sets, are made anew", async () => {
  const { phone, open } = parts();
  phone.held = [entry("1"), entry("2")];
  const job = await open.job("a");
  phone.held = [entry("1")];
  open.heard({ jobs: ["a"], cause: "synced" });
  const erased = await open.job("a");
  ok(erased !== job);
  deepEqual(erased.given, ["1"]);
  phone.names = { "demo-54": "Demo 54" };
  open.heard({ jobs: [], cause: "synced" });
  deepEqual((await open.job("a")).names, phone.names);
});
