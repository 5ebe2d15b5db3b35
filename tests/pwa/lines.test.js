// The second database: what the shop tells of vehicles, under digests; it may be dropped at any time.

import { Database } from "/js/store/database.js";
import { Lines } from "/js/store/lines.js";
import { FaultyFactory } from "./faulty-database.js";
import { freshName } from "./store-parts.js";
import { run, setting, json, problem } from "./sync-parts.js";
import { deepEqual, equal, ok, test } from "./harness.js";

// vehicle_digest("epoch-1", "registration", "QX41LTM") in server/api/fittings.py
const PLATE = "8ccf6d10687962be556339b92cc80397";
const VIN = "16798e0820990a053ece5f6caff027b6"; // vehicle_digest("epoch-1", "vin", "VINA1")
const JOB = "11111111-1111-4111-8111-11111111111a";
const THIS = { registration: "qx-41 ltm", vin: "vin a1" };
const row = (job, at, keys, day = "2026-02-01") =>
  ({ job, at, keys, left: { ring_set: "demo-54", pair: [12, 31] }, right: null, day });
const page = (fittings, at, epoch = "epoch-1") => ({ fittings, next: { epoch, at } });
const found = async (lines, vehicle = THIS) => (await lines.fittingsOf(vehicle)).map(({ job }) => job);

test("a vehicle is found by registration and by VIN, the VIN's first, and by nothing else", async () => {
  const lines = new Lines({ name: freshName() });
  deepEqual(await lines.position(), { epoch: "", at: 0 });
  deepEqual(await found(lines), []);
  await lines.takeFittings(page([row("plate", 1, [PLATE]), row("vin", 2, [VIN]), row("other", 3, ["0".repeat(32)])],
    3));
  deepEqual(await lines.position(), { epoch: "epoch-1", at: 3 });
  deepEqual(await found(lines), ["vin", "plate"]);
  deepEqual(await found(lines, { registration: "QX 41 LTM", vin: "" }), ["plate"]);
  deepEqual(await found(lines, { registration: "", vin: "" }), []);
});

test("one that counts no more goes; another epoch empties all", async () => {
  const lines = new Lines({ name: freshName() });
  await lines.takeFittings(page([row("a", 1, [PLATE]), row("b", 2, [VIN])], 2));
  await lines.takeFittings(page([row("a", 3, [])], 3));
  deepEqual(await found(lines), ["b"]);
  await lines.takeFittings(page([], 0, "epoch-2"));
  deepEqual([await found(lines), await lines.position()], [[], { epoch: "epoch-2", at: 0 }]);
});

test("no word of a registration or VIN stands in it", async () => {
  const name = freshName();
  const lines = new Lines({ name });
  await lines.takeFittings(page([row(JOB, 1, [PLATE, VIN])], 1));
  const [kept] = await new Database({ name, schema: { version: 2 } }).read(["fittings"], (t) => t.all("fittings"));
  const written = JSON.stringify(kept, (_, part) => (part instanceof Uint8Array ? String.fromCharCode(...part) : part));
  ok(!/qx|ltm|vina1/i.test(written), written);
  deepEqual(kept.keys.map((key) => key.length), [16, 16], "packed");
  deepEqual(await found(lines), [JOB]);
});

test("an erased job's fitting goes with its line, and one that counts no more, under its packed id too", async () => {
  const lines = new Lines({ name: freshName() });
  const other = "22222222-2222-4222-8222-222222222222";
  await lines.takeFittings(page([row(JOB, 1, [PLATE]), row(other, 2, [VIN])], 2));
  const erased = { job: JOB, at: 1, state: "erased" };
  ok(await lines.jobs.take({ lines: [erased], lines_next: { epoch: "epoch-1", at: 1 }, restart: false }, null, "era"));
  deepEqual(await found(lines), [other]);
  await lines.takeFittings(page([row(other, 3, [])], 3));
  deepEqual(await found(lines), []);
});

test("what cannot be read is as if nothing had come, and what cannot be written to is made anew", async () => {
  const factory = new FaultyFactory();
  const name = freshName();
  const lines = new Lines({ factory, name });
  await lines.takeFittings(page([row("a", 1, [PLATE])], 1));
  factory.faults = ["quota"];
  equal(await lines.takeFittings(page([row("b", 2, [VIN])], 2)).catch((error) => error.name), "QuotaExceededError");
  deepEqual([await found(lines), await lines.position()], [[], { epoch: "", at: 0 }],
    "it comes again from the beginning");
  await lines.takeFittings(page([row("a", 1, [PLATE])], 1));
  factory.faults = Array(20).fill("open-throws");
  deepEqual(await found(new Lines({ factory, name })), []);
  factory.faults = [];
  deepEqual(await found(lines), ["a"]);
});

test("a sync asks for what changed since, page by page, and not at every save", async () => {
  const { parts, phone, server } = await setting(1);
  const asked = [];
  const pages = [{ ...page([row("a", 1, [PLATE])], 1), more: true }, { ...page([row("b", 2, [VIN])], 2), more: false }];
  server.meddle = (path) => {
    if (path === "/api/people") return json({ format: 1, people: [{ id: "1", name: "Jonah Brask", code: null }] });
    if (path === "/api/rechecks")
      return json({ format: 1, rechecks: [{ entry: "e", job: "j", day: null }], more: true });
    if (path === "/api/rings-at-hand") return json({ format: 1, places: [{ id: "van", name: "Van 2" }], counts: [] });
    if (!path.startsWith("/api/fittings")) return undefined;
    asked.push(path);
    return json(pages[asked.length - 1] ?? { ...page([], 2), more: false });
  };
  await run(phone, server, parts.clock);
  deepEqual(await phone.setting("people"), [{ id: "1", name: "Jonah Brask", code: null }]);
  deepEqual(await (await phone.lines()).list("at-hand"), { places: [{ id: "van", name: "Van 2" }], counts: [] });
  deepEqual(await (await phone.lines()).list("rechecks"),
    { rechecks: [{ entry: "e", job: "j", day: null }], more: true });
  deepEqual(asked, ["/api/fittings?epoch=&at=0", "/api/fittings?epoch=epoch-1&at=1"]);
  deepEqual(await found(await phone.lines()), ["b", "a"]);
  await run(phone, server, parts.clock);
  equal(asked.length, 2);
  parts.clock.ms += 300_000;
  await run(phone, server, parts.clock);
  equal(asked.at(-1), "/api/fittings?epoch=epoch-1&at=2");
});

test("a server that has no such list, or a broken one, costs the sync nothing and is asked again later", async () => {
  const { parts, phone, server } = await setting(1);
  let count = 0;
  const answers = [problem(404, "not-found"), json({ fittings: 3 }), new TypeError("offline")];
  server.meddle = (path) => {
    if (!path.startsWith("/api/fittings")) return undefined;
    count += 1;
    return answers[count - 1];
  };
  for (const _ of answers) {
    equal((await run(phone, server, parts.clock)).status, "idle");
    parts.clock.ms += 300_000;
  }
  equal(count, 3);
  equal((await phone.unsent()).entries, 0);
});
