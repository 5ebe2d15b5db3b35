// Room that the phone holds in reserve on the disk: made whole or not at all, given up when a write finds none.

import { Reserve } from "/js/store/reserve.js";
import { LOCAL, STORE } from "/js/store/names.js";
import { openPhone, Phone } from "/js/store/phone.js";
import { FaultyFactory, NO_SPACE } from "./faulty-database.js";
import { deepEqual, equal, ok, rejects, test } from "./harness.js";
import { smallDisk } from "./small-disk.js";
import { fieldSet, phoneParts, photoTaken } from "./store-parts.js";

const CACHE = "tapermark.reserve";
const MEGABYTE = 1_048_576;

/** How many bytes lie in reserve. */
async function held() {
  const cache = await caches.open(CACHE);
  const pieces = await Promise.all((await cache.keys()).map(async (name) => (await cache.match(name)).blob()));
  return pieces.reduce((sum, { size }) => sum + size, 0);
}

/** Another program takes the room of the reserve as soon as it is given up, and leaves so much. */
const leaving = (left) => ({ onGone: (name, before) => (name === CACHE ? left : before) });

/** The browser's caches on a disk that takes no more than so many pieces. */
function cachesWithRoomFor(pieces) {
  return {
    open: async (name) => {
      const cache = await caches.open(name);
      let left = pieces;
      return {
        keys: () => cache.keys(), delete: (request) => cache.delete(request),
        put: (request, response) => {
          left -= 1;
          return left < 0 ? Promise.reject(new DOMException("Unexpected internal error.", "UnknownError"))
            : cache.put(request, response);
        },
      };
    },
  };
}

let ahead = 0;

/** Runs `body` when neither room nor the want of it is remembered any more. */
async function later(body) {
  const { now } = performance;
  ahead += 6000;
  performance.now = () => now.call(performance) + ahead;
  try {
    return await body();
  } finally {
    performance.now = now;
  }
}

test("a reserve is made once, given up at once, and made again", async () => {
  const reserve = new Reserve(caches);
  equal(await reserve.release(), false, "there is none yet");
  equal(await reserve.keep(), true);
  equal(await held(), 12 * MEGABYTE);
  equal(await reserve.keep(), true);
  equal(await held(), 12 * MEGABYTE, "no more of it");
  equal(await reserve.release(), true);
  equal(await held(), 0);
});

test("a disk that has no room for all of it is left as it was", async () => {
  equal(await new Reserve(cachesWithRoomFor(7)).keep(), false);
  equal(await held(), 0);
});

test("what is asked at once of a log that may be torn tries the disk once, not once each", async () => {
  let left = 14; // of 12 MB for a moment, and little more
  const disk = {
    open: async (name) => {
      const cache = await caches.open(name);
      const put = async (request, response) => {
        left -= 1;
        if (left < 0) throw new DOMException("Unexpected internal error.", "UnknownError");
        await cache.put(request, response);
      };
      const give = async (request) => {
        left += 1;
        return cache.delete(request);
      };
      return { keys: () => cache.keys(), put, delete: give };
    },
  };
  const parts = phoneParts();
  parts.localStorage.setItem(LOCAL.TORN_LOG, "1");
  const phone = new Phone({ ...parts, caches: disk });
  deepEqual(await Promise.all(["theme", "place", "units"].map((name) => phone.setting(name))),
    [undefined, undefined, undefined]);
});

test("a browser that gives no cache is not taken for a full one", async () => {
  const refusing = { open: async () => { throw new DOMException("not here", "SecurityError"); } };
  for (const none of [null, undefined, refusing]) {
    deepEqual([await new Reserve(none).keep(), await new Reserve(none).release()], [true, false]);
  }
});

test("on a full disk the reserve goes, a new log begins, what was typed is saved; the phone says so", async () => {
  const factory = new FaultyFactory();
  const parts = { ...phoneParts({ factory }), caches };
  const phone = await openPhone(parts);
  const job = phone.newJob();
  await phone.keepReserve();
  equal(phone.isTight, false);
  const heard = [];
  phone.onChange(({ jobs }) => { if (jobs.length === 0) heard.push(phone.isTight); });
  factory.faults = [NO_SPACE];
  equal((await phone.save(fieldSet(job, "vehicle.vin", "x"))).n, 1);
  equal(await held(), 0);
  ok(factory.written.some(({ stores }) => stores.length === 1 && stores[0] === STORE.DRAFTS), "a new log");
  deepEqual([phone.isTight, phone.health, heard], [true, { ok: true }, [true]]);
  factory.faults = [NO_SPACE, NO_SPACE];
  await rejects(phone.save(fieldSet(job, "vehicle.vin", "y")), { code: "store-full" }, "no room for a new log either");
  await phone.check(); // as when the person comes back from making room
  for (const limit = performance.now() + 10_000; phone.isTight && performance.now() < limit;)
    await new Promise((resolve) => setTimeout(resolve, 5));
  equal(phone.isTight, false);
  await new Reserve(caches).release();
});

test("a reserve that is whole is left as it is, and keeps no write waiting", async () => {
  const disk = smallDisk(20);
  const asked = [];
  const locks = { request: (name, options, act) => { asked.push(name); return act({}); } };
  const phone = await openPhone({ ...phoneParts({ locks }), caches: disk.caches });
  asked.length = 0;
  await phone.keepReserve();
  deepEqual([asked, disk.left], [["tapermark.disk"], 8]);
  await phone.keepReserve();
  equal(asked.length, 1);
});

test("what is taken to see whether there is room is given back, and is no part of the reserve", async () => {
  const disk = smallDisk(15);
  const reserve = new Reserve(disk.caches);
  equal(await reserve.keep(), true);
  deepEqual([await reserve.hasRoomFor(3), await reserve.hasRoomFor(4), disk.left], [true, false, 3]);
  const real = new Reserve(caches);
  const proof = await caches.open(`${CACHE}.proof`);
  await proof.put("/left", new Response("by a page that ended in between"));
  equal(await real.hasRoomFor(2), true);
  deepEqual([await held(), (await proof.keys()).length], [0, 0]);
});

/** The browser's caches; `spoil(call, count)` may throw for a call of a cache: "put", "delete" or "keys". */
function spoiltCaches(spoil) {
  let opened = 0;
  return {
    get opened() { return opened; },
    open: async (name) => {
      opened += 1;
      const cache = await caches.open(name);
      const counts = { handle: opened, put: 0, delete: 0, keys: 0 };
      const spoilt = (call) => async (...given) => {
        counts[call] += 1;
        spoil(call, counts);
        return cache[call](...given);
      };
      return { put: spoilt("put"), delete: spoilt("delete"), keys: spoilt("keys") };
    },
  };
}

test("a cache of the proof that fails under us is opened anew, whatever the browser calls it", async () => {
  for (const name of ["NotFoundError", "TypeError", "UnknownError"]) {
    const spoilt = spoiltCaches((call, { handle, put }) => {
      if (call === "put" && handle === 1 && put > 1) throw Object.assign(new Error("gone"), { name });
    });
    const reserve = new Reserve(spoilt);
    equal(await reserve.hasRoomFor(1), true);
    deepEqual([await reserve.hasRoomFor(1), spoilt.opened], [true, 2], name);
    deepEqual([await reserve.hasRoomFor(1), spoilt.opened], [true, 2], `${name}: and stays open then`);
  }
});

test("a piece of the proof that could not be taken out is taken out before the next", async () => {
  const left = async () => (await (await caches.open("tapermark.reserve.proof")).keys()).length;
  const reserve = new Reserve(spoiltCaches((call, counts) => {
    if (call === "delete" && counts.delete === 1) throw new Error("not now");
  }));
  equal(await reserve.hasRoomFor(2), true);
  equal(await left(), 1);
  equal(await reserve.hasRoomFor(1), true);
  equal(await left(), 0);
});

test("on a disk that is found full nothing is written, so that no write is broken off", async () => {
  const factory = new FaultyFactory();
  const disk = smallDisk(1);
  const parts = { ...phoneParts({ factory }), caches: disk.caches };
  const phone = await openPhone(parts);
  const job = phone.newJob();
  await phone.save(fieldSet(job, "vehicle.vin", "x"));
  disk.left = 0;
  const before = factory.written.length;
  await later(async () => {
    await rejects(phone.save(fieldSet(job, "vehicle.vin", "y")), { name: "SaveFailed", code: "store-full" });
    await rejects(phone.saveDraft("note", "z"), { code: "store-full" });
  });
  equal(factory.written.length, before, "the database was let alone");
  deepEqual([phone.isTight, parts.localStorage.getItem(LOCAL.TORN_LOG)], [true, null]);
  equal((await phone.entries(job)).length, 1, "what is there is read");
  disk.left = 1;
  await later(() => phone.save(fieldSet(job, "vehicle.vin", "y")));
  equal(factory.written.some(({ stores }) => stores[0] === STORE.DRAFTS), false, "no log to begin anew");
  equal((await phone.entries(job)).length, 2);
});

test("a reserve that another program takes at once is no room: nothing is written", async () => {
  const factory = new FaultyFactory();
  const disk = smallDisk(13, leaving(0));
  const phone = await openPhone({ ...phoneParts({ factory }), caches: disk.caches });
  await phone.keepReserve();
  disk.left = 0;
  const before = factory.written.length;
  await later(() => rejects(phone.save(fieldSet(phone.newJob(), "vehicle.vin", "x")), { code: "store-full" }));
  equal(factory.written.length, before);
});

test("nor is a new log begun in it", async () => {
  const factory = new FaultyFactory();
  const parts = phoneParts({ factory });
  const disk = smallDisk(13, leaving(2)); // enough for a value, not for a log
  const phone = await openPhone({ ...parts, caches: disk.caches });
  await phone.keepReserve();
  const before = factory.written.length;
  factory.faults = [NO_SPACE];
  await rejects(phone.save(fieldSet(phone.newJob(), "vehicle.vin", "x")), { code: "store-full" });
  equal(factory.written.length, before + 1, "the value that failed, and no more behind it");
});

test("the reserve is the room for a value, and then for the next, where nobody else takes it", async () => {
  const factory = new FaultyFactory();
  const disk = smallDisk(13);
  const phone = await openPhone({ ...phoneParts({ factory }), caches: disk.caches });
  const job = phone.newJob();
  await phone.keepReserve();
  disk.left = 0;
  await later(() => phone.save(fieldSet(job, "vehicle.vin", "x")));
  await later(() => phone.save(fieldSet(job, "vehicle.engine", "y")));
  deepEqual([(await phone.entries(job)).length, phone.isTight, disk.left], [2, true, 12]);
});

test("a photo asks for room of its size, a line of the shop for room too", async () => {
  const disk = smallDisk(3);
  const phone = await openPhone({ ...phoneParts(), caches: disk.caches });
  const job = phone.newJob();
  const photo = await photoTaken(job, new Uint8Array(2.5 * MEGABYTE).fill(7).buffer);
  await later(() => rejects(phone.save(photo), { code: "store-full" }));
  disk.left = 4;
  await later(() => phone.save(photo));
  const before = disk.taken;
  await later(async () => (await phone.lines()).takeFittings({ fittings: [], next: { epoch: "e", at: 1 } }));
  equal(disk.taken, before + 1);
});

test("where the browser's own count refuses a cache, the write is tried: it is refused whole, and older jobs make room",
    async () => {
  const put = async () => { throw new DOMException("Quota exceeded.", "QuotaExceededError"); };
  const counted = { open: async () => ({ keys: async () => [], delete: async () => false, put }) };
  const phone = await openPhone({ ...phoneParts(), caches: counted });
  equal((await phone.save(fieldSet(phone.newJob(), "vehicle.vin", "x"))).n, 1);
  equal(await new Reserve(counted).keep(), false);
});
