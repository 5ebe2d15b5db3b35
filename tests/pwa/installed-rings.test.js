// What sits at the wheels and which lots went in, against the golden jobs that the server's is held to as well.

import { fittingOf } from "/js/domain/job/fitting.js";
import { fold } from "/js/domain/job/fold.js";
import { installedPairAt, lotsOf } from "/js/domain/job/installed-rings.js";
import { bothSides } from "/js/domain/job/readings.js";
import { deepEqual, fixture, ok, test } from "./harness.js";

const { cases } = await fixture("golden/installed.json");

test("every golden job has the same pairs in, and the same lots", () => {
  ok(cases.length >= 80);
  for (const { about, entries, installed, lots } of cases) {
    const state = fold(entries);
    deepEqual(bothSides((side) => shown(installedPairAt(state, side))), installed, about);
    deepEqual(lotsOf(state), lots, about);
  }
});

test("every golden job leaves the same in the vehicle as the shop tells phones of it", () => {
  for (const { about, entries, fitting } of cases) {
    const state = fold(entries);
    deepEqual(bothSides((side) => fittingOf(state, side)), fitting, about);
  }
});

function shown(pair) {
  return pair && { ring_set: pair.ring_set, pair: pair.pair, round: pair.round, table: pair.table ?? null,
    leaving: pair.leaving ?? false };
}
