// Vehicle types: how they are found while typing, what of them is offered at a vehicle and what never, what a job
// proposes, and what a correction at the desk changes for it.

import { findTypes, rowOf } from "/js/domain/types/find-type.js";
import { correctedIn, isOld, offersOf, stillFrom, takenIn } from "/js/domain/types/type-parts.js";
import { changesOf, keysMissing, namedIn, typeFrom, typeOf } from "/js/domain/types/type-proposal.js";
import { deepEqual, equal, ok, test } from "./harness.js";
import { SheetsJob } from "./sheets-job.js";

const KEYS = { suspension: "S1", drive: "front", wheels: "16", edition: "7" };
const angle = (mdeg) => ({ mdeg, text: String(mdeg / 1000), unit: "deg", way: null, diameter_mm: null });
const limits = (low, high) => ({ low: angle(low), high: angle(high) });
const mm = (number) => ({ number, text: String(number), unit: "mm" });
const torque = (text) => ({ value_nm: Number(text), text, unit: "nm", source: "Book 3", angle_deg: null });
const BOLTS = { typed: { layout: "circle", count: "5", circle: "110", turns: "12", hole: "through" }, length_mm: 45,
  bolts: { at: [0, 72, 144, 216, 288].map((clock) => [55, clock]), thread: { diameter_mm: 12, pitch_mm: 1.5 },
    class: "10.9", metal: "steel", turns: 12 } };
const FACTS = { "vehicle.mounting": "bolt-on-unit", "vehicle.axle-nut": "no", "vehicle.ring-place": "no-plate",
  "vehicle.pilot": "centred", "vehicle.pilot-diameter": mm(62),
  "vehicle.sensor": "with-hub", "vehicle.bolts": BOLTS, "vehicle.rear-brake": "disc", "vehicle.high-voltage": "no",
  "vehicle.arch-gap": mm(31), "vehicle.tyre-radius": mm(316),
  "window.left.toe": limits(0, 200), "window.right.toe": limits(0, 200), "window.thrust": null,
  "window.source": "Book 3", "window.keys": KEYS,
  "vehicle.height-least": mm(350), "fit.torque": torque("88"), "torque.wheel": torque("120") };
const NAMED = { make: "Marrow", model: "Vale 1.8", years: [2015, null], grades: { "torque.wheel": "10.9" } };

function jobWith(facts) {
  const job = new SheetsJob();
  for (const [slot, value] of Object.entries(facts)) job.set(slot, value);
  return job;
}

const TYPE = typeOf(typeFrom(jobWith(FACTS), NAMED), "2026-01-10");
const CHOSEN = { id: "t1", revision: 1, state: "accepted", months: 12, type: TYPE };
const offered = (group, job, type = TYPE) =>
  Object.fromEntries(offersOf(group, type, job).flatMap(({ facts }) => facts.map(({ slot, value }) => [slot, value])));

function rows(...named) {
  return named.map(([make, model, state = "accepted", years = [null, null]], k) =>
    rowOf({ id: `t${k}`, revision: 1, state, type: { make, model, years } }));
}

test("types are found by the beginnings of their words, in any order, without accents", () => {
  const all = rows(["Marrow", "Vale Estate 1.8"], ["Marrow", "Hill"], ["Peñón", "Ruta"],
    ["Dale", "Marrow Cross", "unchecked"]);
  const found = (text) => findTypes(all, text).rows.map(({ model }) => model);
  deepEqual(found("marr va"), ["Vale Estate 1.8"]);
  deepEqual(found("est marrow"), ["Vale Estate 1.8"]);
  deepEqual(found("marrow"), ["Hill", "Vale Estate 1.8", "Marrow Cross"], "what a lead accepted comes first");
  deepEqual(found("penon"), ["Ruta"]);
  deepEqual(found("arrow"), []);
  deepEqual(found("m"), [], "one letter asks for nothing");
});

test("a year that is typed narrows the types down and is kept", () => {
  const all = rows(["Marrow", "Vale", "accepted", [2010, 2015]], ["Marrow", "Vale II", "accepted", [2016, null]]);
  const { rows: found, year } = findTypes(all, "marrow 2019");
  deepEqual([found.map(({ model }) => model), year], [["Vale II"], "2019"]);
});

test("what changes a known type, and what was retired or merged, is not offered", () => {
  const type = { make: "Marrow", model: "Vale", years: [null, null] };
  const all = [rowOf({ id: "a", revision: 0, state: "unchecked", base: { type: "b", revision: 1 }, type }),
    rowOf({ id: "b", revision: 2, state: "retired" }),
    rowOf({ id: "c", revision: 0, state: "unchecked", base: null, type })];
  deepEqual(findTypes(all, "marrow").rows.map(({ id }) => id), ["c"]);
});

test("a job proposes facts, and never what is answered at each vehicle", () => {
  const { facts, usual, windows, torques } = typeFrom(jobWith(FACTS), NAMED);
  deepEqual(Object.keys(facts).sort(),
    ["vehicle.axle-nut", "vehicle.bolts", "vehicle.mounting", "vehicle.pilot-diameter", "vehicle.ring-place",
      "vehicle.sensor"]);
  deepEqual(Object.keys(facts["vehicle.bolts"].bolts).sort(), ["at", "class", "metal", "thread"],
    "engagement and length stay with the vehicle");
  deepEqual(usual, { "vehicle.high-voltage": "no", "vehicle.rear-brake": "disc" });
  deepEqual(windows.map(({ slot }) => slot),
    ["window.left.toe", "window.right.toe", "vehicle.ride-height-left", "vehicle.ride-height-right"]);
  deepEqual(torques.map(({ slot, grade }) => [slot, grade]), [["fit.torque", "10.9"], ["torque.wheel", "10.9"]]);
});

test("windows are proposed only with all four keys and a source, torques only with a grade", () => {
  const { "window.keys": _keys, ...others } = FACTS;
  const job = jobWith({ ...others, "window.keys": { ...KEYS, drive: " " } });
  deepEqual(keysMissing(job), ["drive"]);
  deepEqual(typeFrom(job, { ...NAMED, grades: {} }).windows, []);
  deepEqual(typeFrom(job, { ...NAMED, grades: {} }).torques.map(({ slot }) => slot), ["fit.torque"],
    "the hub bolts' grade is known");
  deepEqual(typeFrom(jobWith({ ...FACTS, "window.source": "" }), NAMED).windows, []);
});

test("nothing is proposed or offered of a part that was replaced", () => {
  const repaired = { "vehicle.bearings": "repaired", "vehicle.structure": "repaired",
    "vehicle.bushes-springs": "repaired" };
  const { facts, windows } = typeFrom(jobWith({ ...FACTS, ...repaired }), NAMED);
  deepEqual(Object.keys(facts), ["vehicle.axle-nut"]);
  deepEqual(windows.map(({ slot }) => slot), ["window.left.toe", "window.right.toe"]);
  const job = jobWith(repaired);
  deepEqual(offered("mounting", job), { "vehicle.axle-nut": "no" });
  for (const group of ["bolts", "sensor", "pilot", "heights"]) {
    deepEqual(offered(group, job), {}, group);
    ok(offersOf(group, TYPE, job)[0].gone, `${group}: and it is said`);
  }
});

test("what is offered at a vehicle holds no verdict and nothing that is measured there", () => {
  const job = new SheetsJob();
  const all = ["mounting", "pilot", "bolts", "sensor", "windows", "heights"].map((group) => offered(group, job));
  const slots = all.flatMap(Object.keys);
  for (const never of ["vehicle.pilot", "vehicle.arch-gap", "vehicle.tyre-radius", "vehicle.rear-brake",
    "vehicle.high-voltage", "vehicle.sensor-gap"]) ok(!slots.includes(never), never);
  const { typed, bolts } = offered("bolts", job)["vehicle.bolts"];
  deepEqual([typed.count, typed.circle, typed.thread, typed.class, typed.metal],
    ["5", "110", "12x1.5", "10.9", "steel"]);
  deepEqual([typed.turns, typed.hole, bolts.turns, bolts.engaged_mm, bolts.blind_depth_mm],
    [undefined, undefined, undefined, undefined, undefined]);
  deepEqual(offered("windows", job)["window.keys"], KEYS);
  deepEqual(offered("heights", job), { "vehicle.height-least": mm(350) });
  const noPilot = typeOf(typeFrom(jobWith({ "vehicle.pilot": "no-pilot" }), NAMED), "2026-01-10");
  deepEqual(offered("pilot", job, noPilot), { "vehicle.pilot": "no-pilot" });
});

const LUGS = { typed: { lugs: "95, 70\n95.5, 110", stock: "2 x 10", engaged: "18" },
  bracket: { lugs: [[95, 70], [95.5, 110]], stock: [{ thickness_mm: 2, quantity: 10 }], engaged_mm: 18 } };

test("the bracket's lugs are offered again, without the shop's spacers and how far bolts are screwed in", () => {
  const type = typeOf(typeFrom(jobWith({ "vehicle.bracket-lugs": LUGS }), NAMED), "2026-01-10");
  deepEqual(type.parts["fact/vehicle.bracket-lugs"], { lugs: [[95, 70], [95.5, 110]] });
  const job = new SheetsJob();
  deepEqual(offered("bracket", job, type),
    { "vehicle.bracket-lugs": { typed: { lugs: "95, 70\n95.5, 110" },
      bracket: { lugs: [[95, 70], [95.5, 110]], stock: [] } } });
  deepEqual(offered("bracket", jobWith({ "vehicle.structure": "repaired" }), type), {});
  const broken = { ...type, parts: { "fact/vehicle.bracket-lugs": { lugs: [[3, 70]] } } };
  deepEqual(offered("bracket", job, broken), {}, "of another program: they are typed");
});

test("lugs are alike by their places; with spacers added they are still the type's, and a correction of them is named",
    () => {
  const type = typeOf(typeFrom(jobWith({ "vehicle.bracket-lugs": LUGS }), NAMED), "2026-01-10");
  const [{ facts: [{ slot, value }] }] = offersOf("bracket", type, new SheetsJob());
  const from = { type: "t1", revision: 1 };
  const row = { slot, entry: { body: { value, from } }, value };
  deepEqual(stillFrom(row, LUGS), { from });
  deepEqual(stillFrom(row, { ...LUGS, bracket: { ...LUGS.bracket, lugs: [[95, 70]] } }), {});
  const job = new SheetsJob();
  job.add(slot, "field-set", { value: LUGS, from });
  const now = (lugs) => correctedIn(job,
    { ...CHOSEN, revision: 2, type: { ...type, parts: { "fact/vehicle.bracket-lugs": { lugs } } } });
  deepEqual(now([[95, 70], [95.5, 110]]), []);
  deepEqual(now([[95, 75]]).map((each) => [each.slot, each.now.bracket.lugs]), [[slot, [[95, 75]]]]);
  deepEqual(changesOf(typeFrom(job, NAMED), type).changes, []);
});

test("what two phones took from the type is the type's; what a person said on one of them is the person's", () => {
  const from = { type: "t1", revision: 1 };
  const type = { ...TYPE, parts: { ...TYPE.parts, "fact/vehicle.sensor": "none" } };
  const told = (...bodies) => {
    const job = new SheetsJob();
    for (const body of bodies) job.add("vehicle.sensor", "field-set", body, { concurrent: true });
    deepEqual([job.fold.slots["vehicle.sensor"].length, job.fold.conflicts, job.field("vehicle.sensor")],
      [2, [], "with-hub"]);
    return [takenIn(job).length, correctedIn(job, { ...CHOSEN, revision: 2, type }).length];
  };
  deepEqual(told({ value: "with-hub", from }, { value: "with-hub", from: { ...from, revision: 0 } }), [1, 1]);
  deepEqual(told({ value: "with-hub", from }, { value: "with-hub" }), [0, 0]);
  deepEqual(told({ value: "with-hub" }, { value: "with-hub", from }), [0, 0]);
});

test("windows of each of the keys stand by themselves", () => {
  const other = typeFrom(jobWith({ ...FACTS, "window.keys": { ...KEYS, edition: "8" } }), NAMED);
  const type = { ...TYPE, parts: { ...TYPE.parts, ...typeOf(other, "2026-02-01").parts } };
  deepEqual(offersOf("windows", type, new SheetsJob()).map(({ keys }) => keys.edition), ["7", "8"]);
});

test("a torque of the hub bolts is offered only for bolts of its grade", () => {
  const work = (grade) => {
    const job = jobWith({ "vehicle.bolts": { ...BOLTS, bolts: { ...BOLTS.bolts, class: grade } } });
    return job.plan(1, { ring_set: "demo-54", pair: [12, 31], effect: [640, -320] }, null);
  };
  deepEqual(Object.keys(offered("torques", work("10.9"))), ["fit.torque", "torque.wheel"]);
  deepEqual(Object.keys(offered("torques", work("8.8"))), ["torque.wheel"]);
  ok(offersOf("torques", TYPE, work("8.8"))[0].grades);
});

test("windows and torques ask to be checked once they are older than the shop's limit", () => {
  const at = Date.parse("2026-11-30T12:00:00Z");
  deepEqual([isOld("2025-11-29", 12, at), isOld("2025-12-01", 12, at), isOld("", 12, at)], [true, false, false]);
});

test("what a correction at the desk changes for a job is named, and nothing else", () => {
  const job = new SheetsJob();
  const from = { type: "t1", revision: 1 };
  for (const group of ["mounting", "windows", "bolts"]) for (const { facts } of offersOf(group, TYPE, job))
    for (const { slot, value } of facts) job.add(slot, "field-set", { value, from });
  job.set("vehicle.sensor", "on-axle");
  deepEqual(correctedIn(job, CHOSEN), []);
  const parts = { ...TYPE.parts };
  for (const key of Object.keys(parts)) if (key.startsWith("window/window.left.toe/"))
    parts[key] = { ...parts[key], value: limits(50, 200) };
  parts["fact/vehicle.sensor"] = "none";
  delete parts["fact/vehicle.ring-place"];
  const corrected = correctedIn(job, { ...CHOSEN, revision: 2, type: { ...TYPE, parts } });
  deepEqual(corrected.map(({ slot, now }) => [slot, now?.low?.mdeg ?? null]).sort(),
    [["vehicle.ring-place", null], ["window.left.toe", 50]], "a person's own answer is no matter of the type");
  deepEqual(correctedIn(job, { ...CHOSEN, revision: 2, state: "retired", type: null }), []);
});

test("turns that are counted later leave the bolts the type's; another grade does not", () => {
  const row = { slot: "vehicle.bolts", value: offered("bolts", new SheetsJob())["vehicle.bolts"],
    entry: { body: { from: { type: "t1", revision: 1 } } } };
  const { typed, bolts } = row.value;
  deepEqual(stillFrom(row, { typed, bolts: { ...bolts, turns: 12 } }), { from: { type: "t1", revision: 1 } });
  deepEqual(stillFrom(row, { typed, bolts: { ...bolts, class: "8.8" } }), {});
});

test("changes of a known type hold what is otherwise, and nothing of what is alike", () => {
  const same = typeFrom(jobWith(FACTS), NAMED);
  deepEqual(changesOf(same, TYPE).changes, []);
  const { type, changes } = changesOf(
    typeFrom(jobWith({ ...FACTS, "vehicle.sensor": "none", "torque.wheel": torque("130") }), NAMED), TYPE);
  deepEqual(changes, ["vehicle.sensor", "torque.wheel"]);
  deepEqual([type.facts, type.windows, type.torques.length], [{ "vehicle.sensor": "none" }, [], 1]);
});

test("the same quantity written otherwise is no change", () => {
  const angled = (mdeg, text, unit) => ({ ...angle(mdeg), text, unit });
  const minutes = { low: angled(0, "0", "deg-min"), high: angled(200, "12", "deg-min") };
  const job = jobWith({ ...FACTS, "window.left.toe": minutes, "window.right.toe": minutes,
    "torque.wheel": { ...torque("120"), text: "120.0", source: "Book 4" } });
  deepEqual(changesOf(typeFrom(job, NAMED), TYPE).changes, []);
});

test("make, model and year are guessed from what was typed, to be corrected", () => {
  deepEqual(namedIn("Marrow Vale Estate 1.8, 2019"), { make: "Marrow", model: "Vale Estate 1.8", years: [2019, null] });
  equal(namedIn("").make, "");
});
