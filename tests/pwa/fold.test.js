// The phone's fold against the golden histories that the server's is held to as well.

import { fold, liveIds } from "/js/domain/job/fold.js";
import { deepEqual, equal, fixture, ok, test } from "./harness.js";
import { seededRandom } from "./store-parts.js";

const { cases } = await fixture("golden/fold.json");
const LISTS = ["photos", "notes", "signed", "stopped", "unknown"];

test("every golden history, in several orders and with repetitions", () => {
  ok(cases.length >= 90);
  const random = seededRandom(5);
  for (const { about, entries, fold: expected } of cases) {
    deepEqual(asIds(fold(entries)), expected, about);
    for (let turn = 0; turn < 5; turn += 1)
      deepEqual(asIds(fold(shuffled([...entries, ...entries], random))), expected, about);
  }
});

test("the arguments stay as they were", () => {
  const { entries } = cases.find((each) => each.about.startsWith("two phones"));
  const before = JSON.stringify(entries);
  fold(entries);
  equal(JSON.stringify(entries), before);
});

test("a signature covers every live entry", () => {
  const { entries, fold: expected } = cases.find((each) => each.about.startsWith("two phones"));
  deepEqual(liveIds(entries), expected.slots["vehicle.vin"]);
});

test("an entry of another program without after or body does not stop the fold", () => {
  const odd = [{ id: "a", kind: "job-signed", slot: "a" }, { id: "b", kind: "field-weighed", slot: "x", after: "all" }];
  deepEqual([fold(odd).state, fold(odd).unknown.length], ["signed", 1]);
});

function asIds({ plans: _plans, ...state }) {
  const ids = (entries) => entries.map((entry) => entry.id);
  return {
    ...state,
    ...Object.fromEntries(LISTS.map((name) => [name, ids(state[name])])),
    slots: Object.fromEntries(Object.entries(state.slots).map(([slot, entries]) => [slot, ids(entries)])),
  };
}

function shuffled(list, random) {
  const rest = [...list];
  const mixed = [];
  while (rest.length > 0) mixed.push(...rest.splice(random(1)[0] % rest.length, 1));
  return mixed;
}
