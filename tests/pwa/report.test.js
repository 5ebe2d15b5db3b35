// What the customer's report says of a job.

import { Job } from "/js/domain/job/living-job.js";
import { reportOf } from "/js/domain/job/report.js";
import { wheelFitted } from "/js/ui/words/ring-pair-words.js";
import { reportPage } from "/js/ui/report/report-page.js";
import { signSummary } from "/js/ui/report/sign-summary.js";
import { deepEqual, equal, ok, test } from "./harness.js";
import { checklist, PLANNED, SheetsJob } from "./sheets-job.js";

const angle = (mdeg) => ({ mdeg });
let count = 0;
const entry = (slot, kind, body, extra = {}) => {
  const id = `e${String((count += 1)).padStart(4, "0")}`;
  return { id, slot: slot ?? id, kind, body, after: [], by: "Iris Vance",
    at: `2026-03-0${1 + (count % 9)}T08:00:00.000+01:00`, ...extra };
};
const field = (slot, value) => entry(slot, "field-set", { value });
const reading = (slot, camber, toe) => entry(slot, "reading-taken", { camber: angle(camber), toe: angle(toe) });
const window = (slot, low, high) => field(slot, { low: angle(low), high: angle(high) });
const pair = (i, j) => ({ ring_set: "demo-54", pair: [i, j], effect: [600, -300] });
const plan = (round, left, right, more = {}) => entry(`round.${round}.plan`, "plan-chosen", {
  plan: { left, right, predicted: { left: [0, 0], right: [0, 0] }, axle: {} }, input: {},
  tables: { "demo-54": "abc" }, ...more,
});
const photo = (about) => entry(null, "photo-attached", { about, sha256: about });

const BASE = [window("window.left.camber", -1500, -500), window("window.total-toe", 50, 350),
  reading("base.left.1", -1640, 420), reading("base.right.1", -1120, 60)];
const report = (entries) => reportOf(new Job({ id: "job", entries, checklist }));
const row = (made, side, quantity) => made.rows.find((each) => each.side === side && each.quantity === quantity);

test("before and after with windows, the newest whole check readings counting", () => {
  const made = report([...BASE, plan(1, pair(12, 31), null), reading("round.1.check.left.1", -1040, 120),
    reading("round.1.check.right.1", -1120, 70)]);
  deepEqual(row(made, "left", "camber"), { side: "left", quantity: "camber", window: [-1500, -500], before: -1640,
    after: -1040 });
  deepEqual(row(made, null, "total-toe"),
    { side: null, quantity: "total-toe", window: [50, 350], before: 480, after: 190 });
  deepEqual(row(made, null, "thrust").after, 25);
  equal(row(made, null, "cross-camber"), undefined, "the maker gives none");
});

const READ_ONCE = [...BASE, plan(1, pair(12, 31), null), reading("round.1.check.left.1", -1040, 120),
  reading("round.1.check.right.1", -1120, 70)];

test("readings of an earlier round are not given for what was fitted after them", () => {
  const less = { left: [0, 0], right: [0, 0] };
  equal(row(report([...READ_ONCE, plan(2, pair(13, 30), null, { open: ["left"], less })]), "left", "camber").after,
    null);
  equal(row(report([...READ_ONCE, plan(2, null, null, { open: ["left"], less })]), "left", "camber").after, null,
    "the pair came out");
  equal(row(report([...READ_ONCE, plan(2, pair(13, 30), null), plan(2, pair(14, 30), null)]), "left", "camber").after,
    null, "people differ");
  equal(row(report([...READ_ONCE, plan(2, null, null, { open: [], less })]), "left", "camber").after, -1040,
    "nothing was done since");
});

test("who signs reads what was read of the last round, and of inside only where there is a window", () => {
  const words = { say: (quantity, mdeg) => String(mdeg), judge: () => "", lengthNote: () => "at 400 mm" };
  const app = { t: (key, params = {}) => `${key} ${Object.values(params).join(" ")}`, words };
  const said = (entries) => signSummary({ app, report: report(entries), setOf: () => null }).textContent;
  ok(said(READ_ONCE).includes("at 400 mm"), "a length without its diameter says nothing");
  ok(said(READ_ONCE).includes("-1040") && said(READ_ONCE).includes("ui.proof.all-inside"), said(READ_ONCE));
  const again = said([...READ_ONCE, plan(2, pair(13, 30), null, { open: ["left"] })]);
  ok(!again.includes("-1040") && again.includes("report.not-read") && !again.includes("all-inside"), again);
  const bare = said(READ_ONCE.filter(({ slot }) => !slot.startsWith("window.")));
  ok(bare.includes("-1040") && !bare.includes("all-inside"), bare);
});

test("what is fitted is the last pair of each wheel, whichever round put it there", () => {
  const made = report([...BASE, plan(1, pair(12, 31), pair(20, 44)),
    plan(2, pair(13, 30), null, { open: ["left"], less: { left: [0, 0], right: [0, 0] } })]);
  deepEqual([made.fitted.left.pair, made.fitted.right.pair, made.fitted.right.round, made.fitted.right.table],
    [[13, 30], [20, 44], 1, "abc"]);
  deepEqual(made.rounds.map(({ round, open }) => [round, open]), [[1, ["left", "right"]], [2, ["left"]]]);
  equal(row(made, "left", "camber").after, null);
});

const LESS = { left: [0, 0], right: [0, 0] };
const done = (slot) => entry(slot, "step-done", { hold: true });
const LEFT_BARE = [...BASE, plan(1, pair(12, 31), pair(20, 44)),
  plan(2, null, pair(13, 30), { open: ["left", "right"], less: LESS })];

test("a pair came out again when a step says so, and is in as long as that is only planned", () => {
  const planned = report(LEFT_BARE);
  deepEqual([planned.fitted.left.pair, planned.fitted.left.leaving, planned.taken_out], [[12, 31], true, []]);
  for (const step of ["pair-out", "hub-back"]) {
    const made = report([...LEFT_BARE, done(`round.2.fit.left.${step}`)]);
    deepEqual([made.fitted.left, made.taken_out, made.fitted.right.pair], [null, ["left"], [13, 30]], step);
  }
  const never = report([...BASE, plan(1, null, pair(20, 44))]);
  deepEqual([never.fitted.left, never.taken_out], [null, []]);
});

test("the photos of the last round come first", () => {
  const made = report([...LEFT_BARE, photo("fit.left.witness-line"), photo("fit.right.witness-line"),
    photo("round.2.fit.right.witness-line")]);
  equal(made.photos[0].body.about, "round.2.fit.right.witness-line");
});

test("lots: one line a number; rings that came out or never went in are said, all answers where people differ", () => {
  const lots = (...more) => report([...LEFT_BARE, field("prepare.left.ring-lot", "R2"), ...more]).lots;
  deepEqual(lots(), [{ side: "left", texts: ["R2"], state: "in" }], "planned to come out is still in");
  deepEqual(lots(done("round.2.fit.left.pair-out")), [{ side: "left", texts: ["R2"], state: "out" }]);
  deepEqual(lots(field("round.2.prepare.left.ring-lot", "R9")).at(-1),
    { side: "left", texts: ["R9"], state: "unused" });
  deepEqual(lots(field("choose.parts-lot", "bolts 7-31"), field("round.2.choose.parts-lot", "bolts 7-31"))
    .filter(({ side }) => !side),
    [{ side: null, texts: ["bolts 7-31"], state: "in" }]);
  const again = [field("prepare.right.ring-lot", "R5"), field("round.2.prepare.right.ring-lot", "R5"),
    done("round.2.fit.right.pair-out")];
  deepEqual(lots(...again).filter(({ side }) => side === "right"), [{ side: "right", texts: ["R5"], state: "in" }],
    "the same rings went in again");
  const refitted = [...BASE, plan(1, pair(12, 31), pair(20, 44)),
    plan(2, null, pair(20, 44), { open: ["right"], less: LESS }), field("prepare.right.ring-lot", "R5"),
    done("round.2.fit.right.pair-out")];
  const state = (answer) => report([...refitted, field("round.2.prepare.right.same-rings", answer)]).lots[0].state;
  deepEqual([state("other"), state("same")], ["out", "in"], "the very rings that came out went back");
  deepEqual(lots(field("prepare.left.ring-lot", "R3"))[0].texts, ["R3", "R2"], "two people differ");
});

test("a step that names a ring set has its name, never its id: the next one, and what a signature would lack", () => {
  const slot = "prepare.left.right-set";
  const job = new Job({ id: "job", entries: new SheetsJob().workUntil(slot).entries, checklist,
    names: { "demo-54": "Larkmoor 54" } });
  deepEqual([job.nextOpen().slot, job.nextOpen().params.ringSet], [slot, "Larkmoor 54"]);
  equal(reportOf(job).not_done.find((line) => line.slot === slot).row.params.ringSet, "Larkmoor 54");
});

test("the report and the signature say a pair in the same words, and rings alike are swapped freely", () => {
  const t = (key, params = {}) => [key, ...Object.values(params)].join(" ");
  const ring = { marks: 54, taper_mdeg: 550, thick_mark: 1 };
  const said = (outer, entries = READ_ONCE) =>
    wheelFitted({ t, report: report(entries), setOf: () => ({ name: "Demo", ring_set: { inner: ring, outer } }) },
      "left");
  equal(said({ ...ring }), "ui.pair.alike 12 31 Demo");
  equal(said({ ...ring, taper_mdeg: 500 }), "ui.pair 12 31 Demo");
  equal(said({ ...ring }, LEFT_BARE), "report.leaving ui.pair.alike 12 31 Demo");
});

test("parts that went in over all rounds, what is still to order, equipment and wrench", () => {
  const made = report([
    ...BASE, plan(1, pair(12, 31), null),
    field("choose.single-use", { "rings": "at-hand", "seal": "to-order", "bearing": "not-needed" }),
    plan(2, pair(12, 32), null), field("round.2.choose.single-use", { "rings": "not-needed", "hub-bolts": "at-hand" }),
    field("fit.parts-used", { "hub-bolts": "replaced" }),
    field("round.2.fit.parts-used", { "hub-bolts": "replaced", "clips": "replaced" }),
    field("base.equipment", "Four heads, checked 2026-01-10"), field("fit.wrench", "Wrench 3, checked 2026-02-01"),
    field("choose.parts-lot", "bolts 7-31"), field("prepare.left.ring-lot", "R2"),
    field("round.2.prepare.left.ring-lot", "R9"),
  ]);
  deepEqual([made.replaced, made.to_order], [["hub-bolts", "clips"], ["seal"]],
    "what merely lay ready was not replaced");
  deepEqual(made.lots.map(({ side, texts, state }) => [side, texts[0], state]),
    [[null, "bolts 7-31", "in"], ["left", "R2", "in"], ["left", "R9", "in"]]);
  deepEqual([made.equipment, made.wrench], ["Four heads, checked 2026-01-10", "Wrench 3, checked 2026-02-01"]);
});

test("what was not done: gone past with its reason, left open, and what the customer must be told", () => {
  const made = report([...BASE, plan(1, pair(12, 31), null),
    entry("fit.chocked", "hold-overridden", { reason: "On a pit with wheel stops" }),
    field("finish.front", "not-done")]);
  const past = made.not_done.find(({ slot }) => slot === "fit.chocked");
  deepEqual([past.row.id, past.row.wheel, past.reason], ["fit.chocked", null, "On a pit with wheel stops"]);
  ok(made.not_done.some(({ slot, reason }) => slot === "finish.road-test-result" && reason === null));
  deepEqual(made.told, ["front-not-done"]);
});

test("front readings stand beside; the proving photos come first", () => {
  const made = report([...BASE, reading("front.before.left", -500, 20), reading("front.after.left", -500, 60),
    photo("vehicle.found-photo"), photo("finish.photo"), photo("fit.left.witness-line")]);
  deepEqual(made.front.map(({ side, quantity, before, after }) => [side, quantity, before, after]),
    [["left", "camber", -500, -500], ["left", "toe", 20, 60]]);
  deepEqual(made.photos.map(({ body }) => body.about),
    ["fit.left.witness-line", "finish.photo", "vehicle.found-photo"]);
});

test("the time of the job is from its earliest entry to its latest, however they stand", () => {
  const at = (time) => entry(null, "note-written", { text: "" }, { at: `2026-03-01T${time}` });
  const made = report([at("09:27:00.000+01:00"), at("08:21:00.000+00:00"), at("09:41:00.000+01:00"),
    at("09:30:00.000+01:00"), at("09:20:00.000+01:00")]);
  deepEqual([made.first_at, made.last_at], ["2026-03-01T09:20:00.000+01:00", "2026-03-01T09:41:00.000+01:00"]);
});

test("stopped and signed are told apart, with the names of all who worked", () => {
  const stopped = report([...BASE, entry(null, "job-stopped", { reason: "hub-seized", vehicle_state: "apart-on-lift" },
    { by: "Jonah Brask" })]);
  deepEqual([stopped.state, stopped.stopped.reason, stopped.by],
    ["stopped", "hub-seized", ["Iris Vance", "Jonah Brask"]]);
  deepEqual(report([...BASE, entry(null, "job-signed", { covers: [] })]).signed_by, ["Iris Vance"]);
});

test("where nobody typed what tells how far the bolts hold, report and signature say so", () => {
  const typed = { at: [[55, 45], [55, 225]], thread: { diameter_mm: 12, pitch_mm: 1.5 }, engaged_mm: 20,
    metal: "steel" };
  const bolts = (known) => field("vehicle.bolts", { typed: {}, bolts: known });
  const unknown = (entries) => report(entries).engagement_unknown;
  equal(unknown(READ_ONCE), true);
  equal(unknown([...READ_ONCE, bolts(typed)]), false);
  equal(unknown([...READ_ONCE, bolts({ ...typed, metal: undefined })]), true);
  equal(unknown([...READ_ONCE, bolts({ ...typed, engaged_mm: undefined })]), true);
  equal(unknown([...BASE, plan(1, null, null)]), false, "no rings");
});

test("a ring set that is in doubt is named as soon as it is planned", () => {
  const doubted = plan(1, pair(12, 31), null);
  doubted.body.plan.doubts = { "demo-54": ["few-readings"] };
  const opened = entry(null, "job-opened", { checklist: 2 });
  const made = reportOf(new Job({ id: "job", entries: [opened, ...BASE, doubted], checklist,
    names: { "demo-54": "Larkmoor 54" } }));
  deepEqual([made.fitted.left, made.doubted], [null, { "demo-54": ["few-readings"] }]);
  ok(pageOf(new Job({ id: "job", entries: [opened, ...BASE, doubted], checklist, names: { "demo-54": "Larkmoor 54" } }))
    .at("report-doubted").textContent.includes("Larkmoor 54"));
});

const OTHER = { ...PLANNED, pair: [13, 30] };
const torquesOf = (job) => Object.fromEntries(reportOf(job)
  .torques.map(({ row: { slot }, value, sides }) => [slot, [value.source, sides.join()]]));
const discJob = () => new SheetsJob().workUntil("vehicle.rear-brake").set("vehicle.rear-brake", "disc");

/** The report's page of a job, each text as its key and what is put into it. */
function pageOf(job, more = {}) {
  job.entries.forEach((each, k) => { each.at ??= new Date(Date.UTC(2026, 2, 1, 8, k)).toISOString(); });
  const t = Object.assign((key, params = {}) => [key, ...Object.values(params)].join(" "),
    { has: () => true, number: String });
  const words = { say: (quantity, mdeg) => String(mdeg), judge: () => "", window: () => "", lengthNote: () => "" };
  const page = reportPage({ app: { t, words, locale: "en" }, report: reportOf(job), setOf: () => null, maps: [],
    photos: [], earlier: [], further: [], shop: null, ...more });
  return { page, at: (key) => page.querySelector(`[data-key="${key}"]`),
    lines: (key) => [...page.querySelectorAll(`[data-key="${key}"] li`)].map((li) => li.textContent) };
}

test("no ring, lot, bolt or torque stands as fitted whose row was not confirmed", () => {
  const job = discJob().workUntil("fit.left.rings-in").set("prepare.left.ring-lot", "R2")
    .set("choose.parts-lot", "bolts 7-31");
  let made = reportOf(job);
  deepEqual([made.fitted.left, made.taken_out, made.bolts, made.torques], [null, [], [], []],
    "the rings lie on the bench");
  deepEqual(made.lots.map(({ side, state }) => [side, state]), [[null, "unused"], ["left", "unused"]]);
  made = reportOf(job.workUntil("fit.left.tightened"));
  deepEqual([made.fitted.left.pair, made.fitted.left.closed, made.torques], [[12, 31], false, []]);
  const t = (key, params = {}) => [key, ...Object.values(params)].join(" ");
  equal(wheelFitted({ t, report: made, setOf: () => null }, "left"), "report.not-tightened ui.pair 12 31 demo-54");
  made = reportOf(job.workUntil("fit.left.bracket-bolts"));
  deepEqual([made.fitted.left.closed, made.fitted.right, made.lots.map(({ state }) => state)],
    [true, null, ["in", "in"]]);
  deepEqual(torquesOf(job), { "fit.torque": ["Service book", "left"] });
  deepEqual(torquesOf(job.workUntil("check.readings")), {
    "fit.torque": ["Service book", "left,right"], "torque.caliper": ["Service book", "left,right"],
    "torque.wheel": ["Service book", "left,right"],
  });
  job.workUntil("finish.sign").plan(2, OTHER, null, { open: ["left"], less: LESS });
  deepEqual(torquesOf(job)["fit.torque"][1], "left,right", "what is only planned again is still tight");
  job.tick("round.2.fit.eased", job.stepBody(job.at("round.2.fit.eased")));
  deepEqual([torquesOf(job)["torque.wheel"][1], torquesOf(job)["fit.torque"][1]], ["right", "left,right"]);
  job.tick("round.2.fit.left.wheel-off");
  made = reportOf(job);
  deepEqual(torquesOf(job)["fit.torque"][1], "right", "a wheel that was opened again is not tight");
  deepEqual([made.fitted.left.closed, made.fitted.left.leaving, made.bolts.map(({ side }) => side)],
    [false, true, ["right"]]);
  job.set("fit.torque", { value_nm: 90, text: "90", unit: "nm", source: "Service book", angle_deg: null });
  equal(torquesOf(job)["fit.torque"], undefined, "nobody tightened to what was typed afterwards");
});

test("each torque with angle and source, bolts with length and class, the wrench only where something was tightened",
    () => {
  const job = discJob().workUntil("fit.left.bolt-length");
  equal(pageOf(job).at("report-wrench"), null);
  job.lengthen(job.at("fit.left.bolt-length"),
    { new: true, length_mm: 62, was_mm: 55, class: "10.9", measured_mm: 18 });
  job.set("fit.torque", { value_nm: 60, text: "60", unit: "nm", source: "Service book, page 12", angle_deg: 90 })
    .workUntil("finish.sign");
  const { at } = pageOf(job);
  equal(at("report-fit.torque").textContent,
    "report.torque row.fit.torque.title ui.side.left, ui.side.right 60 ui.unit.nm "
      + "report.torque.angle 90 Service book, page 12");
  ok(at("report-torque.wheel").textContent.endsWith("Service book"), at("report-torque.wheel").textContent);
  equal(at("report-bolts-left").textContent,
    "report.bolts ui.side.left report.bolts.new fitting.mm 62 10.9; report.bolts.measured fitting.mm 18");
  equal(at("report-bolts-right").textContent,
    "report.bolts ui.side.right report.bolts.before report.not-noted; report.bolts.measured fitting.mm 18");
  ok(at("report-wrench") !== null);
  equal(at("report-parts").textContent, "report.replaced report.part.hub-bolts",
    "new bolts that were confirmed were replaced");
});

test("spacers that were put in stand under what is fitted, until the wheel is opened again", () => {
  const job = discJob().set("vehicle.caliper-bracket", "outboard-of-ear").workUntil("fit.left.spacers");
  deepEqual(reportOf(job).spacers, []);
  job.workUntil("finish.sign");
  deepEqual(reportOf(job).spacers.map(({ side, spacers }) => [side, spacers[0].mm])[0], ["left", 4.8]);
  const { at } = pageOf(job);
  equal(at("report-spacers-left").textContent, "report.spacers ui.side.left report.spacers.lug 1 fitting.mm 4.8");
  job.plan(2, OTHER, null, { open: ["left"], less: LESS }).tick("round.2.fit.left.wheel-off");
  deepEqual(reportOf(job).spacers.filter(({ side }) => side === "left"), []);
});

test("what is open comes first, before every figure, in full", () => {
  const job = new SheetsJob().workUntil("fit.chocked");
  job.add("fit.chocked", "hold-overridden", { reason: "On a pit" }).set("finish.front", "not-done");
  const { page, at, lines } = pageOf(job);
  const open = job.openRows();
  ok(open.length > 20, "more than any page would cut to");
  const isNamed = (row, line) => line.includes(`row.${row.id}.title`);
  deepEqual(open.filter((row, k) => !isNamed(row, lines("report-not-done")[k])).map(({ slot }) => slot), []);
  ok(lines("report-not-done").includes("warning.front-not-done"));
  equal(at("report-not-done").compareDocumentPosition(page.querySelector("table")), Node.DOCUMENT_POSITION_FOLLOWING);
});

test("what the customer agreed to, at which price, and what became of the complaint", () => {
  const yes = { findings: "Toe is out.", work: "Rings at both rear wheels.", price: "300 to 450", customer: "A. Person",
    risks_told: true, how: "by-phone" };
  const job = new SheetsJob().workUntil("consent");
  equal(pageOf(job).lines("report-agreed").length, 1, "complaint and readings were compared, nobody has agreed");
  job.add("consent", "consent-recorded", { ...yes, plan: job.planEntry.id }).workUntil("finish.sign");
  const said = pageOf(job).lines("report-agreed");
  ok(said[0].startsWith("report.agreed.by A. Person"), said[0]);
  deepEqual(said.slice(1, 3), ["report.agreed.work Rings at both rear wheels.", "report.agreed.price 300 to 450"]);
  deepEqual(said.slice(3), [
    "report.answer.base.complaint-agrees option.complaint.agrees",
    "report.answer.finish.road-test-result option.road-test.good",
    "report.answer.finish.steering-straight option.yes-straight.straight",
  ]);
  job.plan(1, OTHER, OTHER);
  ok(pageOf(job).lines("report-agreed")[0].startsWith("report.agreed.earlier A. Person"),
    "a yes to another plan is said to be one");
});

test("after a second round the photos show what is fitted now, older ones stand under their round", () => {
  const job = new SheetsJob().workUntil("finish.sign").photo("vehicle.found-photo");
  const round1 = reportOf(job);
  deepEqual([round1.earlier, round1.photos.length], [[], 4]);
  job.plan(2, OTHER, null, { open: ["left"], less: LESS }).tick("round.2.fit.left.wheel-off")
    .photo("round.2.fit.left.old-marks-photo").photo("round.2.fit.left.witness-line");
  job.entries.forEach((each, k) => { each.at = new Date(Date.UTC(2026, 2, 1, 8, k)).toISOString(); });
  const about = (photos) => photos.map(({ body }) => body.about);
  const { photos, earlier } = reportOf(job);
  deepEqual(about(photos), ["round.2.fit.left.witness-line", "fit.right.witness-line", "vehicle.found-photo"]);
  deepEqual(earlier.map((each) => [each.round, about(each.photos)]),
    [[2, ["round.2.fit.left.old-marks-photo"]], [1, ["fit.left.witness-line", "finish.photo"]]]);
  const changed = new SheetsJob().workUntil("fit.left.witness-line");
  changed.photo("fit.left.witness-line", { plan: changed.planEntry.id }).plan(1, OTHER, PLANNED);
  deepEqual(reportOf(changed).earlier.map((each) => about(each.photos)), [["fit.left.witness-line"]],
    "the photo shows another pair than the plan");
});

test("a photo for which there is no room is named, and one that is not here says why", () => {
  const job = new SheetsJob().workUntil("finish.sign");
  for (let k = 0; k < 5; k += 1) job.photo("vehicle.found-photo");
  const { photos, further } = reportOf(job);
  deepEqual([photos.length, further.length], [6, job.fold.photos.length - 6]);
  const { page, at } = pageOf(job,
    { photos: [{ url: null, about: "The line", away: "Erased." }], further: ["Found", "The door"] });
  equal(page.querySelector(".report-photos figure").textContent, "Erased.The line");
  equal(at("report-further").textContent, "report.further-photos Found; The door");
  equal(pageOf(job, { further: [] }).at("report-further"), null);
});

test("the shop's head stands first and its foot last; of a shop that has said nothing only the name", () => {
  const said = { name: "Ringworks", address: "Mill Road\nOldbridge", telephone: "555", footer: "Company 1",
    logo: "/l" };
  const { page, at } = pageOf(new SheetsJob(), { shop: said });
  equal(page.querySelector("p").textContent, "Ringworks");
  deepEqual([...at("report-shop").querySelectorAll("p")].map((each) => each.textContent),
    ["Ringworks", "Mill Road\nOldbridge", "report.telephone 555"]);
  deepEqual([page.lastElementChild.textContent, at("report-shop").querySelector("img").alt], ["Company 1", ""]);
  const bare = pageOf(new SheetsJob(), { shop: { name: "Ringworks" } });
  deepEqual([bare.at("report-shop").textContent, bare.at("report-foot")], ["Ringworks", null]);
  equal(pageOf(new SheetsJob()).at("report-shop"), null);
});

test("captions are whole, those of older photos too", async () => {
  const styles = document.createElement("link");
  const loaded = new Promise((resolve, reject) =>
    Object.assign(styles, { onload: resolve, onerror: reject, rel: "stylesheet", href: "/css/report.css" }));
  document.head.append(styles);
  await loaded;
  const about = "Photo of the witness line over flange and both rims, left wheel, ".repeat(4);
  const { page } = pageOf(new SheetsJob(),
    { photos: [{ url: "/now.png", about }], earlier: [{ round: 1, photos: [{ url: "/old.png", about }] }] });
  document.body.append(page);
  const captions = [...page.querySelectorAll("figcaption")];
  deepEqual(captions.map((each) => [each.textContent, each.clientHeight >= each.scrollHeight, each.clientHeight > 60]),
    [[about, true, true], [about, true, true]]);
  ok(page.textContent.includes("report.earlier 1"));
  page.remove();
  styles.remove();
});
