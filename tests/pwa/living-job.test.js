// The living job: one fold step for each entry gives what folding all of them gives; what is derived is derived once.

import { fold, liveIds } from "/js/domain/job/fold.js";
import { Job } from "/js/domain/job/living-job.js";
import { sheetsOf } from "/js/domain/job/sheets.js";
import { checklist, PLANNED, SheetsJob } from "/tests/sheets-job.js";
import { seededWhole } from "/tests/random.js";
import { deepEqual, equal, fixture, ok, test } from "/tests/harness.js";

const { cases } = await fixture("golden/fold.json");
const KINDS = ["field-set", "step-done", "step-undone", "plan-chosen", "photo-attached", "note-written", "job-stopped",
  "job-signed", "job-reopened", "field-weighed"];
const OWN_SLOT = ["photo-attached", "note-written", "job-stopped", "job-signed", "job-reopened"];
const SLOTS = ["vehicle.vin", "fit.chocked", "round.2.plan", "constructor"];

function livingFold(entries) {
  return new Job({ id: "job", entries, checklist });
}

function agrees(entries, note) {
  const job = livingFold(entries);
  deepEqual(job.fold, fold(entries), note);
  deepEqual(job.liveIds, liveIds(entries), note);
}

function shuffled(list, whole) {
  const mixed = [...list];
  for (let k = mixed.length - 1; k > 0; k -= 1) {
    const other = whole(0, k);
    [mixed[k], mixed[other]] = [mixed[other], mixed[k]];
  }
  return mixed;
}

/**
 * A history in which people answer alike and apart, take back, sign, reopen, and newer programs write what nobody
 * knows.
 */
function randomHistory(whole) {
  const entries = [];
  const count = whole(1, 40);
  for (let k = 0; k < count; k += 1) {
    const kind = KINDS[whole(0, KINDS.length - 1)];
    const id = `${String.fromCharCode(97 + whole(0, 25))}${k}`;
    const earlier = entries.filter(() => whole(0, 4) === 0).map((entry) => entry.id);
    const after = whole(0, 9) === 0 ? [...earlier, "not-here-yet", id] : earlier;
    const body = { value: whole(0, 1), covers: earlier, reopens: earlier, plan: { left: null, right: null } };
    entries.push({ id, kind, slot: OWN_SLOT.includes(kind) ? id : SLOTS[whole(0, SLOTS.length - 1)],
      after: whole(0, 19) === 0 ? "all" : after, body });
  }
  return entries;
}

test("step by step it is the golden fold, in any order and with repetitions", () => {
  ok(cases.length >= 90);
  const whole = seededWhole(7);
  for (const { about, entries } of cases) {
    agrees(entries, about);
    for (let turn = 0; turn < 5; turn += 1) agrees(shuffled([...entries, ...entries], whole), about);
  }
});

test("recorded entries of a released phone, in the order of writing and in others", async () => {
  const list = await (await fetch("/fixtures/entries/v1/SHA256SUMS")).text();
  const entries = await Promise.all(list.trim().split("\n")
    .map((line) => fixture(`entries/v1/${line.split("  ")[1]}`)));
  const whole = seededWhole(3);
  agrees(entries, "as written");
  for (let turn = 0; turn < 10; turn += 1) agrees(shuffled(entries, whole), `turn ${turn}`);
});

test("random histories, after every single step", () => {
  const whole = seededWhole(11);
  for (let turn = 0; turn < 150; turn += 1) {
    const entries = shuffled(randomHistory(whole), whole);
    const job = livingFold([]);
    entries.forEach((entry, k) => {
      job.apply(entry);
      deepEqual(job.fold, fold(entries.slice(0, k + 1)), `history ${turn}, step ${k}`);
    });
  }
});

test("what was handed out does not change under the hands of who holds it", () => {
  const job = new SheetsJob().set("vehicle.registration", "AB 123");
  const [before, text] = [job.fold, JSON.stringify(job.fold)];
  job.set("vehicle.registration", "AB 124").photo("vehicle.found-photo");
  equal(JSON.stringify(before), text);
  ok(job.fold !== before);
});

test("an entry that is known changes nothing, a new one counts the version on", () => {
  const job = new SheetsJob().set("vehicle.registration", "AB 123");
  const { version, sheets, rows } = job;
  equal(job.apply(job.entries[0]), false);
  equal(job.version, version);
  ok(job.sheets === sheets && job.rows === rows, "derived once");
  job.set("vehicle.description", "Van");
  equal(job.version, version + 1);
  ok(job.sheets !== sheets, "derived anew");
});

test("the rows of a job are those of the sheets of its fold, whatever came in between", () => {
  const whole = seededWhole(5);
  const job = new SheetsJob();
  const stamps = (sheets) => sheets.flatMap(({ rows, key, state, left }) =>
    [`${key} ${state} ${left}`, ...rows.map(({ slot, stamp }) => `${slot} ${stamp}`)]);
  for (let count = 0; count < 120; count += 1) {
    const open = job.rows.filter(({ state, isAsked }) => state === "open" && isAsked);
    if (open.length === 0) break;
    const before = job.rows.length;
    job.confirm(open[whole(0, open.length - 1)]);
    ok(before > 0 && job.rows.length > 0);
    deepEqual(stamps(job.sheets), stamps(sheetsOf(checklist, fold(job.entries))), `after ${count} rows`);
  }
});

test("a row's stamp differs when it has to be shown anew, and only then", () => {
  const job = new SheetsJob().workUntil("fit.chocked");
  const stamps = () => new Map(job.rows.map(({ slot, stamp }) => [slot, stamp]));
  const before = stamps();
  job.confirm(job.at("fit.chocked"));
  const after = stamps();
  const changed = [...after.keys()].filter((slot) => before.get(slot) !== after.get(slot));
  ok(changed.includes("fit.chocked") && changed.includes("fit.plates-pinned"), "the hold, and what it freed");
  ok(!changed.some((slot) => slot.startsWith("vehicle.") || slot.startsWith("prepare.")), changed.join());
});

test("slots, rounds and readings are asked of the job by name", () => {
  const job = new SheetsJob().workUntil("finish.front");
  equal(job.slotOf("fit.hub-supported", { wheel: "left" }), "fit.left.hub-supported");
  equal(job.slotOf("fit.hub-supported", { wheel: "left", round: 3 }), "round.3.fit.left.hub-supported");
  equal(job.slotOf("choose.plan"), "round.1.plan");
  equal(job.slotOf("fit.torque", { round: 2 }), "fit.torque");
  equal(job.readings("base").left.camber, -1640);
  equal(job.windows().left.toe[1], 200);
  equal(job.registration, "as asked");
  deepEqual(job.planned().plan.left, PLANNED);
  job.plan(2, null, PLANNED, { open: ["right"] });
  equal(job.round, 2);
  equal(job.sheet("round.2.wheel.right").wheel, "right");
  equal(job.sheet("wheel.right").rows.length > 20, true, "the first round's, for looking back");
  equal(job.row("fit.right.tightened").state, "done");
  equal(job.row("round.2.fit.right.tightened").state, "locked");
  equal(job.slotOf("choose.plan"), "round.2.plan");
});

test("one entry into a job of 150 rows costs one fold step and one expansion", () => {
  const job = new SheetsJob().workUntil("finish.sign");
  ok(job.rows.length > 130, `${job.rows.length} rows`);
  const texts = Array.from({ length: 60 }, (_, k) => `note ${k}`);
  const took = texts.map((text) => {
    const start = performance.now();
    job.set("vehicle.complaint", text);
    ok(job.rows.length > 130);
    return performance.now() - start;
  }).sort((a, b) => a - b);
  // of 1 ms on an idle machine: ten times that is another algorithm
  ok(took[6] < 10, `the quickest tenth took ${took[6]} ms`);
});

test("an entry's body says what its answer speaks of: the plan of its rings, the support that it ends", () => {
  const job = new SheetsJob().workUntil("fit.left.witness-line");
  const plan = job.planEntry.id;
  const photo = { about: "fit.left.witness-line", sha256: "s" };
  deepEqual(job.entryBody(job.at("fit.left.witness-line"), "photo-attached", photo), { ...photo, plan });
  deepEqual(job.entryBody(job.at("fit.left.faces"), "field-set", { value: "flat" }), { value: "flat", plan });
  deepEqual(job.entryBody(job.at("vehicle.tyres"), "field-set", { value: "right" }), { value: "right" });
  deepEqual(job.entryBody(job.at("fit.left.read-back"), "step-done", { read: {} }), { hold: true, plan, read: {} });
  deepEqual(job.entryBody(job.at("vehicle.pressures"), "step-done"), { hold: false });
  deepEqual(job.entryBody(job.at("fit.left.top-marked"), "hold-overridden", { reason: "level" }), { reason: "level" });
  const support = job.live("fit.supported")[0].id;
  deepEqual(job.entryBody(job.at("fit.pedal"), "step-done"), { hold: true, plan, lift: support });
});

test("a photo of the line across another pair proves nothing of this one", () => {
  const slot = "fit.left.witness-line";
  const job = new SheetsJob().workUntil(slot);
  job.photo(slot, { plan: job.planEntry.id });
  equal(job.at(slot).state, "done");
  job.plan(1, { ...PLANNED, pair: [20, 44] }, PLANNED);
  ok(job.at(slot).state !== "done");
  equal(job.photos(slot).length, 1, "it stays to be seen");
});
