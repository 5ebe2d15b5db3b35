// The phone's fold against the golden histories, which the server's fold is held to as well.

import { fold } from "/js/domain/fold.js";
import { deepEqual, equal, fixture, test } from "./harness.js";

const LISTS = ["photos", "notes", "signed", "stopped", "unknown"];
const idsOf = (entries) => entries.map(({ id }) => id);

function golden(folded) {
  const slots = Object.fromEntries(Object.entries(folded.slots).sort().map(([slot, entries]) => [slot, idsOf(entries)]));
  const lists = Object.fromEntries(LISTS.map((name) => [name, idsOf(folded[name])]));
  return { slots, ...lists, state: folded.state, conflicts: folded.conflicts, after_signing: folded.after_signing };
}

test("every golden history folds as in Python, in any order and with repetitions", async () => {
  const { cases } = await fixture("golden/fold.json");
  equal(cases.length >= 36, true, "cases");
  for (const { about, entries, fold: expected } of cases) {
    deepEqual(golden(fold(entries)), expected, about);
    deepEqual(golden(fold([...entries].reverse().concat(entries))), expected, `${about}, reversed and twice`);
  }
});
