// What is typed about an axle, and what it means: bolts, bracket, notes of an earlier vehicle, suitability, card
// template.

import { axleNotes } from "/js/domain/job/axle-notes.js";
import { bracketFrom } from "/js/domain/job/bracket-lugs.js";
import { cardTemplate, placeOn } from "/js/domain/fit/card-template.js";
import { boltsOf, countedOf, fitInputOf, torqueOf, vehicleOf } from "/js/domain/job/fit-request.js";
import { fit } from "/js/domain/fit/fit.js";
import { fold } from "/js/domain/job/fold.js";
import { boltsFrom } from "/js/domain/job/hub-bolts.js";
import { InputError } from "/js/domain/numbers/input-error.js";
import { numberFrom } from "/js/domain/numbers/plain-number.js";
import { pairSuits, setSuits } from "/js/domain/job/suitability.js";
import { wrongWords } from "/js/ui/sheets/fit-words.js";
import { deepEqual, equal, fixture, near, test, throws } from "./harness.js";

const RING_SET = await fixture("demo/ring-sets/demo-54.json");
const TABLE = { ring_set: RING_SET, rows: 54, columns: 54, camber: new Array(54 * 54).fill(500).with(27, 0),
  toe: new Array(54 * 54).fill(0) };
let count = 0;
const field = (slot, value) =>
  ({ id: `e${String((count += 1)).padStart(4, "0")}`, slot, kind: "field-set", body: { value }, after: [] });
const mm = (number) => ({ text: String(number), number, unit: "mm" });
const TYPED = { layout: "circle", count: "5", circle: "110", thread: "12x1.5", class: "10.9", fastener: "bolt",
  metal: "iron", by: "measured", engaged: "18,5", hole: "through" };
const bolts = (typed = TYPED) => field("vehicle.bolts", { typed, bolts: boltsFrom(typed) });

test("plain numbers, with comma or point", () => {
  deepEqual(["12", "12,5", ".5", "1e3", "-2", "", "12.34567", "1.2.3"].map(numberFrom),
    [12, 12.5, 0.5, null, null, null, null, null]);
});

test("bolts evenly round a circle, from the first one towards the rear", () => {
  const { at, ...rest } = boltsFrom({ ...TYPED, count: "4", first: "45" });
  deepEqual(at, [[55, 45], [55, 135], [55, 225], [55, 315]]);
  deepEqual(rest, { thread: { diameter_mm: 12, pitch_mm: 1.5 }, class: "10.9", engaged_mm: 18.5, metal: "iron" });
});

test("bolts one by one, turns instead of a length, a closed hole, studs", () => {
  deepEqual(boltsFrom({ ...TYPED, layout: "list", list: "60, 45\n60 135\n\n60;225" }).at,
    [[60, 45], [60, 135], [60, 225]]);
  const { engaged_mm: engaged, turns } = boltsFrom({ ...TYPED, by: "turns", turns: "12" });
  deepEqual([engaged, turns], [undefined, 12]);
  equal(boltsFrom({ ...TYPED, hole: "blind", depth: "24" }).blind_depth_mm, 24);
  const stud = boltsFrom({ ...TYPED, fastener: "stud", nut: "10", hole: "blind", depth: "24" });
  deepEqual([stud.nut_height_mm, stud.metal, stud.blind_depth_mm], [10, undefined, undefined]);
});

test("what does not fit is refused by its own field", () => {
  for (const [change, name] of [
    [{ count: "2.5" }, "count"], [{ count: "" }, "count"], [{ circle: "1" }, "circle"], [{ first: "400" }, "first"],
    [{ engaged: "x" }, "engaged"],
    [{ hole: "blind", depth: "10" }, "depth"], [{ hole: "blind", depth: "" }, "depth"],
    [{ layout: "list", list: "60 45" }, "list"], [{ layout: "list", list: "60 45\n5 90" }, "list"],
    [{ layout: "list", list: "60 45 3\n60 90" }, "list"],
  ]) throws(() => boltsFrom({ ...TYPED, ...change }), { field: name });
});

test("whatever is read as bolts is taken by the fitting aids", () => {
  for (const change of [{}, { by: "turns", turns: "9" }, { fastener: "stud", nut: "12" },
      { hole: "blind", depth: "30" }, { thread: "", class: "", metal: "" }]) {
    const f = fold([bolts({ ...TYPED, ...change })]);
    equal(fit(fitInputOf(f, "left", { ringSet: RING_SET, pair: [12, 31] })).bolts.length, 5);
  }
});

test("turns that are counted at a wheel count there alone", () => {
  const f = fold([bolts(), field("fit.left.bolt-turns", { text: "8", number: 8, unit: "turns" })]);
  deepEqual([boltsOf(f, "left").turns, boltsOf(f, "left").engaged_mm, boltsOf(f, "right").engaged_mm],
    [8, undefined, 18.5]);
  equal(boltsOf(fold([]), "left"), null);
});

test("turns that differ from what was typed by more than one pitch clash with it", () => {
  const counted = (turns, ...before) =>
    countedOf(fold([...before, field("fit.left.bolt-turns", { text: String(turns), number: turns, unit: "turns" })]),
      "left");
  deepEqual(counted(9, bolts()), { turns: 9, counted_mm: 13.5, typed_mm: 18.5, clashes: true });
  deepEqual([counted(12, bolts()).clashes, counted(11, bolts()).clashes, counted(14, bolts()).clashes],
    [false, true, true]);
  equal(counted(9, bolts({ ...TYPED, by: "turns", turns: "12" })).clashes, true);
  deepEqual([counted(9, bolts({ ...TYPED, thread: "" })), counted(9)]
    .map(({ counted_mm, clashes }) => [counted_mm, clashes]), [[null, false], [null, false]]);
  equal(countedOf(fold([bolts()]), "left"), null);
});

test("lugs and stock of a bracket", () => {
  deepEqual(bracketFrom({ lugs: "95, 70\n95, 110", stock: "2 x 10\n2,5x4\n3 × 2", engaged: "20" }), {
    lugs: [[95, 70], [95, 110]], stock: [{ thickness_mm: 2, quantity: 10 }, { thickness_mm: 2.5, quantity: 4 },
      { thickness_mm: 3, quantity: 2 }], engaged_mm: 20,
  });
  throws(() => bracketFrom({ lugs: "95, 70", stock: "two x 10" }), { code: "stock-list" });
  throws(() => bracketFrom({ lugs: "", stock: "" }), { field: "lugs" });
  throws(() => bracketFrom({ lugs: "95 70", stock: "", engaged: "0" }), { field: "engaged" });
});

test("the vehicle as the gate asks for it; old rings count until they are out", () => {
  const answers = [
    field("vehicle.mounting", "bolt-on-unit"), field("vehicle.ring-place", "no-plate"),
    field("vehicle.pilot", "unknown"), field("vehicle.sensor", "on-axle"),
    field("vehicle.sensor-gap-now", mm(0.8)), field("vehicle.rear-brake", "drum"), field("vehicle.arch-gap", mm(31)),
    field("vehicle.pair-fitted", "left"),
  ];
  deepEqual(vehicleOf(fold(answers)), {
    mounting: "bolt-on-unit", ring_place: "no-plate", sensor: "on-axle", brake: "drum", sensor_gap_mm: 0.8,
    arch_gap_mm: 31, pilot: "pilot", pairs_fitted: 1,
  });
  const out = { id: "e9999", slot: "vehicle.pair-removed", kind: "step-done", body: { hold: true }, after: [] };
  equal(vehicleOf(fold([...answers, out])).pairs_fitted, 0);
});

test("the torque goes to the aids as it was typed", () => {
  const typed = { value_nm: 88.1, text: "65", unit: "lbf-ft", source: "Book", angle_deg: null };
  deepEqual(torqueOf(fold([field("fit.torque", typed)])),
    { value: 65, unit: "lbf·ft", source: "Book", angle_deg: null, unit_named: null });
});

test("notes are offered from the newest vehicle described in the same words, without how far its bolts were in", () => {
  const job = (name, at, ...entries) =>
    ({ job: name, at, fold: fold([field("vehicle.description", "Marrow Vale, 1.8"), ...entries]) });
  const jobs = [
    job("old", "2026-01-01", bolts({ ...TYPED, count: "4" })),
    job("new", "2026-02-01", bolts(), field("fit.torque", { source: "Book, page 3" })),
    job("empty", "2026-03-01"), { job: "other", at: "2026-04-01",
      fold: fold([field("vehicle.description", "Another"), bolts()]) },
  ];
  const notes = axleNotes(jobs, "marrow vale 1.8", "mine");
  deepEqual([notes.job, notes.torque_source], ["new", "Book, page 3"]);
  deepEqual([notes.values["vehicle.bolts"].bolts.engaged_mm, notes.values["vehicle.bolts"].typed.engaged,
    notes.values["vehicle.bolts"].bolts.at.length], [undefined, "", 5]);
  equal(axleNotes(jobs, "  ", "mine"), null);
  equal(axleNotes(jobs, "Marrow Vale 1.8", "new").job, "old");
});

test("a set that refuses its least tilted pair refuses all; the arch is asked pair by pair", () => {
  const far = field("vehicle.bolts",
    { typed: {}, bolts: { at: [[68, 0], [68, 180]], thread: { diameter_mm: 12, pitch_mm: 1.5 } } });
  const no = setSuits(fold([far]), TABLE);
  deepEqual([no.suits, no.refusals.map(({ code }) => code)], [false, ["bolt-outside-ring", "bolt-outside-ring"]]);
  equal(setSuits(fold([]), TABLE).suits, null);
  const tight = fold([field("vehicle.arch-gap", mm(2)), field("vehicle.tyre-radius", mm(316))]);
  equal(setSuits(tight, TABLE).suits, null);
  deepEqual(pairSuits(tight, "left", RING_SET, [12, 31]).refusals.map(({ code }) => code), ["arch-too-close"]);
});

test("a length that cannot be meant is said and judges nothing", () => {
  const { suits, error } = setSuits(fold([field("vehicle.pilot-length", mm(900))]), TABLE);
  deepEqual([suits, error.field], [null, "vehicle.pilot_length_mm"]);
});

test("places on a card, by rule and compasses", () => {
  deepEqual(placeOn(50, 0), { clock_deg: 0, way: "top", chord_mm: 0 });
  deepEqual(placeOn(50, 180), { clock_deg: 180, way: "bottom", chord_mm: 100 });
  deepEqual([placeOn(50, 90).way, placeOn(50, 270).way, placeOn(50, 360).way], ["rear", "front", "top"]);
  near(placeOn(50, 90).chord_mm, 50 * Math.SQRT2, 0.05); // the chord of a quarter
  near(placeOn(50, 300).chord_mm, 50, 0.05); // a sixth has the radius as its chord
});

test("the card's clearances are those of the cutting guide", () => {
  const given = boltsFrom(TYPED);
  const guide = fit({ wheel: "left", ring_set: RING_SET, pair: [12, 31], bolts: given }).bolts;
  const card = cardTemplate({ ringSet: RING_SET, pair: [12, 31], bolts: given });
  deepEqual(card.bolts.map(({ between }) => [between.inner, between.outer]),
    guide.map(({ clearance: { inner, outer } }) => [inner.between, outer.between]));
  deepEqual(card.rings.map(({ mark, outer_mm, bore_mm }) => [mark, outer_mm, bore_mm]), [[12, 148, 62], [31, 148, 62]]);
  deepEqual(cardTemplate({ ringSet: RING_SET, pair: [12, 31], bolts: null }).bolts, []);
});

test("whether holes are closed at the end is asked, not guessed, where a longer bolt may be wanted", () => {
  throws(() => boltsFrom({ ...TYPED, hole: undefined }), /through or blind/);
  equal(boltsFrom({ ...TYPED, hole: undefined, engaged: "" }).engaged_mm, undefined);
  equal(boltsFrom({ ...TYPED, hole: undefined, fastener: "stud", nut: "10" }).nut_height_mm, 10);
});

test("what cannot be computed with is named by the step that asks for it, not by a path of the program", () => {
  const t = (key, params = {}) => [key, params.step, params.got].filter(Boolean).join("|");
  const wrong = (field) => wrongWords(t, new InputError("bad-input", field, "a number from 1 to 200", 4000));
  equal(wrong("vehicle.pilot_diameter_mm"), "fitting.wrong|row.vehicle.pilot-diameter.title|4000");
  equal(wrong("bolts.engaged_mm"), "fitting.wrong|row.vehicle.bolts.title|4000");
  equal(wrong("bracket.lugs[0]"), "fitting.wrong|row.vehicle.bracket-lugs.title|4000");
  equal(wrong("torque.angle_deg"), "fitting.wrong|row.fit.torque.title|4000");
  equal(wrong("vehicle.sensor_gap_most_mm"), "fitting.wrong|row.vehicle.sensor-gap-most.title|4000");
  equal(wrong("cut_pair"), "fitting.wrong|row.choose.plan.title|4000");
  equal(wrong("ring_set.inner.taper_mdeg"), "fitting.wrong.ring-set|4000");
});
