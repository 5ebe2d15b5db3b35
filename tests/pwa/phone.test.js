// The phone's store through its facade, in a real browser database.

import { openPhone } from "/js/store/phone.js";
import { deepEqual, equal, ok, rejects, test } from "./harness.js";
import { fieldSet, phoneParts, photoTaken } from "./store-parts.js";

test("a saved entry is whole, numbered and waits to be sent", async () => {
  const phone = await openPhone(phoneParts());
  deepEqual(phone.health, { ok: true });
  const job = phone.newJob();
  const opened = await phone.save({ job, kind: "job-opened", slot: null, after: [], body: { checklist: 1 },
    by: "Ada Lind" });
  const field = await phone.save(fieldSet(job, "vehicle.registration", "QX 12 ABC"));
  deepEqual([opened.n, field.n], [1, 2]);
  equal(opened.slot, opened.id);
  equal(opened.device, field.device);
  deepEqual(await phone.entries(job), [opened, field].sort((a, b) => (a.id < b.id ? -1 : 1)));
  deepEqual((await phone.jobs()).map(({ job: name, unsent }) => [name, unsent]), [[job, 2]]);
  deepEqual(await phone.unsent(), { entries: 2, photos: 0, oldest_at: Date.UTC(2026, 2, 2, 8, 0, 0) });
});

test("a photo is kept as bytes, with its entry", async () => {
  const parts = phoneParts();
  const phone = await openPhone(parts);
  const job = phone.newJob();
  const bytes = new Uint8Array([255, 216, 1, 2, 3]).buffer;
  const entry = await phone.save(await photoTaken(job, bytes));
  deepEqual(await phone.photo(entry.body.sha256), { bytes, mime: "image/jpeg" });
  equal(await phone.photo("0".repeat(64)), null);
  deepEqual((await phone.unsent()).photos, 1);
});

test("photos that cannot be kept are refused and nothing of them is stored", async () => {
  const phone = await openPhone(phoneParts());
  const job = phone.newJob();
  await rejects(phone.save(await photoTaken(job, new ArrayBuffer(0))), { code: "photo-empty" });
  await rejects(phone.save(await photoTaken(job, new ArrayBuffer(20_000_001))), { code: "photo-too-large" });
  const content = await photoTaken(job, new Uint8Array([1, 2]).buffer);
  content.photo.bytes = new Uint8Array([1, 3]).buffer;
  await rejects(phone.save(content), { code: "photo-damaged", name: "SaveFailed" });
  deepEqual(await phone.jobs(), []);
});

test("settings and drafts come back; an absent one is undefined", async () => {
  const phone = await openPhone(phoneParts());
  equal(await phone.setting("technician"), undefined);
  await phone.setSetting("technician", "Ada Lind");
  equal(await phone.setting("technician"), "Ada Lind");
  await phone.saveDraft("job", { text: "0.3" });
  deepEqual(await phone.draft("job"), { text: "0.3" });
  await phone.dropDraft("job");
  equal(await phone.draft("job"), undefined);
});

test("listeners hear each change", async () => {
  const phone = await openPhone(phoneParts());
  const heard = [];
  const stop = phone.onChange((change) => heard.push(change.jobs));
  const job = phone.newJob();
  await phone.save(fieldSet(job, "vehicle.vin", null));
  stop();
  await phone.save(fieldSet(job, "vehicle.vin", "x"));
  deepEqual(heard, [[job]]);
});

test("an entry of a kind that this program does not know is never written", async () => {
  const phone = await openPhone(phoneParts());
  const job = phone.newJob();
  await rejects(phone.save({ ...fieldSet(job, "vehicle.vin", 1), kind: "field-erased" }), { code: "entry" });
  await rejects(phone.save({ ...fieldSet(job, "vehicle.vin", 1), by: " " }), { code: "entry" });
  await rejects(phone.save({ ...fieldSet(job, "Vehicle VIN", 1) }), { code: "entry" });
  deepEqual(await phone.entries(job), []);
  equal((await phone.save(fieldSet(job, "vehicle.vin", 1))).n, 1, "a refused entry takes no number");
});

test("what could not be saved is kept as text until its slot is saved", async () => {
  const phone = await openPhone(phoneParts());
  const job = phone.newJob();
  await rejects(phone.save({ ...fieldSet(job, "vehicle.vin", "typed"), by: "" }));
  deepEqual(phone.rescued().map((kept) => kept.body), [{ value: "typed" }]);
  await phone.save(fieldSet(job, "vehicle.vin", "typed"));
  deepEqual(phone.rescued(), []);
});

test("the export holds what waits, with the photos", async () => {
  const phone = await openPhone(phoneParts());
  const job = phone.newJob();
  const field = await phone.save(fieldSet(job, "vehicle.vin", "x"));
  const photo = await phone.save(await photoTaken(job, new Uint8Array([7, 8, 9]).buffer));
  const file = JSON.parse(await (await phone.exportUnsent()).text());
  deepEqual(file.entries.sort((a, b) => a.n - b.n), [field, photo]);
  deepEqual(file.photos, [{ sha256: photo.body.sha256, mime: "image/jpeg", base64: btoa("\x07\x08\x09") }]);
  deepEqual([file.device, file.whole], [field.device, true]);
});

test("two tabs that probe the store at the same moment do not take each other for a fault", async () => {
  const one = phoneParts();
  const phones = [await openPhone(one), await openPhone(phoneParts({ name: one.name, seed: 2 }))];
  for (let k = 0; k < 20; k += 1) {
    deepEqual(await Promise.all(phones.map((phone) => phone.check())), [{ ok: true }, { ok: true }]);
  }
});
