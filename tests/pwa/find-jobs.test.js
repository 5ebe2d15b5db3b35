// Jobs that a phone does not hold by itself: found by registration, brought whole, kept like any other.

import { openPhone } from "/js/store/phone.js";
import { bringJob, findJobs } from "/js/sync/find-jobs.js";
import { deepEqual, equal, test } from "./harness.js";
import { fieldSet, phoneParts } from "./store-parts.js";
import { json, problem, setting } from "./sync-parts.js";

/** A shop that holds a job of an older phone, and a phone that has never seen it. */
async function shopWithOldJob() {
  const old = await setting(2);
  await old.phone.save(fieldSet(old.job, "vehicle.registration", "QX 41"));
  await old.sync();
  return { server: old.server, job: old.job, phone: await openPhone(phoneParts({ seed: 7 })) };
}

/** What a promise rejects with. */
async function codeOf(promise) {
  return promise.then(() => null, ({ code }) => code);
}

test("a job is found by its registration, brought whole, and nothing of it waits to be sent", async () => {
  const { server, job, phone } = await shopWithOldJob();
  deepEqual((await findJobs("QX 41", server.fetch)).map(({ id }) => id), [job]);
  deepEqual(await findJobs("none/such?&", server.fetch), []);
  await bringJob(phone, job, server.fetch);
  deepEqual((await phone.entries(job)).map(({ id }) => id).sort(), server.entries.map(({ id }) => id).sort());
  equal((await phone.unsent()).entries, 0);
  equal((await phone.syncStore.cursor()).since, null, "the pull position stays");
});

test("what is kept already is not changed, and what waits of it goes on waiting", async () => {
  const { server, job, phone } = await shopWithOldJob();
  await bringJob(phone, job, server.fetch);
  await phone.save(fieldSet(job, "vehicle.tank", "half"));
  await bringJob(phone, job, server.fetch);
  deepEqual([(await phone.entries(job)).length, (await phone.unsent()).entries], [4, 1]);
});

test("no way to the shop, no pairing, or half an answer: said by its code, and nothing is kept", async () => {
  const { server, job, phone } = await shopWithOldJob();
  const meddled = {
    "offline": () => new TypeError("cut"),
    "not-paired": () => problem(403, "not-paired"),
    "not-our-server": () => new Response("<html>Welcome</html>"),
    "server-trouble": (path) => (path.startsWith("/api/jobs") ? json({ format: 1 }) : undefined),
  };
  for (const [code, meddle] of Object.entries(meddled)) {
    server.meddle = meddle;
    equal(await codeOf(findJobs("QX 41", server.fetch)), code);
    equal(await codeOf(bringJob(phone, job, server.fetch)), code);
  }
  deepEqual(await phone.jobs(), []);
});

test("a ring table that cannot come now does not keep the job away", async () => {
  const { server, job, phone } = await shopWithOldJob();
  server.meddle = (path) => (path.startsWith("/api/ring-sets") ? problem(500, "broken") : undefined);
  await bringJob(phone, job, server.fetch);
  equal((await phone.entries(job)).length, 3);
});
