// What the customer's report says of a job.

import { fold } from "/js/domain/job/fold.js";
import { reportOf } from "/js/domain/job/report.js";
import { JobModel } from "/js/ui/job-model.js";
import { wheelFitted } from "/js/ui/words/ring-pair-words.js";
import { signSummary } from "/js/ui/report/sign-summary.js";
import { Job, checklist } from "./checklist-job.js";
import { deepEqual, equal, ok, test } from "./harness.js";

const angle = (mdeg) => ({ mdeg });
let count = 0;
const entry = (slot, kind, body, extra = {}) => {
  const id = `e${String((count += 1)).padStart(4, "0")}`;
  return { id, slot: slot ?? id, kind, body, after: [], by: "Iris Vance", at: `2026-03-0${1 + (count % 9)}T08:00:00.000+01:00`, ...extra };
};
const field = (slot, value) => entry(slot, "field-set", { value });
const reading = (slot, camber, toe) => entry(slot, "reading-taken", { camber: angle(camber), toe: angle(toe) });
const window = (slot, low, high) => field(slot, { low: angle(low), high: angle(high) });
const pair = (i, j) => ({ ring_set: "demo-54", pair: [i, j], effect: [600, -300] });
const plan = (round, left, right, more = {}) => entry(`round.${round}.plan`, "plan-chosen", {
  plan: { left, right, predicted: { left: [0, 0], right: [0, 0] }, axle: {} }, input: {}, tables: { "demo-54": "abc" }, ...more,
});
const photo = (about) => entry(null, "photo-attached", { about, sha256: about });

const BASE = [window("window.left.camber", -1500, -500), window("window.total-toe", 50, 350), reading("base.left.1", -1640, 420), reading("base.right.1", -1120, 60)];
const report = (entries) => reportOf({ checklist, fold: fold(entries), entries });
const row = (made, side, quantity) => made.rows.find((each) => each.side === side && each.quantity === quantity);

test("before and after with windows, the newest whole check readings counting", () => {
  const made = report([...BASE, plan(1, pair(12, 31), null), reading("round.1.check.left.1", -1040, 120), reading("round.1.check.right.1", -1120, 70)]);
  deepEqual(row(made, "left", "camber"), { side: "left", quantity: "camber", window: [-1500, -500], before: -1640, after: -1040 });
  deepEqual(row(made, null, "total-toe"), { side: null, quantity: "total-toe", window: [50, 350], before: 480, after: 190 });
  deepEqual(row(made, null, "thrust").after, 25);
  equal(row(made, null, "cross-camber"), undefined, "the maker gives none");
});

const READ_ONCE = [...BASE, plan(1, pair(12, 31), null), reading("round.1.check.left.1", -1040, 120), reading("round.1.check.right.1", -1120, 70)];

test("readings of an earlier round are not given for what was fitted after them", () => {
  const less = { left: [0, 0], right: [0, 0] };
  equal(row(report([...READ_ONCE, plan(2, pair(13, 30), null, { open: ["left"], less })]), "left", "camber").after, null);
  equal(row(report([...READ_ONCE, plan(2, null, null, { open: ["left"], less })]), "left", "camber").after, null, "the pair came out");
  equal(row(report([...READ_ONCE, plan(2, pair(13, 30), null), plan(2, pair(14, 30), null)]), "left", "camber").after, null, "people differ");
  equal(row(report([...READ_ONCE, plan(2, null, null, { open: [], less })]), "left", "camber").after, -1040, "nothing was done since");
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
  const made = report([...BASE, plan(1, pair(12, 31), pair(20, 44)), plan(2, pair(13, 30), null, { open: ["left"], less: { left: [0, 0], right: [0, 0] } })]);
  deepEqual([made.fitted.left.pair, made.fitted.right.pair, made.fitted.right.round, made.fitted.right.table], [[13, 30], [20, 44], 1, "abc"]);
  deepEqual(made.rounds.map(({ round, open }) => [round, open]), [[1, ["left", "right"]], [2, ["left"]]]);
  equal(row(made, "left", "camber").after, null);
});

const LESS = { left: [0, 0], right: [0, 0] };
const done = (slot) => entry(slot, "step-done", { hold: true });
const LEFT_BARE = [...BASE, plan(1, pair(12, 31), pair(20, 44)), plan(2, null, pair(13, 30), { open: ["left", "right"], less: LESS })];

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
  const made = report([...LEFT_BARE, photo("fit.left.witness-line"), photo("fit.right.witness-line"), photo("round.2.fit.right.witness-line")]);
  equal(made.photos[0].body.about, "round.2.fit.right.witness-line");
});

test("lots: one line for one number, rings that came out or never went in said so, and every answer where people differ", () => {
  const lots = (...more) => report([...LEFT_BARE, field("prepare.left.ring-lot", "R2"), ...more]).lots;
  deepEqual(lots(), [{ side: "left", texts: ["R2"], state: "in" }], "planned to come out is still in");
  deepEqual(lots(done("round.2.fit.left.pair-out")), [{ side: "left", texts: ["R2"], state: "out" }]);
  deepEqual(lots(field("round.2.prepare.left.ring-lot", "R9")).at(-1), { side: "left", texts: ["R9"], state: "unused" });
  deepEqual(lots(field("choose.parts-lot", "bolts 7-31"), field("round.2.choose.parts-lot", "bolts 7-31")).filter(({ side }) => !side),
    [{ side: null, texts: ["bolts 7-31"], state: "in" }]);
  const again = [field("prepare.right.ring-lot", "R5"), field("round.2.prepare.right.ring-lot", "R5"), done("round.2.fit.right.pair-out")];
  deepEqual(lots(...again).filter(({ side }) => side === "right"), [{ side: "right", texts: ["R5"], state: "in" }], "the same rings went in again");
  const refitted = [...BASE, plan(1, pair(12, 31), pair(20, 44)), plan(2, null, pair(20, 44), { open: ["right"], less: LESS }), field("prepare.right.ring-lot", "R5"), done("round.2.fit.right.pair-out")];
  const state = (answer) => report([...refitted, field("round.2.prepare.right.same-rings", answer)]).lots[0].state;
  deepEqual([state("other"), state("same")], ["out", "in"], "the very rings that came out went back");
  deepEqual(lots(field("prepare.left.ring-lot", "R3"))[0].texts, ["R3", "R2"], "two people differ");
});

test("a step that names a ring set has its name, never its id: the next one, and what a signature would lack", () => {
  const slot = "prepare.left.right-set";
  const job = new JobModel("job", new Job().workUntil(slot).entries, checklist, { "demo-54": "Larkmoor 54" });
  deepEqual([job.next().slot, job.next().params.ringSet], [slot, "Larkmoor 54"]);
  equal(reportOf(job).not_done.find((step) => step.slot === slot).params.ringSet, "Larkmoor 54");
});

test("the report and the signature say a pair in the same words, and rings alike are swapped freely", () => {
  const t = (key, params = {}) => [key, ...Object.values(params)].join(" ");
  const ring = { marks: 54, taper_mdeg: 550, thick_mark: 1 };
  const said = (outer, entries = READ_ONCE) => wheelFitted({ t, report: report(entries), setOf: () => ({ name: "Demo", ring_set: { inner: ring, outer } }) }, "left");
  equal(said({ ...ring }), "ui.pair.alike 12 31 Demo");
  equal(said({ ...ring, taper_mdeg: 500 }), "ui.pair 12 31 Demo");
  equal(said({ ...ring }, LEFT_BARE), "report.leaving ui.pair.alike 12 31 Demo");
});

test("parts that went in over all rounds, what is still to order, equipment and wrench", () => {
  const made = report([
    ...BASE, plan(1, pair(12, 31), null), field("choose.single-use", { "rings": "at-hand", "seal": "to-order", "bearing": "not-needed" }),
    plan(2, pair(12, 32), null), field("round.2.choose.single-use", { "rings": "not-needed", "hub-bolts": "at-hand" }),
    field("fit.parts-used", { "hub-bolts": "replaced" }), field("round.2.fit.parts-used", { "hub-bolts": "replaced", "clips": "replaced" }),
    field("base.equipment", "Four heads, checked 2026-01-10"), field("fit.wrench", "Wrench 3, checked 2026-02-01"),
    field("choose.parts-lot", "bolts 7-31"), field("prepare.left.ring-lot", "R2"), field("round.2.prepare.left.ring-lot", "R9"),
  ]);
  deepEqual([made.replaced, made.to_order], [["hub-bolts", "clips"], ["seal"]], "what merely lay ready was not replaced");
  deepEqual(made.lots.map(({ side, texts, state }) => [side, texts[0], state]), [[null, "bolts 7-31", "in"], ["left", "R2", "in"], ["left", "R9", "in"]]);
  deepEqual([made.equipment, made.wrench], ["Four heads, checked 2026-01-10", "Wrench 3, checked 2026-02-01"]);
});

test("what was not done: gone past with its reason, left open, and what the customer must be told", () => {
  const made = report([...BASE, plan(1, pair(12, 31), null), entry("fit.chocked", "hold-overridden", { reason: "On a pit with wheel stops" }), field("finish.front", "not-done")]);
  deepEqual(made.not_done[0], { slot: "fit.chocked", id: "fit.chocked", wheel: null, params: {}, reason: "On a pit with wheel stops" });
  ok(made.not_done.some(({ slot, reason }) => slot === "finish.road-test" && reason === null));
  deepEqual(made.told, ["front-not-done"]);
});

test("front readings stand beside; the proving photos come first", () => {
  const made = report([...BASE, reading("front.before.left", -500, 20), reading("front.after.left", -500, 60), photo("vehicle.found-photo"), photo("finish.photo"), photo("fit.left.witness-line")]);
  deepEqual(made.front.map(({ side, quantity, before, after }) => [side, quantity, before, after]), [["left", "camber", -500, -500], ["left", "toe", 20, 60]]);
  deepEqual(made.photos.map(({ body }) => body.about), ["fit.left.witness-line", "finish.photo", "vehicle.found-photo"]);
});

test("the time of the job is from its earliest entry to its latest, however they stand", () => {
  const at = (time) => entry(null, "note-written", { text: "" }, { at: `2026-03-01T${time}` });
  const made = report([at("09:27:00.000+01:00"), at("08:21:00.000+00:00"), at("09:41:00.000+01:00"), at("09:30:00.000+01:00"), at("09:20:00.000+01:00")]);
  deepEqual([made.first_at, made.last_at], ["2026-03-01T09:20:00.000+01:00", "2026-03-01T09:41:00.000+01:00"]);
});

test("stopped and signed are told apart, with the names of all who worked", () => {
  const stopped = report([...BASE, entry(null, "job-stopped", { reason: "hub-seized", vehicle_state: "apart-on-lift" }, { by: "Jonah Brask" })]);
  deepEqual([stopped.state, stopped.stopped.reason, stopped.by], ["stopped", "hub-seized", ["Iris Vance", "Jonah Brask"]]);
  deepEqual(report([...BASE, entry(null, "job-signed", { covers: [] })]).signed_by, ["Iris Vance"]);
});

test("where nobody typed what tells how far the bolts hold, report and signature say so", () => {
  const typed = { at: [[55, 45], [55, 225]], thread: { diameter_mm: 12, pitch_mm: 1.5 }, engaged_mm: 20, metal: "steel" };
  const bolts = (known) => field("vehicle.bolts", { typed: {}, bolts: known });
  const unknown = (entries) => report(entries).engagement_unknown;
  equal(unknown(READ_ONCE), true);
  equal(unknown([...READ_ONCE, bolts(typed)]), false);
  equal(unknown([...READ_ONCE, bolts({ ...typed, metal: undefined })]), true);
  equal(unknown([...READ_ONCE, bolts({ ...typed, engaged_mm: undefined })]), true);
  equal(unknown([...BASE, plan(1, null, null)]), false, "no rings");
});
