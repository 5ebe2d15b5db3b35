// Entries recorded by a released phone: this program reads them all and would write them the same.

import { KINDS, makeEntry } from "/js/domain/job/entry.js";
import { fold } from "/js/domain/job/fold.js";
import { chooseInputOf } from "/js/domain/job/job.js";
import { deepEqual, equal, fixture, test } from "./harness.js";

const VERSIONS = ["v1"];

for (const version of VERSIONS) {
  const entries = await recorded(version);

  test(`${version}: every kind is written as it was`, () => {
    deepEqual([...new Set(entries.map((entry) => entry.kind))].sort(), [...KINDS].sort());
    for (const entry of entries) {
      const { id, device, n, at, ...content } = entry;
      const own = entry.slot === entry.id;
      deepEqual(makeEntry({ ...content, slot: own ? null : entry.slot }, { id, device, n, at }), entry);
    }
  });

  test(`${version}: the job folds, and chooses from the same readings`, () => {
    const folded = fold(entries);
    deepEqual([folded.state, folded.conflicts, folded.after_signing, folded.unknown], ["signed", [], [], []]);
    equal(folded.photos.length + folded.notes.length, 2);
    const { input } = folded.slots["round.1.plan"][0].body;
    deepEqual(chooseInputOf(folded, 1, input.ring_sets).input, input);
  });
}

async function recorded(version) {
  const list = await (await fetch(`/fixtures/entries/${version}/SHA256SUMS`)).text();
  const names = list.trim().split("\n").map((line) => line.split("  ")[1]);
  return Promise.all(names.map((name) => fixture(`entries/${version}/${name}`)));
}
