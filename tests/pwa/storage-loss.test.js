// A phone whose database was emptied, or went back in time: what it says, and what comes back from the second copies.

import { Database } from "/js/store/database.js";
import { LOCAL, STORE } from "/js/store/names.js";
import { openPhone } from "/js/store/phone.js";
import { deepEqual, equal, ok, test } from "./harness.js";
import { fieldSet, phoneParts, photoTaken } from "./store-parts.js";
import { json, run, setting as syncSetting } from "./sync-parts.js";

const byId = (entries) => [...entries].sort((a, b) => (a.id < b.id ? -1 : 1));

/** As the browser does it: the connection is closed from outside, and the database is gone. */
async function empty({ database, name }) {
  database.close();
  await new Promise((resolve, reject) => {
    Object.assign(indexedDB.deleteDatabase(name), { onsuccess: resolve, onerror: reject });
  });
}

/** The phone after its program was started again; other random numbers, as on a real one. */
function again(parts, seed = 2, database = new Database({ name: parts.name })) {
  return openPhone({ ...parts, database, random: phoneParts({ seed }).random });
}

/** A phone with entries that wait, `count` of them, and `photos`. */
async function waiting(count, photos = 0) {
  const parts = phoneParts();
  const phone = await openPhone(parts);
  const job = phone.newJob();
  const saved = [];
  for (let k = 0; k < count; k += 1) saved.push(await phone.save(fieldSet(job, `vehicle.field-${k}`, k)));
  for (let k = 0; k < photos; k += 1)
    saved.push(await phone.save(await photoTaken(job, new Uint8Array([k + 1]).buffer)));
  return { parts, phone, job, saved, device: saved[0].device };
}

test("an emptied phone says so, has back by id what waited, and goes on as another device", async () => {
  const { parts, job, saved, device } = await waiting(3, 1);
  await empty(parts);
  const emptied = await again(parts);
  const lost = { device, n: 4, unsent: 0, photos: 1, restored: 4 };
  deepEqual(emptied.lost, lost);
  deepEqual(byId(await emptied.entries(job)), byId(saved));
  equal((await emptied.unsent()).entries, 4, "all wait again");
  const next = await emptied.save(fieldSet(job, "vehicle.vin", "y"));
  ok(next.device !== device && next.n === 1, "another device: no number is given twice");
  deepEqual((await again(parts, 3)).lost, lost, "told until it was read");
  await emptied.forgetLoss();
  equal((await again(parts, 4)).lost, null);
});

test("emptied under a running page: told without a start, before anything else is saved and after", async () => {
  for (const act of [(phone) => phone.jobs(), (phone, job) => phone.save(fieldSet(job, "vehicle.vin", "y"))]) {
    const { parts, phone, job, saved, device } = await waiting(2);
    await empty(parts);
    const told = new Promise((resolve) => { phone.onChange(() => { if (phone.lost) resolve(); }); });
    await act(phone, job);
    await told;
    deepEqual(phone.lost, { device, n: 2, unsent: 0, photos: 0, restored: 2 });
    ok(saved.every(({ id }) => parts.localStorage.getItem(LOCAL.UNSENT + id)), "the copies stay until the verdict");
    deepEqual((await phone.entries(job)).filter((entry) => entry.device === device), byId(saved));
  }
});

test("localStorage emptied as well: the page that saw it still says so, with what is gone", async () => {
  const { parts, phone, device } = await waiting(2);
  await empty(parts);
  parts.localStorage.clear();
  await phone.jobs();
  deepEqual((await phone.check(), phone.lost), { device, n: 2, unsent: 2, photos: 0, restored: 0 });
});

test("emptied twice before it was read: both times everything that waits comes back", async () => {
  const { parts, job, saved } = await waiting(2);
  await empty(parts);
  const database = new Database({ name: parts.name });
  const once = await again(parts, 2, database);
  const later = await once.save(fieldSet(job, "vehicle.vin", "y"));
  await empty({ name: parts.name, database });
  const twice = await again(parts, 3);
  deepEqual(byId(await twice.entries(job)), byId([...saved, later]));
  equal(twice.lost.restored, 3);
});

test("a witness of another device, or of a higher number, is never overwritten", async () => {
  for (const other of ["00000000-0000-4000-8000-0000000000ab", null]) {
    const { parts, phone, job, device } = await waiting(1);
    const seen = { device: other ?? device, n: 9, unsent: 4, photos: 1 };
    parts.localStorage.setItem(LOCAL.STORED_JOBS, JSON.stringify(seen));
    await phone.save(fieldSet(job, "vehicle.vin", "x"));
    deepEqual(JSON.parse(parts.localStorage.getItem(LOCAL.STORED_JOBS)), seen);
    deepEqual(phone.lost, { device: seen.device, n: 9, unsent: 2, photos: 1, restored: 0 }, "and it is told");
    await phone.forgetLoss();
    await phone.save(fieldSet(job, "vehicle.vin", "y"));
    equal(phone.lost, null);
    equal(JSON.parse(parts.localStorage.getItem(LOCAL.STORED_JOBS)).n, 1, "read, it gives way");
  }
});

test("an older state of the database: what it lacks comes back, and no number is given twice", async () => {
  const { parts, job, saved, device } = await waiting(3);
  const fresh = new Database({ name: parts.name });
  await fresh.write([STORE.STATE, STORE.ENTRIES, STORE.OUTBOX], async (t) => {
    t.put(STORE.STATE, { ...(await t.get(STORE.STATE, "device")), n: 1 });
    for (const { id } of saved.slice(1)) for (const store of [STORE.ENTRIES, STORE.OUTBOX]) t.delete(store, id);
  });
  const phone = await again(parts);
  deepEqual([phone.lost.device, phone.lost.n, phone.lost.restored], [device, 3, 2]);
  deepEqual(byId(await phone.entries(job)), byId(saved));
  ok((await phone.save(fieldSet(job, "vehicle.vin", "y"))).device !== device);
});

test("each unsent entry has its copy, and its verdict takes it away", async () => {
  const { phone, saved, server, sync, parts } = await syncSetting(3);
  const copies = () => Array.from({ length: parts.localStorage.length }, (_, k) => parts.localStorage.key(k))
    .filter((name) => name.startsWith(LOCAL.UNSENT)).map((name) => name.slice(LOCAL.UNSENT.length)).sort();
  deepEqual(copies(), saved.map(({ id }) => id).sort());
  server.refuses.add(saved[1].id);
  server.meddle = (path) => (path === "/api/entries" ? new TypeError("offline") : undefined);
  await sync();
  equal(copies().length, 3, "no verdict, no change");
  server.meddle = () => undefined;
  await sync();
  deepEqual(copies(), []);
  equal((await phone.unsent()).entries, 0);
});

test("what waits again after the server went back in time has its copy again", async () => {
  const { parts, saved, server, sync } = await syncSetting(2);
  await sync();
  server.epoch = "00000000-0000-4000-8000-0000000000ee";
  server.entries = [];
  let without = 0;
  server.meddle = (path) => {
    if (path === "/api/entries" && parts.localStorage.getItem(LOCAL.UNSENT + saved[0].id))
      return new TypeError("offline");
    without += 1;
    return undefined;
  };
  await sync();
  ok(without > 0);
  ok(saved.every(({ id }) => parts.localStorage.getItem(LOCAL.UNSENT + id)));
});

test("an answer that comes after the storage was made anew moves no pull position", async () => {
  const one = await syncSetting(2);
  await one.sync();
  const { phone, parts, server } = await syncSetting(1, 2);
  server.entries = one.server.entries;
  server.meddle = async (path, init) => {
    if (path !== "/api/entries") return undefined;
    const answer = server.exchange(JSON.parse(init.body));
    server.meddle = () => undefined;
    await empty(parts);
    return json(answer);
  };
  await run(phone, server, parts.clock);
  await run(phone, server, parts.clock);
  equal((await phone.entries(one.job)).length, 2, "everything is pulled");
  equal((await phone.unsent()).entries, 0);
});

test("the copies take two megabytes at most; what has none is still saved, and is said to be gone", async () => {
  const parts = phoneParts();
  const phone = await openPhone(parts);
  const job = phone.newJob();
  for (let k = 0; k < 12; k += 1) await phone.save(fieldSet(job, `vehicle.field-${k}`, "x".repeat(90_000)));
  const characters = Array.from({ length: parts.localStorage.length }, (_, k) => parts.localStorage.key(k))
    .reduce((sum, name) => sum + name.length + parts.localStorage.getItem(name).length, 0);
  ok(characters > 900_000 && characters * 2 < 2_000_000 + 1000, `${characters} characters`);
  equal((await phone.entries(job)).length, 12);
  await empty(parts);
  const { unsent, restored } = (await again(parts)).lost;
  deepEqual([unsent, restored], [1, 11]);
});

test("copies and outbox agree again after a start: of an older program, and after a crash", async () => {
  const { parts, phone, saved } = await waiting(2);
  parts.localStorage.removeItem(LOCAL.UNSENT + saved[0].id);
  await new Database({ name: parts.name }).write([STORE.OUTBOX], (t) => t.delete(STORE.OUTBOX, saved[1].id));
  const next = await again(parts);
  while (parts.localStorage.getItem(LOCAL.UNSENT + saved[1].id)) await new Promise((resolve) => setTimeout(resolve, 2));
  ok(parts.localStorage.getItem(LOCAL.UNSENT + saved[0].id) !== null);
  deepEqual([next.lost, phone.lost], [null, null]);
});

test("what is no whole copy stands in nobody's way", async () => {
  const { parts, saved, job } = await waiting(1);
  for (const [name, text] of [["x", "{"], ["1", "null"], [job, JSON.stringify({ entry: { id: job } })]]) {
    parts.localStorage.setItem(LOCAL.UNSENT + name, text);
  }
  await empty(parts);
  const phone = await again(parts);
  deepEqual([phone.health, await phone.entries(job)], [{ ok: true }, saved]);
});
