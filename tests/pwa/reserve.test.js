// Room that the phone holds in reserve on the disk: made whole or not at all, given up when a write finds none.

import { Reserve } from "/js/store/reserve.js";
import { LOCAL, STORE } from "/js/store/names.js";
import { openPhone, Phone } from "/js/store/phone.js";
import { FaultyFactory, NO_SPACE } from "./faulty-database.js";
import { deepEqual, equal, ok, rejects, test } from "./harness.js";
import { fieldSet, phoneParts } from "./store-parts.js";

const CACHE = "tapermark.reserve";
const MEGABYTE = 1_048_576;

/** How many bytes lie in reserve. */
async function held() {
  const cache = await caches.open(CACHE);
  const pieces = await Promise.all((await cache.keys()).map(async (name) => (await cache.match(name)).blob()));
  return pieces.reduce((sum, { size }) => sum + size, 0);
}

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
          return left < 0 ? Promise.reject(new DOMException("Unexpected internal error.", "UnknownError")) : cache.put(request, response);
        },
      };
    },
  };
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
  deepEqual(await Promise.all(["theme", "place", "units"].map((name) => phone.setting(name))), [undefined, undefined, undefined]);
});

test("a browser that gives no cache is not taken for a full one", async () => {
  const refusing = { open: async () => { throw new DOMException("not here", "SecurityError"); } };
  for (const none of [null, undefined, refusing]) {
    deepEqual([await new Reserve(none).keep(), await new Reserve(none).release()], [true, false]);
  }
});

test("on a full disk the reserve is given up, a new log begun, and what was typed is saved; it is said until there is room", async () => {
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
  for (const limit = performance.now() + 10_000; phone.isTight && performance.now() < limit;) await new Promise((resolve) => setTimeout(resolve, 5));
  equal(phone.isTight, false);
  await new Reserve(caches).release();
});
