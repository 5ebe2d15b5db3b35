// Entries, their ids and times, and texts.

import { makeEntry, zonedTime } from "/js/domain/job/entry.js";
import { isUuid4, uuid4 } from "/js/domain/job/ids.js";
import { makeText } from "/js/ui/words/text.js";
import { deepEqual, equal, fixture, ok, test, throws } from "./harness.js";

const STAMP = { id: uuid4(), device: uuid4(), n: 1, at: "2026-03-02T08:00:00.000+00:00" };
const CONTENT = { job: uuid4(), kind: "field-set", slot: "vehicle.vin", after: [], body: { value: "x" },
  by: "Ada Lind" };

test("ids are UUIDs of version 4 from the given randomness", () => {
  equal(uuid4(() => new Uint8Array(16)), "00000000-0000-4000-8000-000000000000");
  equal(uuid4(() => new Uint8Array(16).fill(255)), "ffffffff-ffff-4fff-bfff-ffffffffffff");
  ok(isUuid4(uuid4()));
  ok(uuid4() !== uuid4());
  ok(!isUuid4("FFFFFFFF-FFFF-4FFF-BFFF-FFFFFFFFFFFF"));
});

test("what is an id is one list for phone and server", async () => {
  const { good, bad } = await fixture("golden/ids.json");
  deepEqual(good.filter((id) => !isUuid4(id)), []);
  deepEqual(bad.filter(isUuid4), []);
});

test("an entry keeps exactly what can be sent", () => {
  const entry = makeEntry({ ...CONTENT, body: { value: "x", nothing: undefined } }, STAMP);
  deepEqual(entry, { format: 1, id: STAMP.id, job: CONTENT.job, device: STAMP.device, n: 1,
    at: STAMP.at, by: "Ada Lind",
    kind: "field-set", slot: "vehicle.vin", after: [], body: { value: "x" } });
});

test("kinds that stand for themselves have their id as slot and supersede nothing", () => {
  const note = { ...CONTENT, kind: "note-written", slot: null, body: { text: "x" } };
  equal(makeEntry(note, STAMP).slot, STAMP.id);
  throws(() => makeEntry({ ...note, slot: "vehicle.vin" }, STAMP), { code: "entry", field: "slot" });
  throws(() => makeEntry({ ...note, after: [uuid4()] }, STAMP), { code: "entry", field: "after" });
});

test("what this program may not write is refused", () => {
  const wrong = [
    { kind: "field-erased" }, { job: "job-1" }, { slot: null }, { slot: "Vehicle" }, { slot: "" },
    { slot: "x".repeat(121) },
    { after: ["x"] }, { after: null }, { body: null }, { body: [1] }, { by: "" }, { by: "  " }, { by: "x".repeat(201) },
  ];
  for (const change of wrong) {
    const field = Object.keys(change)[0];
    throws(() => makeEntry({ ...CONTENT, ...change }, STAMP), { code: "entry", field });
  }
});

test("time is local with its zone, before 1970 and after 2100 too", () => {
  equal(zonedTime(0, 0), "1970-01-01T00:00:00.000+00:00");
  equal(zonedTime(Date.UTC(2026, 2, 2, 8), 330), "2026-03-02T13:30:00.000+05:30");
  equal(zonedTime(Date.UTC(2026, 2, 2, 8), -570), "2026-03-01T22:30:00.000-09:30");
  equal(Date.parse(zonedTime(Date.UTC(2126, 2, 2, 8))), Date.UTC(2126, 2, 2, 8));
  equal(Date.parse(zonedTime(-1)), -1);
});

test("texts fill their placeholders, count, and show a missing key as itself", () => {
  const t = makeText({ "a": "{x} and {y}", "n.one": "{count} job", "n.other": "{count} jobs" }, "en");
  equal(t("a", { x: "1", y: 2.5 }), "1 and 2.5");
  equal(makeText({ a: "{x}" }, "de")("a", { x: 2.5 }), "2,5");
  deepEqual(["es", "es-MX"].map((locale) => makeText({}, locale).number(2.4, 2)), ["2,40", "2.40"]);
  deepEqual(["es", "es-MX"].map((locale) => makeText({ a: "como {0.33}" }, locale)("a")), ["como 0,33", "como 0.33"]);
  deepEqual([2.456, 2, 1234].map((value) => t.number(value, 0, 2)), ["2.46", "2", "1234"]);
  equal(t("a", { x: "{y}" }), "{y} and {y}");
  deepEqual([0, 1, 2].map((count) => t("n", { count })), ["0 jobs", "1 job", "2 jobs"]);
  equal(t("none"), "[none]");
  deepEqual([t.has("a"), t.has("n"), t.has("none")], [true, true, false]);
});
