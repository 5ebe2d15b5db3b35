// A pairing that the shop has ended: what it has and has backed up leaves the phone, and nothing else does.

import { openPhone } from "/js/store/phone.js";
import { Sync } from "/js/sync/sync.js";
import { deepEqual, equal, test } from "./harness.js";
import { fieldSet, phoneParts, photoTaken } from "./store-parts.js";
import { problem, SmallServer, syncParts } from "./sync-parts.js";

const DAY_MS = 24 * 3600 * 1000;
const START_MS = Date.UTC(2026, 2, 2, 9);

/** A phone with an open job (a field, a photo) that is synced and in a backup, and what ends its pairing. */
async function setting() {
  const parts = phoneParts();
  const phone = await openPhone(parts);
  const server = new SmallServer();
  const add = async () => {
    const job = phone.newJob();
    await phone.save(fieldSet(job, "vehicle.registration", "TM 1"));
    return job;
  };
  const job = await add();
  const { body: { sha256 } } = await phone.save(await photoTaken(job, new Uint8Array([1, 2, 3]).buffer));
  const syncOn = async (day) => {
    server.time = new Date(START_MS + day * DAY_MS).toISOString();
    const sync = new Sync(phone, syncParts(server, parts.clock));
    await sync.now();
    return sync.state;
  };
  const end = () => { server.meddle = () => problem(401, "pairing-ended"); };
  await syncOn(0);
  return { phone, server, job, sha256, add, syncOn, end };
}

test("what is sent and backed up goes at the next contact, open or not, and it is said", async () => {
  const { phone, server, job, sha256, syncOn, end } = await setting();
  await phone.save(fieldSet(job, "vehicle.vin", "a later sync")); // a backup that has it has the photo too
  await syncOn(1);
  server.backedUp = server.entries.length;
  await syncOn(3);
  end();
  const state = await syncOn(3);
  deepEqual([state.status, state.text], ["not-paired", "sync.pairing-ended"]);
  deepEqual([await phone.jobIds(), await phone.photo(sha256)], [[], null]);
  server.meddle = () => undefined; // paired again
  await syncOn(4);
  equal((await phone.jobIds()).length, 1, "it is pulled from the beginning");
});

test("what is in no backup stays", async () => {
  const { phone, job, sha256, syncOn, end } = await setting();
  await syncOn(2);
  end();
  await syncOn(2);
  deepEqual([await phone.jobIds(), (await phone.photo(sha256)) !== null], [[job], true]);
});

test("a job with anything unsent or refused stays whole, and goes once the shop has it", async () => {
  const { phone, server, job, add, syncOn, end } = await setting();
  server.backedUp = server.entries.length;
  await syncOn(2);
  const bad = await phone.save(fieldSet(await add(), "vehicle.vin", "refused"));
  server.refuses.add(bad.id);
  await syncOn(2);
  server.backedUp = server.entries.length;
  await syncOn(4);
  await phone.save(fieldSet(job, "vehicle.vin", "not sent"));
  end();
  await syncOn(4);
  deepEqual((await phone.jobIds()).sort(), [job, bad.job].sort());
  equal((await phone.entries(job)).length, 3);
  deepEqual([(await phone.unsent()).entries, (await phone.refused()).length], [1, 1]);
});

test("a job that somebody has worked on within the day and not closed stays: a wheel may be off", async () => {
  const { phone, server, job, syncOn, end } = await setting();
  server.backedUp = server.entries.length;
  await syncOn(0.5);
  end();
  await syncOn(0.5);
  deepEqual(await phone.jobIds(), [job]);
});
