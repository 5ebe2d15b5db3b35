// A shop's past must not slow the phone: what is read and told for one answer or one page, counted at 10 and at 100
// known jobs in one run. Counts, never seconds.

import "./idb-counts.js";
import { fold } from "/js/domain/job/fold.js";
import { summaryOf } from "/js/domain/job/summary.js";
import { Lines } from "/js/store/lines.js";
import { openPhone } from "/js/store/phone.js";
import { Sync } from "/js/sync/sync.js";
import { deepEqual, equal, ok, test } from "./harness.js";
import { fieldSet, freshName, phoneParts, seededRandom } from "./store-parts.js";
import { SmallServer, syncParts } from "./sync-parts.js";

const ENTRIES_A_JOB = 12;
const { idbCounts } = globalThis;

/** A phone that has pulled so many jobs of another phone; `sync` syncs once more. */
async function knowing(jobs) {
  const parts = phoneParts();
  const phone = await openPhone(parts);
  const server = new SmallServer();
  const device = phone.newJob();
  for (let n = 1; n <= jobs * ENTRIES_A_JOB; n += 1) {
    const job = n % ENTRIES_A_JOB === 1 ? phone.newJob() : server.entries.at(-1).job;
    const body = { value: `value ${n}` };
    server.entries.push({
      format: 1, id: phone.newJob(), job, device, n, at: "2026-03-01T09:00:00.000+01:00", by: "Jonah Brask",
      kind: "field-set",
      slot: `vehicle.field-${n % ENTRIES_A_JOB}`, after: [], body,
    });
  }
  const heard = [];
  phone.onChange(({ jobs: named, cause }) => heard.push([named.length, cause]));
  const sync = () => new Sync(phone, syncParts(server, parts.clock)).now();
  const before = idbCounts.now();
  await sync();
  return { phone, parts, server, sync, heard, pulled: idbCounts.since(before), jobs };
}

const few = await knowing(10);
const many = await knowing(100);

test("an answer is told once, however many jobs it is about: first the lines of all, then ten jobs at a time", () => {
  const synced = ({ heard }) => heard.filter(([named, cause]) => named > 0 && cause === "synced")
    .map(([named]) => named);
  deepEqual(synced(many), [many.jobs, ...Array.from({ length: many.jobs / 10 }, () => 10)]);
  deepEqual(synced(few), [10, 10]);
});

test("a first pull asks the store as much for an entry, however many jobs it brings", () => {
  const anEntry = ({ pulled, jobs }) => pulled.requests / (jobs * ENTRIES_A_JOB);
  equal(many.pulled.entryPuts, many.jobs * ENTRIES_A_JOB);
  ok(anEntry(many) <= anEntry(few), `${anEntry(many)} requests an entry, ${anEntry(few)} with a tenth of the jobs`);
  equal(many.pulled.entries, 0, "no entry is read back");
});

/** Counts what `act` asks of the store. */
async function costOf(act) {
  const before = idbCounts.now();
  await act();
  return idbCounts.since(before);
}

// vehicle_digest("epoch-1", "registration", "QX41LTM") in server/api/fittings.py
const PLATE = "8ccf6d10687962be556339b92cc80397";

test("a hundred times the history: a vehicle is looked up at the same cost, a pull reads nothing back", async () => {
  const costs = [];
  for (const count of [10, 1000]) {
    const lines = new Lines({ name: freshName() });
    const row = (n) => ({ job: `job-${n}`, at: n, day: "2026-02-01", left: null, right: null,
      keys: [n === 3 ? PLATE : `other-${n}`] });
    const pull = await costOf(() =>
      lines.takeFittings({ fittings: Array.from({ length: count }, (_, n) => row(n)),
        next: { epoch: "epoch-1", at: count } }));
    let found = [];
    const look = await costOf(async () => { found = await lines.fittingsOf({ registration: "QX 41 LTM", vin: "" }); });
    deepEqual(found.map(({ job }) => job), ["job-3"]);
    costs.push({ pull: pull.records, writes: pull.writes, look });
  }
  deepEqual(costs[1], costs[0]);
});

test("a pull of history is kept in parts that a slow phone has time for", async () => {
  const lines = new Lines({ name: freshName() });
  const fittings = Array.from({ length: 2500 },
    (_, n) => ({ job: `job-${n}`, at: n + 1, day: "2026-02-01", left: null, right: null, keys: [`other-${n}`] }));
  const { writes } = await costOf(() => lines.takeFittings({ fittings, next: { epoch: "epoch-1", at: 2600 } }));
  equal(writes, 3);
  deepEqual(await lines.position(), { epoch: "epoch-1", at: 2600 });
});

test("an answer and the sync that follows read no other job, and cost the same with ten times the jobs", async () => {
  const costs = [];
  for (const { phone, sync } of [few, many]) {
    const job = phone.newJob();
    await phone.save(fieldSet(job, "vehicle.vin", "first"));
    await sync();
    costs.push(await costOf(async () => { await phone.save(fieldSet(job, "vehicle.vin", "second")); await sync(); }));
  }
  deepEqual(costs[1], costs[0]);
  ok(costs[0].entries <= 3, `${costs[0].entries} entries read: read back, sent, answered`);
});

test("the list is drawn from summaries: an entry is read once, then only those of a job that has changed", async () => {
  const costs = [];
  for (const { phone, jobs } of [few, many]) {
    await phone.jobs();
    const [{ job }, ...others] = await phone.jobs();
    ok(others.length >= jobs, "all are listed");
    const quiet = await costOf(() => phone.jobs());
    equal(quiet.entries, 0);
    const own = await phone.entries(job);
    await phone.save(fieldSet(job, "vehicle.description", "changed"));
    costs.push((await costOf(() => phone.jobs())).entries - own.length);
  }
  deepEqual(costs, [1, 1], "the entries of that job, with the one that was saved");
});

test("what comes later makes a summary stale; own work is derived first, the rest is told as it stood", async () => {
  const { phone, server, sync, jobs } = await knowing(30);
  equal((await phone.jobs({ most: 0 })).filter(({ isStale }) => isStale).length, 0,
    "jobs that came in one page are summed up with it");
  for (const job of await phone.jobIds()) {
    const stopped = { ...server.entries[0], kind: "job-stopped", slot: null, body: { reason: "part-awaited" } };
    server.entries.push({ ...stopped, job, id: phone.newJob(), n: server.entries.length + 1 });
  }
  await sync();
  const own = await phone.save(fieldSet(phone.newJob(), "vehicle.vin", "x"));
  const first = await phone.jobs({ most: 5 });
  equal(first.filter(({ isStale }) => !isStale).length, 5);
  equal(first.find(({ job }) => job === own.job).isStale, false);
  equal(first.filter(({ isStale, state }) => isStale && state === "open").length, jobs + 1 - 5);
  const states = (await phone.jobs()).map(({ state }) => state);
  equal(states.filter((state) => state === "stopped").length, jobs);
});

test("what is kept of the next step is found again for another checklist, and for open jobs alone", async () => {
  const { phone, server } = await knowing(4);
  server.entries.push({ ...server.entries[0], id: phone.newJob(), n: 9999, kind: "job-stopped", slot: null,
    body: { reason: "part-awaited" } });
  await new Sync(phone, syncParts(server, { ms: 0 })).now();
  const next = (by) => ({ by, bring: async () => (fold) => `${by} ${Object.keys(fold.slots).length}` });
  const said = async (by) => (await phone.jobs({ next: next(by) })).map((job) => job.next).sort();
  deepEqual(await said("one"), [null, "one 12", "one 12", "one 12"]);
  equal((await costOf(() => said("one"))).entries, 0);
  deepEqual(await said("two"), [null, "two 12", "two 12", "two 12"]);
});

test("jobs of the same vehicle are found without reading any other", async () => {
  const costs = [];
  for (const { phone } of [few, many]) {
    const alike = [];
    for (const typed of ["AB 12", "ab-12"]) {
      alike.push(phone.newJob());
      await phone.save(fieldSet(alike.at(-1), "vehicle.registration", typed));
    }
    const found = await phone.jobsAlike("registration_key", "AB12");
    deepEqual(found.map(({ job }) => job).sort(), alike.sort());
    costs.push(await costOf(() => phone.jobsAlike("registration_key", "AB12")));
  }
  deepEqual(costs[1], costs[0]);
  equal(costs[1].entries, 0);
});

test("letting go is thought of once an hour, from the summaries, and holds up no save while nothing is due",
    async () => {
  const { phone, server, sync } = many;
  await phone.jobs();
  const inTwoHours = async () => { server.time = new Date(Date.parse(server.time) + 7_200_000).toISOString();
    await sync(); };
  await inTwoHours();
  const cost = await costOf(inTwoHours);
  equal(cost.entries, 0);
  ok(cost.records >= many.jobs, "the summaries were looked at");
  const soonAfter = await costOf(sync);
  ok(soonAfter.records < many.jobs, `${soonAfter.records} records read in a sync within the hour`);
});

test("whatever is saved, pulled, stopped, reopened or brought: kept summaries say what the entries say", async () => {
  const { phone, server, sync } = await knowing(3);
  const random = seededRandom(7);
  const pick = (list) => list[random(1)[0] % list.length];
  const closing = [["job-stopped", { reason: "part-awaited" }], ["job-signed", { covers: [] }]];
  const own = [phone.newJob(), phone.newJob()];
  const others = [...new Set(server.entries.map(({ job }) => job))];
  const acts = [
    () => phone.save(fieldSet(pick([...own, ...others]),
      pick(["vehicle.registration", "vehicle.description", "vehicle.vin"]), pick(["AB 12", "ab12", "CD 3"]))),
    () => { const [kind, body] = pick(closing); return phone.save({ ...fieldSet(pick(own), null, null), kind, body });
      },
    () => server.entries.push({ ...pick(server.entries), id: phone.newJob(),
      n: server.entries.length + 1000, after: [] }),
    () => sync(),
    () => phone.jobs({ most: 1 }),
    () => phone.jobsAlike("registration_key", "AB12"),
  ];
  for (let count = 0; count < 120; count += 1) {
    await pick(acts)();
    if (count % 10 > 0) continue;
    for (const { job, unsent: _unsent, ...kept } of await phone.jobs()) {
      const entries = await phone.entries(job);
      const { next: _next, next_by: _by, held_ms: _held, own: _own, touched: _touched, isStale, isPart,
        ...said } = kept;
      deepEqual([said, isStale, isPart], [summaryOf(entries, fold(entries)), false, false]);
    }
    deepEqual((await phone.jobIds()).length, new Set((await phone.jobs()).map(({ job }) => job)).size);
  }
});

test("the next jobs are on their way while some are kept, each asked for once", async () => {
  const { server } = many;
  const parts = phoneParts();
  const phone = await openPhone(parts);
  let aheadOf = 0;
  const asked = [];
  server.meddle = async (path, init) => {
    if (path !== "/api/entries") return undefined;
    const { bring, whole } = JSON.parse(init.body);
    asked.push(...bring);
    if (whole.length > 0 && !(await phone.isHere(whole.at(-1)))) aheadOf += 1; // what came before is not kept yet
    return undefined;
  };
  await new Sync(phone, syncParts(server, parts.clock)).now();
  server.meddle = () => undefined;
  ok(aheadOf > 0, "nothing was asked for ahead");
  deepEqual([asked.length, new Set(asked).size], [(await phone.jobIds()).length, asked.length]);
});

test("without lines the next page comes while one is kept; what is saved meanwhile goes in between", async () => {
  const { server } = many;
  server.knowsLines = false;
  const parts = phoneParts();
  const phone = await openPhone(parts);
  const sinces = [];
  let aheadOf = 0;
  let saved = null;
  const pages = Math.ceil(server.entries.length / 500);
  for (let k = server.entries.length; k < 2600; k += 1)
    server.entries.push({ ...server.entries[0], id: phone.newJob(), n: k + 5000, slot: `a.${k}`, after: [] });
  server.meddle = async (path, init) => {
    if (path !== "/api/entries") return undefined;
    const { since, entries } = JSON.parse(init.body);
    const { since: kept } = await phone.syncStore.cursor();
    if ((since?.seq ?? 0) > (kept?.seq ?? 0)) aheadOf += 1;
    sinces.push([since?.seq ?? 0, entries.length]);
    if (sinces.length === 2) saved = await phone.save(fieldSet(phone.newJob(), "vehicle.vin", "x"));
    return undefined;
  };
  await new Sync(phone, syncParts(server, parts.clock)).now();
  server.meddle = () => undefined;
  ok(pages < sinces.length && aheadOf > 0, `${aheadOf} of ${sinces.length} pages asked for ahead`);
  deepEqual(sinces.map(([seq]) => seq), [...sinces.map(([seq]) => seq)].sort((a, b) => a - b), "no page twice");
  const sentIn = sinces.findIndex(([, count]) => count > 0);
  ok(sentIn > 0 && sentIn < sinces.length - 1, `sent in request ${sentIn} of ${sinces.length}`);
  ok(server.entries.some(({ id }) => id === saved.id));
  equal((await phone.jobIds()).length, new Set(server.entries.map(({ job }) => job)).size);
  equal((await phone.unsent()).entries, 0);
});
