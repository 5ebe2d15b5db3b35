// Ring sets that are here are chosen from first; a person's own word and a plan that was taken come before that.

import { fold } from "/js/domain/job/fold.js";
import { alsoTaken, hereFirst, isClearlyBetter, pairsOf, ringsAt } from "/js/domain/job/rings-at-hand.js";
import { RINGS_FROM, takesOf } from "/js/domain/job/rings-taken.js";
import { deepEqual, equal, test } from "./harness.js";

const LIST = {
  places: [{ id: "van", name: "Van 2" }, { id: "store", name: "Store" }],
  counts: [{ place: "van", ring_set: "a", pairs: 2 }, { place: "van", ring_set: "b", pairs: -1 },
    { place: "store", ring_set: "c", pairs: 5 }],
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

test("where nothing suits that is here, where nobody knows, and where a person has said which, all are chosen from",
    () => {
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
  deepEqual(pairsOf(of("b", "c"), atHand),
    [{ ring_set: "b", taken: 1, here: -1 }, { ring_set: "c", taken: 1, here: 0 }]);
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

let made = 0;
function entry(kind, slot, body, id = String(made += 1)) {
  return { id, kind, slot, after: [], body };
}
const pairOf = (ring_set, pair = [1, 2]) => ({ ring_set, pair });
const plan = (round, left, right, id) => entry("plan-chosen", `round.${round}.plan`,
  { plan: { left, right }, tables: { a: "1", b: "1" } }, id);
const ticked = (slot, planId) => entry("step-done", slot, { hold: true, ...(planId && { plan: planId }) });
const FROM_VAN = entry("field-set", RINGS_FROM, { value: { place: "van" } });
const taken = (...entries) => takesOf(fold([FROM_VAN, ...entries]))?.ring_sets.sort() ?? null;

test("an open job will take what its plan puts in, and has taken what somebody ticked", () => {
  deepEqual(takesOf(fold([FROM_VAN, plan(1, pairOf("a"), pairOf("b"))])), { place: "van", ring_sets: ["a", "b"] });
  equal(takesOf(fold([plan(1, pairOf("a"), null)])), null, "nobody has said from where");
  equal(taken(), null);
  equal(taken(plan(1, null, null)), null);
  deepEqual(taken(plan(1, pairOf("a"), null), plan(2, pairOf("b"), null)), ["b"],
    "an earlier plan that was never fitted takes nothing");
  deepEqual(taken(plan(1, pairOf("a"), null), ticked("fit.left.rings-in"), plan(2, pairOf("b"), null)), ["a", "b"]);
  deepEqual(taken(plan(1, pairOf("a"), null), ticked("fit.left.rings-in"), plan(2, pairOf("a"), null)), ["a"],
    "the same pair again");
  deepEqual(taken(plan(1, pairOf("a"), null, "x"), { ...plan(1, pairOf("b"), null), after: ["x"] },
    ticked("fit.left.rings-in", "x")), ["a", "b"], "fitted by a plan that was changed since");
  equal(taken(plan(1, pairOf("a"), null), plan(1, pairOf("b"), null)), null, "where people differ nothing holds");
});

test("of a closed job that the shop does not have: what was fitted", () => {
  const signed = entry("job-signed", "s", { covers: [] });
  const stopped = entry("job-stopped", "t", { reason: "x" });
  deepEqual(taken(plan(1, pairOf("a"), pairOf("a")), signed), ["a", "a"]);
  equal(taken(plan(1, pairOf("a"), pairOf("a")), stopped), null);
  deepEqual(taken(plan(1, pairOf("a"), pairOf("a")), ticked("fit.right.rings-in"), stopped), ["a"]);
});

test("what other jobs take of a place, open ones and closed ones that are not sent", () => {
  const row = (job, state, unsent, ...sets) =>
    ({ job, state, unsent, takes: sets.length > 0 ? { place: "van", ring_sets: sets } : null });
  const rows = [row("this", "open", 1, "a"), row("1", "open", 0, "a", "a"), row("2", "open", 3, "a", "b"),
    row("3", "signed", 0, "a"), row("4", "signed", 2, "a"), row("5", "open", 0),
    { ...row("6", "open", 0, "a"), takes: { place: "store", ring_sets: ["a"] } }, { job: "7", unsent: 0 }];
  deepEqual([...alsoTaken(rows, { job: "this", place: "van" })],
    [["a", { open: { jobs: 2, pairs: 3 }, unsent: { jobs: 1, pairs: 1 } }],
      ["b", { open: { jobs: 1, pairs: 1 }, unsent: { jobs: 0, pairs: 0 } }]]);
});
