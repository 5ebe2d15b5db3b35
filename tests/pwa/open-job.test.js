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
});

test("a job that cannot begin leaves the open one open, held, and to be looked at again", async () => {
  const noNames = (phone) => {
    phone.ringSetNames = () => Promise.reject(new Error("no store"));
    return Promise.resolve(entry("2", "b"));
  };
  for (const fails of [() => Promise.resolve(null), noNames]) {
    const { phone, open } = parts();
    const held = [];
    phone.holdJob = async (id) => { held.push(id); return () => held.splice(held.indexOf(id), 1); };
    phone.held = [entry("1")];
    await open.job("a");
    await open.begin("b", fails(phone)).catch(() => {});
    deepEqual([held, open.kept("b"), open.isCurrent("a")], [["a"], null, false]);
  }
});

test("what is heard while a job begins is looked at again", async () => {
  const { open } = parts();
  const began = open.begin("a", Promise.resolve(entry("1")));
  open.heard({ jobs: [], cause: "synced" });
  await began;
  equal(open.isCurrent("a"), false);
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
