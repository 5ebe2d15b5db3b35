// Ring sets that are here are chosen from first; a person's own word and a plan that was taken come before that.

import { hereFirst, isClearlyBetter, pairsOf, ringsAt } from "/js/domain/job/rings-at-hand.js";
import { deepEqual, equal, test } from "./harness.js";

const LIST = {
  places: [{ id: "van", name: "Van 2" }, { id: "store", name: "Store" }],
  counts: [{ place: "van", ring_set: "a", pairs: 2 }, { place: "van", ring_set: "b", pairs: -1 }, { place: "store", ring_set: "c", pairs: 5 }],
};
const atHand = ringsAt(LIST, "van");
const KNOWN = { atHand, isSaid: false, taken: null, putIn: [] };
const IDS = ["c", "a", "b"];

test("only what is counted at the phone's own place is here", () => {
  deepEqual([...atHand.pairs], [["a", 2], ["b", -1]]);
  equal(ringsAt(LIST, "gone"), null);
  equal(ringsAt(LIST, ""), null);
  equal(ringsAt(null, "van"), null);
});

test("what is here is chosen from, in the order of the sets; a set that a person put in too", () => {
  deepEqual(hereFirst(IDS, KNOWN), ["a"]);
  deepEqual(hereFirst(IDS, { ...KNOWN, putIn: ["c"] }), ["c", "a"]);
});

test("where nothing suits that is here, where nobody knows, and where a person has said which, all are chosen from", () => {
  deepEqual(hereFirst(["c", "b"], KNOWN), ["c", "b"]);
  deepEqual(hereFirst(IDS, { ...KNOWN, atHand: null }), IDS);
  deepEqual(hereFirst(IDS, { ...KNOWN, isSaid: true }), IDS);
});

test("a plan that was taken is asked for the sets that it was chosen from, whatever is counted since", () => {
  deepEqual(hereFirst(IDS, { ...KNOWN, taken: ["b"] }), ["b"]);
  deepEqual(hereFirst(IDS, { ...KNOWN, taken: ["gone"] }), IDS);
});

test("pairs that a plan takes stand beside those that are there", () => {
  const of = (left, right) => ({ left: left && { ring_set: left }, right: right && { ring_set: right } });
  deepEqual(pairsOf(of("a", "a"), atHand), [{ ring_set: "a", taken: 2, here: 2 }]);
  deepEqual(pairsOf(of("b", "c"), atHand), [{ ring_set: "b", taken: 1, here: -1 }, { ring_set: "c", taken: 1, here: 0 }]);
  deepEqual(pairsOf(of(null, null), atHand), []);
});

test("less toe, then less camber outside is better; a chance only where it is clearly higher", () => {
  const plan = (toe, camber, chance) => ({ toe_steps: toe, camber_steps: camber, chance });
  equal(isClearlyBetter(plan(0, 5, 0.1), plan(1, 0, 0.9)), true);
  equal(isClearlyBetter(plan(1, 0, 0.9), plan(1, 1, 0.9)), true);
  equal(isClearlyBetter(plan(1, 2, 0.9), plan(1, 1, 0.1)), false);
  equal(isClearlyBetter(plan(0, 0, 0.9), plan(0, 0, 0.75)), false);
  equal(isClearlyBetter(plan(0, 0, 0.9), plan(0, 0, 0.6)), true);
});
