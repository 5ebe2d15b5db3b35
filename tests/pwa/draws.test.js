// When the screen is drawn: a person's own change at once, a pull's many pages now and then, and never two at a time.

import { BETWEEN_MS, Draws } from "/js/ui/draw-queue.js";
import { deepEqual, equal, test } from "./harness.js";

/** Draws that note when they ran; `at(ms)` moves the clock and fires what is due. */
function setting(draw = async () => {}) {
  const drawn = [];
  let ms = 0;
  let due = null;
  const draws = new Draws(() => { drawn.push(ms); return draw(); }, {
    clock: () => ms,
    timers: { set: (f, inMs) => { due = { f, ms: ms + inMs }; return due; },
      clear: (timer) => { if (timer === due) due = null; } },
  });
  const settle = () => new Promise((resolve) => { setTimeout(resolve); });
  return {
    draws, drawn, settle,
    at: async (newMs) => {
      ms = newMs;
      if (due && due.ms <= ms) { const { f } = due; due = null; f(); }
      await settle();
    },
  };
}

test("what changes what is drawn is waited for, and then drawn once; the background lets both pass", async () => {
  let drawing;
  const { draws, drawn, settle } = setting(() => new Promise((done) => { drawing = done; }));
  let end;
  const order = [];
  draws.hold(new Promise((done) => { end = done; })).then(() => order.push("held"));
  draws.now();
  draws.quiet().then(() => order.push("quiet"));
  await settle();
  deepEqual([drawn, order], [[], []]);
  end();
  draws.now();
  await settle();
  deepEqual([drawn, order], [[0], ["held"]]);
  drawing();
  await settle();
  deepEqual([drawn, order], [[0], ["held", "quiet"]]);
});

test("the background does not wait for ever", async () => {
  const { draws, at } = setting(() => new Promise(() => {}));
  draws.now();
  let isQuiet = false;
  draws.quiet().then(() => { isQuiet = true; });
  await at(900);
  equal(isQuiet, false);
  await at(1000);
  equal(isQuiet, true);
});

test("a hundred pages of a pull within two seconds are drawn once at once and once after three seconds", async () => {
  const { draws, drawn, at, settle } = setting();
  for (let page = 0; page < 100; page += 1) {
    await at(page * 20);
    draws.soon();
    await settle();
  }
  await at(2000);
  deepEqual(drawn, [0]);
  await at(BETWEEN_MS);
  deepEqual(drawn, [0, BETWEEN_MS]);
  await at(10 * BETWEEN_MS);
  equal(drawn.length, 2, "nothing came: nothing is drawn");
});

test("a person's own change is drawn at once, and what sync brought with it", async () => {
  const { draws, drawn, at } = setting();
  draws.soon();
  await at(0);
  await at(100);
  draws.soon();
  await draws.now();
  deepEqual(drawn, [0, 100]);
  await at(BETWEEN_MS + 100);
  equal(drawn.length, 2, "the draw that waited for its time is done");
});

test("one draw at a time, and what is asked while it runs is one more", async () => {
  const ends = [];
  const { draws, drawn, settle } = setting(() => new Promise((resolve) => { ends.push(resolve); }));
  draws.now();
  await settle();
  const later = [draws.now(), draws.now(), draws.now()];
  draws.soon();
  await settle();
  equal(drawn.length, 1, "the first still runs");
  ends[0]();
  await settle();
  equal(drawn.length, 2);
  ends[1]();
  await Promise.all(later);
  await settle();
  equal(drawn.length, 2);
});
