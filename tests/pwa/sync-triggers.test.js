// When sync runs, and that only one tab sends.

import { openPhone } from "/js/store/phone.js";
import { startSync } from "/js/sync/sync.js";
import { deepEqual, equal, ok, test } from "./harness.js";
import { fieldSet, phoneParts } from "./store-parts.js";
import { SmallServer, syncParts } from "./sync-parts.js";

/** Timers that fire when the test says so; `waits` are the delays asked for, newest last. */
class HandTimers {
  waits = [];
  #due = null;

  set(f, ms) {
    this.waits.push(ms);
    this.#due = f;
    return 1;
  }

  clear() {
    this.#due = null;
  }

  /** Lets the waiting timer fire; false if none waits. */
  async fire() {
    const due = this.#due;
    this.#due = null;
    await due?.();
    return due !== null;
  }
}

async function started(more = {}) {
  const parts = phoneParts();
  const phone = await openPhone(parts);
  const server = new SmallServer();
  const timers = { hand: new HandTimers() };
  timers.set = (f, ms) => timers.hand.set(f, ms);
  timers.clear = () => timers.hand.clear();
  const options = { ...syncParts(server, parts.clock), timers, ...more };
  const sync = startSync(phone, options);
  await finished(sync);
  return { phone, server, sync, timers: timers.hand, page: options.page, job: phone.newJob() };
}

/** Resolves when the sync under way has ended: a request to sync joins the one that runs. */
function finished(sync) {
  return sync.now();
}

test("it runs at the start, and looks again after a quiet time", async () => {
  const { server, timers, sync } = await started();
  equal(sync.state.status, "idle");
  deepEqual(timers.waits, [300_000]);
  const before = server.asked.length;
  ok(await timers.fire());
  ok(server.asked.length > before);
  sync.stop();
});

test("a save is sent soon after", async () => {
  const { phone, server, timers, sync, job } = await started();
  await phone.save(fieldSet(job, "vehicle.vin", "x"));
  equal(timers.waits.at(-1), 800);
  await timers.fire();
  equal(server.entries.length, 1);
  sync.stop();
});

test("failures are tried again ever more slowly, success at once afresh", async () => {
  const { phone, server, timers, sync, job } = await started();
  server.meddle = () => new TypeError("no network");
  await phone.save(fieldSet(job, "vehicle.vin", "x"));
  for (let k = 0; k < 9; k += 1) await timers.fire();
  deepEqual(timers.waits.slice(2), [10_000, 20_000, 40_000, 60_000, 60_000, 60_000, 60_000, 60_000, 60_000]);
  server.meddle = () => undefined;
  await timers.fire();
  equal(timers.waits.at(-1), 300_000);
  equal(server.entries.length, 1);
  sync.stop();
});

test("coming back to the page, or to the network, is a reason to try; what navigator.onLine says is none", async () => {
  Object.defineProperty(navigator, "onLine", { value: false, configurable: true });
  const { server, page, sync } = await started();
  for (const name of ["online", "pageshow", "visibilitychange"]) {
    server.asked = [];
    page.dispatchEvent(new Event(name));
    await sync.now();
    ok(server.asked.length > 0, name);
  }
  sync.stop();
  server.asked = [];
  page.dispatchEvent(new Event("online"));
  equal(server.asked.length, 0, "stopped");
  delete navigator.onLine;
});

test("a second call during a sync makes one more, not a second at the same time", async () => {
  const { server, sync } = await started();
  let open = 0;
  let most = 0;
  server.meddle = async () => {
    open += 1;
    most = Math.max(most, open);
    await new Promise((resolve) => setTimeout(resolve, 2));
    open -= 1;
  };
  server.asked = [];
  await Promise.all([sync.now(), sync.now(), sync.now()]);
  equal(most, 1);
  equal(server.asked.filter(([, path]) => path === "/api/session").length, 2);
  sync.stop();
});

test("of two tabs one sends; the other says so and tries again later", async () => {
  let release;
  const held = new Promise((resolve) => { release = resolve; });
  const first = await started({ locks: navigator.locks });
  const second = await started({ locks: navigator.locks });
  let begun;
  const hasTheLock = new Promise((resolve) => { begun = resolve; });
  first.server.meddle = async () => { begun(); await held; };
  const sending = first.sync.now();
  await hasTheLock;
  second.server.asked = [];
  await second.sync.now();
  deepEqual([second.server.asked, second.sync.state.text], [[], "sync.another-tab"]);
  equal(second.timers.waits.at(-1), 10_000);
  release();
  await sending;
  first.sync.stop();
  second.sync.stop();
});
