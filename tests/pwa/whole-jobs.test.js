// A phone holds some jobs whole, and of the others a line: what comes, what may be written into, whatever is cut off,
// lost or old.

import { openPhone } from "/js/store/phone.js";
import { placeIn } from "/js/store/sync-place.js";
import { wholeIn } from "/js/store/whole-jobs.js";
import { bringJob } from "/js/sync/find-jobs.js";
import { Sync } from "/js/sync/sync.js";
import { Database } from "/js/store/database.js";
import { FaultyFactory } from "./faulty-database.js";
import { deepEqual, equal, ok, rejects, test } from "./harness.js";
import { fieldSet, phoneParts } from "./store-parts.js";
import { problem, run, SmallServer, syncParts } from "./sync-parts.js";

const DAY_MS = 24 * 3600 * 1000;
const PLATE = "vehicle.registration";
const sorted = (ids) => [...ids].sort();

/** A phone; `sync` syncs it once with the server and gives what the screen says. */
async function phoneAt(server, seed, more = {}) {
  const parts = phoneParts({ seed, ...more });
  parts.clock.ms = Date.parse(server.time);
  const phone = await openPhone(parts);
  return { parts, phone, lines: await phone.lines(), sync: async () => (await run(phone, server, parts.clock)).status };
}

/** What the phone says of itself: {jobs, proved, since}. */
function stateOf({ parts }) {
  return parts.database.read(["state", "summaries"], async (t) => {
    const [whole, place] = [await wholeIn(t), await placeIn(t)];
    return { whole, place, jobs: sorted(whole.jobs), proved: [...whole.jobs].filter((job) => !whole.unproved.has(job)),
      since: place.since };
  });
}

/** The one rule: of what the phone calls whole it has every entry that the server had up to the phone's place. */
async function checkWhole(server, one) {
  const { proved, since } = await stateOf(one);
  if (since === null || since.epoch !== server.epoch) return;
  for (const job of proved) {
    const had = server.entries.filter((entry, k) => k < since.seq && entry.job === job && !server.erased.has(entry.id))
      .map(({ id }) => id);
    const here = new Set((await one.phone.entries(job)).map(({ id }) => id));
    ok(had.every((id) => here.has(id)),
      `${job} is called whole and lacks ${had.filter((id) => !here.has(id)).length} of ${had.length}`);
  }
}

function close(job, kind = "job-signed") {
  return { job, kind, slot: null, after: [], body: kind === "job-signed" ? { covers: [] } : { reason: "part-awaited" },
    by: "Ada Lind" };
}

function reopen(job, signature) {
  return { job, kind: "job-reopened", slot: null, after: [], body: { reopens: [signature], reason: "rattles" },
    by: "Ada Lind" };
}

/** Two phones; the first has made so many jobs with a registration each, and sent them. */
async function twoPhones(count = 1, more = {}) {
  const server = new SmallServer();
  const a = await phoneAt(server, 1);
  const b = await phoneAt(server, 2, more);
  const jobs = [];
  for (let k = 0; k < count; k += 1) {
    jobs.push(a.phone.newJob());
    await a.phone.save(fieldSet(jobs[k], PLATE, `AB ${k}`));
    await a.phone.save(fieldSet(jobs[k], "vehicle.vin", `vin ${k}`));
  }
  await a.sync();
  return { server, a, b, jobs };
}

const linesOf = async ({ lines }) => Object.fromEntries((await lines.jobs.all()).map(({ job, state }) => [job, state]));

/** What the shop has of a job that another phone goes on with. */
function addForeign(server, job, count, slot = "x") {
  const device = crypto.randomUUID();
  for (let n = 1; n <= count; n += 1) {
    server.entries.push({
      format: 1, id: crypto.randomUUID(), job, device, n, at: "2026-03-02T08:00:00.000+01:00", by: "Jonah Brask",
      kind: "field-set",
      slot: `${slot}.${n}`, after: [], body: { value: n },
    });
  }
}

test("an open job comes whole, a closed one is a line with its registration", async () => {
  const { server, a, b, jobs: [open, closed] } = await twoPhones(2);
  await a.phone.save(close(closed));
  await a.sync();
  equal(await b.sync(), "idle");
  deepEqual((await stateOf(b)).jobs, [open]);
  deepEqual(await linesOf(b), { [open]: "open", [closed]: "signed" });
  equal((await b.lines.jobs.one(closed)).registration, "AB 1");
  deepEqual([(await b.phone.entries(closed)).length, (await b.phone.entries(open)).length], [0, 2]);
  await checkWhole(server, b);
});

test("an open job for which nothing came in 90 days stays a line, until it is taken along", async () => {
  const { server, b, jobs: [job] } = await twoPhones(1);
  server.countLines();
  const at = (days) => { server.time = new Date(Date.parse("2026-03-02T09:00:00Z") + days * DAY_MS).toISOString();
    b.parts.clock.ms = Date.parse(server.time); };
  at(90.5);
  equal(await b.sync(), "idle");
  deepEqual([await linesOf(b), (await stateOf(b)).jobs], [{ [job]: "open" }, []]);
  await bringJob(b.phone, job, server.fetch);
  deepEqual([await b.phone.isHere(job), (await stateOf(b)).proved], [true, []]);
  await b.phone.save(fieldSet(job, "vehicle.tank", "half"));
  equal(await b.sync(), "idle");
  deepEqual((await stateOf(b)).proved, [job]);
  ok(server.entries.some(({ slot }) => slot === "vehicle.tank"));
});

test("cut off after any request, a whole job is whole, and the next sync goes on where it was", async () => {
  const { server, a, jobs } = await twoPhones(7);
  for (const job of jobs.slice(5)) await a.phone.save(close(job));
  await a.sync();
  Object.assign(server, { page: 3, linesAPage: 2, broughtAtOnce: 2 });
  for (let cut = 1; cut <= 8; cut += 1) {
    const b = await phoneAt(server, 10 + cut);
    for (let count = 0, syncs = 0; syncs < 30; syncs += 1, count = 0) {
      server.meddle = (path) => (path === "/api/entries" && (count += 1) > cut ? new TypeError("cut") : undefined);
      const status = await b.sync();
      await checkWhole(server, b);
      if (status === "idle") break;
    }
    server.meddle = () => undefined;
    equal(await b.sync(), "idle");
    deepEqual((await stateOf(b)).proved.sort(), sorted(jobs.slice(0, 5)), `cut after ${cut}`);
    equal(Object.keys(await linesOf(b)).length, 7);
  }
});

test("while jobs are fetched the phone says how many are still to come", async () => {
  const { server } = await twoPhones(5);
  server.broughtAtOnce = 2;
  const b = await phoneAt(server, 3);
  const sync = new Sync(b.phone, syncParts(server, b.parts.clock));
  const said = [];
  sync.onChange(({ text, params }) => said.push(params.count ? `${text} ${params.count}` : text));
  await sync.now();
  deepEqual(said, ["sync.sending", "sync.fetching 5", "sync.fetching 3", "sync.fetching 1", "sync.idle"]);
});

test("killed between an answer's entries and its lines, the lines come again", async () => {
  const { server, a, b, jobs: [job] } = await twoPhones(1);
  await b.sync();
  await a.phone.save(close(job));
  await a.sync();
  const take = b.lines.jobs.take;
  b.lines.jobs.take = () => Promise.reject(new Error("killed"));
  await b.sync();
  deepEqual(await linesOf(b), { [job]: "open" });
  b.lines.jobs.take = take;
  await b.sync();
  deepEqual(await linesOf(b), { [job]: "signed" });
  await checkWhole(server, b);
});

test("a store that takes no lines holds nothing up", async () => {
  const { server, b, jobs } = await twoPhones(5);
  server.linesAPage = 2;
  b.lines.jobs.take = () => Promise.reject(new Error("no room for lines"));
  equal(await b.sync(), "idle");
  deepEqual([await linesOf(b), (await stateOf(b)).proved.sort()], [{}, sorted(jobs)],
    "what is open comes all the same");
  const own = await b.phone.save(fieldSet(b.phone.newJob(), PLATE, "CD 1"));
  equal(await b.sync(), "idle");
  ok(server.entries.some(({ id }) => id === own.id));
});

test("a job of 3,000 entries comes in parts, and is called whole with the last of them alone", async () => {
  const factory = new FaultyFactory();
  const { server, b, jobs: [job] } = await twoPhones(1, { factory });
  addForeign(server, job, 3000);
  const puts = [];
  const write = b.parts.database.write.bind(b.parts.database);
  let left = 5;
  b.parts.database.write = async (stores, body, bytes) => {
    if (stores.includes("entries") && stores.includes("summaries") && left-- === 0) throw new Error("killed");
    const done = await write(stores, body, bytes);
    puts.push([(await b.phone.entries(job)).length, await b.phone.isHere(job)]);
    return done;
  };
  await b.sync();
  const half = await b.phone.entries(job);
  ok(half.length > 0 && half.length < 3002, `${half.length} entries came before it was killed`);
  deepEqual([await b.phone.isHere(job), (await rejects(b.phone.save(fieldSet(job, "vehicle.tank", 1)))).code],
    [false, "job-not-here"]);
  deepEqual((await b.phone.jobs()).map(({ isPart }) => isPart), [true]);
  left = Infinity;
  equal(await b.sync(), "idle");
  deepEqual([(await b.phone.entries(job)).length, (await stateOf(b)).proved], [3002, [job]]);
  ok(puts.every(([count, isHere]) => !isHere || count === 3002), "whole before all of it was here");
});

test("what another phone writes while a job is being brought comes with it, or after it", async () => {
  const { server, b, jobs } = await twoPhones(4);
  Object.assign(server, { broughtAtOnce: 1, page: 2 });
  let n = 0;
  server.meddle = (path) => { if (path === "/api/entries" && (n += 1) < 12) for (const job of jobs)
    addForeign(server, job, 1, `round-${n}`); };
  await b.sync();
  await checkWhole(server, b);
  equal(await b.sync(), "idle");
  for (const job of jobs) equal((await b.phone.entries(job)).length,
    server.entries.filter((entry) => entry.job === job).length);
});

test("a job that begins while the place moves on is asked for once from its beginning", async () => {
  const { server, a, b, jobs: [job] } = await twoPhones(1);
  await b.sync();
  const same = a.phone.newJob();
  await a.phone.save(fieldSet(same, PLATE, "SAME 1"));
  await a.sync();
  server.meddle = () => new TypeError("cut");
  // as no two phones ever will
  await b.phone.save({ job: same, kind: "job-opened", slot: null, after: [], body: { checklist: 2 }, by: "Tom Reed" });
  deepEqual((await stateOf(b)).proved, [job]);
  server.meddle = () => undefined;
  addForeign(server, job, 2);
  equal(await b.sync(), "idle");
  equal((await b.phone.entries(same)).length, 2);
  await checkWhole(server, b);
});

test("whatever the place passes for a job that the request did not name makes it unproved", async () => {
  const { server, b, jobs: [job] } = await twoPhones(1);
  await b.sync();
  const request = await b.phone.syncStore.outgoing({ lines: null });
  addForeign(server, job, 1);
  await b.phone.syncStore.apply(server.exchange({ ...request, whole: [] }),
    { request: { ...request, whole: [] }, serverTime: 1, at: 1 });
  deepEqual((await stateOf(b)).proved, []);
  await checkWhole(server, b);
  await b.sync();
  equal((await b.phone.entries(job)).length, 3);
});

test("an answer to a request from before the phone began anew moves no place", async () => {
  const { server, b } = await twoPhones(2);
  await b.sync();
  const request = await b.phone.syncStore.outgoing();
  const answer = server.exchange(request);
  const { place } = await stateOf(b);
  await b.parts.database.write(["state"],
    (t) => t.put("state", { ...place, since: { ...place.since, seq: 1, id: server.entries[0].id } }));
  const { isOff } = await b.phone.syncStore.apply(answer, { request, serverTime: 1, at: 1 });
  deepEqual([isOff, (await stateOf(b)).since.seq], [true, 1]);
});

test("of two tabs one saves into a job while the other lets it leave: saved and kept, or not here and kept aside",
    async () => {
  for (const isSavedFirst of [true, false]) {
    const { server, a, jobs: [job] } = await twoPhones(1);
    const signed = await a.phone.save(close(job));
    await a.sync();
    server.backedUp = server.entries.length;
    const at = (days) => { a.parts.clock.ms = Date.UTC(2026, 2, 2, 9) + days * DAY_MS;
      server.time = new Date(a.parts.clock.ms).toISOString(); };
    at(40);
    // not yet
    await a.parts.database.write(["state"], (t) => t.put("state", { key: "pruned", server_time: a.parts.clock.ms }));
    await a.sync();
    const tab = await openPhone({ ...a.parts, database: new Database({ name: a.parts.name }) });
    await tab.saveDraft(`job.${job}`, "half typed");
    const leaving = () => a.phone.prune();
    const saving = () => tab.save(reopen(job, signed.id)).then(() => "saved", ({ code }) => code);
    const outcome = isSavedFirst ? [await saving(), (await leaving()).jobs] : [(await leaving()).jobs, await saving()];
    deepEqual(outcome, isSavedFirst ? ["saved", 0] : [1, "job-not-here"]);
    deepEqual([tab.rescued().length, await tab.draft(`job.${job}`)], [isSavedFirst ? 0 : 1, "half typed"]);
    const both = await Promise.all([saving(), leaving()]);
    ok(both[0] === "saved" ? await a.phone.isHere(job) : tab.rescued().length > 0, "neither saved nor kept aside");
  }
});

test("reopened while another phone has a line: it comes whole; signed again it is a line once backed up", async () => {
  const { server, a, b, jobs: [job] } = await twoPhones(1);
  const signed = await a.phone.save(close(job));
  await a.sync();
  await b.sync();
  deepEqual([await linesOf(b), await b.phone.isHere(job)], [{ [job]: "signed" }, false]);
  await a.phone.save(reopen(job, signed.id));
  await a.sync();
  await b.sync();
  deepEqual([await linesOf(b), (await b.phone.entries(job)).length], [{ [job]: "open" }, 4]);
  await a.phone.save(close(job));
  await a.sync();
  await b.sync();
  server.backedUp = server.entries.length;
  b.parts.clock.ms += 2 * 3600_000;
  server.time = new Date(b.parts.clock.ms).toISOString();
  await b.sync();
  deepEqual([await linesOf(b), await b.phone.isHere(job)], [{ [job]: "signed" }, false]);
});

test("both whole and without network, both reopen: both see both, as two whole copies do", async () => {
  const { server, a, b, jobs: [job] } = await twoPhones(1);
  await b.sync();
  const signed = await a.phone.save(close(job));
  await a.sync();
  await b.sync();
  for (const one of [a, b]) await one.phone.save(reopen(job, signed.id));
  for (const one of [a, b, a]) await one.sync();
  for (const one of [a, b]) equal((await one.phone.entries(job)).filter(({ kind }) => kind === "job-reopened").length,
    2);
  await checkWhole(server, a);
});

test("erased at the desk: line and job go; what was unsent goes out, and brings back what is left", async () => {
  const { server, a, b, jobs: [job] } = await twoPhones(1);
  await b.sync();
  const unsent = await b.phone.save(fieldSet(job, "vehicle.tank", "half"));
  server.erase(job);
  await a.sync();
  deepEqual([(await a.phone.entries(job)).length, await linesOf(a), await a.phone.jobIds()], [0, {}, []]);
  equal((await rejects(a.phone.save(fieldSet(job, "vehicle.tank", "full")))).code, "job-not-here");
  let count = 0;
  // then it asks without entries
  server.meddle = (path) => (path === "/api/entries" && (count += 1) === 1 ? problem(500, "server-fault") : undefined);
  equal(await b.sync(), "idle");
  ok(server.entries.some(({ id }) => id === unsent.id), "what was typed is not lost");
  for (const one of [b, a]) {
    equal(await one.sync(), "idle");
    deepEqual([(await one.phone.entries(job)).map(({ id }) => id), (await stateOf(one)).proved], [[unsent.id], [job]],
      "nothing else of it is left");
    await checkWhole(server, one);
  }
});

test("a restore from before the erasing brings it back to all phones", async () => {
  const { server, a, b, jobs: [job] } = await twoPhones(1);
  await b.sync();
  const kept = [...server.entries];
  server.erase(job);
  await a.sync();
  await b.sync();
  deepEqual([await a.phone.jobIds(), await b.phone.jobIds()], [[], []]);
  Object.assign(server, { entries: kept, erased: new Set(), epoch: "00000000-0000-4000-8000-00000000000f" });
  for (const one of [a, b]) {
    equal(await one.sync(), "idle");
    deepEqual([(await one.phone.entries(job)).length, await linesOf(one)], [2, { [job]: "open" }]);
  }
});

test("of an erased job an entry that the server had is not listed as refused when it goes out again", async () => {
  const { server, a, jobs: [job] } = await twoPhones(1);
  server.erase(job);
  const take = server.take;
  server.take = (entry) => (server.erased.has(entry.id) ? { id: entry.id, verdict: "refused", reason: "erased",
    text: "erased" } : take.call(server, entry));
  server.epoch = "00000000-0000-4000-8000-00000000000f"; // restored from a backup that is younger than the erasing
  equal(await a.sync(), "idle");
  deepEqual([await a.phone.refused(), await a.phone.jobIds()], [[], []]);
});

test("a restart empties the lines, and everything that is held whole goes out again", async () => {
  const { server, a, b, jobs: [open, closed] } = await twoPhones(2);
  await a.phone.save(close(closed));
  await a.sync();
  await b.sync();
  const keptByNobodyElse = server.entries.filter(({ job }) => job === open).map(({ id }) => id);
  Object.assign(server, { entries: [], epoch: "00000000-0000-4000-8000-00000000000f" });
  equal(await b.sync(), "idle");
  deepEqual(sorted(server.entries.map(({ id }) => id)), sorted(keptByNobodyElse));
  deepEqual(await linesOf(b), { [open]: "open" }, "of the closed one nothing is known any more");
  await a.sync();
  await b.sync();
  deepEqual(await linesOf(b), { [open]: "open", [closed]: "signed" });
});

test("lines that the browser threw away come again, all of them; those of another store count for nothing",
    async () => {
  const { server, a, b, jobs } = await twoPhones(3);
  await a.phone.save(close(jobs[2]));
  await a.sync();
  await b.sync();
  const before = await linesOf(b);
  await b.lines.keepOnly([]);
  deepEqual(await linesOf(b), {});
  await b.sync();
  deepEqual(await linesOf(b), before);
  // The other database is made anew and finds lines that are not its own.
  const fresh = await phoneAt(server, 9, { lines: { name: `${b.parts.name}-lines` } });
  const asked = server.requests.length;
  await fresh.sync();
  equal(server.requests[asked].lines, null);
  deepEqual(await linesOf(fresh), before);
});

test("a server without lines in between: nothing leaves or is whole too soon; a job in part is fetched", async () => {
  const { server, a, b, jobs: [known] } = await twoPhones(1);
  await b.sync();
  server.knowsLines = false;
  const begun = a.phone.newJob();
  await a.phone.save(fieldSet(begun, PLATE, "NEW 1"));
  await a.phone.save(fieldSet(known, "vehicle.tank", "half"));
  await a.sync();
  equal(await b.sync(), "idle");
  deepEqual([(await b.phone.entries(known)).length, (await b.phone.entries(begun)).length], [3, 1]);
  equal(await b.phone.isHere(begun), true);
  ok(server.asked.some(([, path]) => path === `/api/jobs/${begun}/entries`), "it was fetched by itself");
  equal((await b.phone.syncStore.cursor()).has_lines, false);
  const { since } = await stateOf(b);
  await a.phone.save(fieldSet(known, "vehicle.tank", "full"));
  await a.sync();
  server.knowsLines = true;
  equal(await b.sync(), "idle");
  ok((await stateOf(b)).since.seq > since.seq, "the place went on from where the server before had left it");
  deepEqual((await stateOf(b)).proved.sort(), sorted([known, begun]));
  deepEqual([(await b.phone.entries(known)).length, Object.keys(await linesOf(b)).length], [4, 2]);
  await checkWhole(server, b);
});

test("a new phone beside a server that knows no lines has every job by the old rule, cut off or not", async () => {
  const { server, a, jobs } = await twoPhones(4);
  server.knowsLines = false;
  server.page = 3;
  const b = await phoneAt(server, 4);
  let count = 0;
  server.meddle = (path) => (path === "/api/entries" && (count += 1) > 2 ? new TypeError("cut") : undefined);
  await b.sync();
  server.meddle = () => undefined;
  equal(await b.sync(), "idle");
  for (const job of jobs) deepEqual([(await b.phone.entries(job)).length, await b.phone.isHere(job)], [2, true]);
  ok(!server.asked.some(([, path]) => path.startsWith("/api/jobs/")), "none had to be fetched by itself");
  await a.phone.save(fieldSet(jobs[0], "vehicle.tank", "half"));
  await a.sync();
  server.knowsLines = true;
  equal(await b.sync(), "idle");
  deepEqual((await stateOf(b)).proved.sort(), sorted(jobs));
  await checkWhole(server, b);
});

/** What an older program leaves: its probe, and its position where the new one leaves none. */
function asOlderProgram({ parts }, change) {
  return parts.database.write(["state", "summaries", "entries"], async (t) => {
    t.put("state", { key: "probe", token: "older" });
    await change(t);
  });
}

test("data of the program before: every job can be worked on at once, and is asked for from its beginning",
    async () => {
  const { server, a, jobs } = await twoPhones(3);
  const { place } = await stateOf(a);
  await asOlderProgram(a, async (t) => {
    for (const key of ["whole", "place"]) t.delete("state", key);
    t.put("state", { ...(await t.get("state", "cursor")), since: place.since });
  });
  addForeign(server, jobs[0], 2); // it was passed over by the older rule
  const phone = await openPhone({ ...a.parts, database: new Database({ name: a.parts.name }) });
  deepEqual((await stateOf(a)).proved, []);
  for (const job of jobs) await phone.save(fieldSet(job, "vehicle.tank", "half"));
  equal((await run(phone, server, a.parts.clock)).status, "idle");
  deepEqual((await stateOf(a)).proved.sort(), sorted(jobs));
  equal((await phone.entries(jobs[0])).length, 5);
  const cursor = await a.parts.database.read(["state"], (t) => t.get("state", "cursor"));
  equal(cursor.since, null, "the program before would pull from the beginning");
});

test("an older program on these data: what it let go of is not believed here, nor what it pulled whole", async () => {
  const { server, a, b, jobs: [gone, kept] } = await twoPhones(2);
  await b.sync();
  const other = a.phone.newJob();
  await a.phone.save(fieldSet(other, PLATE, "AB 9"));
  await a.phone.save(fieldSet(other, "vehicle.vin", "9"));
  await a.sync();
  await asOlderProgram(b, async (t) => {
    for (const { id } of await t.allByIndex("entries", "by_job", gone)) t.delete("entries", id);
    t.delete("summaries", gone);
    const [entry] = server.entries.filter(({ job }) => job === other);
    t.put("entries", { id: entry.id, job: other, mine: false, held_at: 1, entry }); // the first page of two
    t.put("summaries", { job: other, touched: 1, stale: 1 });
    t.put("state", { ...(await t.get("state", "cursor")), since: server.placeAt(server.entries.length - 1) });
  });
  await b.phone.check();
  deepEqual((await stateOf(b)).jobs, sorted([kept, other]));
  equal(await b.sync(), "idle");
  for (const job of [gone, kept, other]) equal((await b.phone.entries(job)).length, 2);
  deepEqual((await stateOf(b)).proved.sort(), sorted([gone, kept, other]));
});

test("a tab of the program before that synced meanwhile is noticed at the next sync", async () => {
  const { server, b, jobs: [job] } = await twoPhones(1);
  await b.sync();
  await b.parts.database.write(["state"],
    async (t) => t.put("state", { ...(await t.get("state", "cursor")), since: server.placeAt(1) }));
  const request = await b.phone.syncStore.outgoing();
  deepEqual([(await stateOf(b)).proved, request.whole], [[], [job]]);
  equal(await b.sync(), "idle");
  deepEqual((await stateOf(b)).proved, [job]);
});

test("an entry that was refused, or parked and in no backup, keeps its closed job here", async () => {
  for (const verdict of ["refused", "parked"]) {
    const { server, a, jobs: [job] } = await twoPhones(1);
    const odd = await a.phone.save(fieldSet(job, "vehicle.tank", "half"));
    await a.phone.save(close(job));
    const take = server.take;
    server.take = (entry) => (entry.id === odd.id ? { id: entry.id, verdict, reason: "unknown-format", text: "later" }
      : take.call(server, entry));
    await a.sync();
    server.backedUp = server.entries.length;
    for (const days of [40, 41]) {
      a.parts.clock.ms = Date.UTC(2026, 2, 2, 9) + days * DAY_MS;
      server.time = new Date(a.parts.clock.ms).toISOString();
      await a.sync();
    }
    equal(await a.phone.isHere(job), true, verdict);
    if (verdict === "refused") continue;
    server.mark = () => 99; // what was set aside counts as held, in the backup too
    a.parts.clock.ms += 2 * 3600_000;
    server.time = new Date(a.parts.clock.ms).toISOString();
    await a.sync();
    equal(await a.phone.isHere(job), false);
  }
});

test("more whole jobs than can be named: the sync ends, work goes on, none is whole that was not named", async () => {
  const { server, a, jobs: [job] } = await twoPhones(1);
  const many = Array.from({ length: 5000 }, () => crypto.randomUUID());
  await a.parts.database.write(["state"],
    (t) => t.put("state", { key: "whole", jobs: [...many, job], unproved: [], along: {} }));
  await a.phone.save(fieldSet(job, "vehicle.tank", "half"));
  equal(await a.sync(), "idle");
  ok(server.requests.every(({ whole }) => whole.length <= 5000), "more than the server takes");
  ok(server.entries.some(({ slot }) => slot === "vehicle.tank"), "what was typed was sent");
  const { whole } = await stateOf(a);
  deepEqual([whole.jobs.size, whole.unproved.size > 0], [5001, true]);
  await checkWhole(server, a);
});

test("a phone paired anew after its pairing ended pulls everything from the beginning, and keeps no line", async () => {
  const { server, b, jobs } = await twoPhones(2);
  await b.sync();
  server.meddle = () => problem(401, "pairing-ended");
  await b.sync();
  deepEqual([await linesOf(b), (await stateOf(b)).jobs.length], [{}, 2], "in no backup, so it stays");
  server.meddle = () => undefined;
  equal(await b.sync(), "idle");
  deepEqual([Object.keys(await linesOf(b)).length, (await stateOf(b)).proved.sort()], [2, sorted(jobs)]);
});
