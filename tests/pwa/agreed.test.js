// Whether what was written for a plan is behind it: by what the plan does, not by which entry says it.

import { isForOtherWork } from "/js/domain/job/agreed-plan.js";
import { fold } from "/js/domain/job/fold.js";
import { deepEqual, test } from "./harness.js";

const pair = (i, j) => ({ ring_set: "demo-54", pair: [i, j], effect: [600, -300] });
const plan = (id, left, after = []) =>
  ({ id, after, slot: "round.1.plan", kind: "plan-chosen", body: { plan: { left, right: null } } });

test("a plan that was taken back and chosen anew is the same plan, another pair is another", () => {
  const first = plan("a", pair(12, 31));
  const behind = (...entries) => isForOtherWork(fold([first, ...entries]), 1, "a");
  deepEqual([behind(), behind(plan("b", pair(12, 31), ["a"])), behind(plan("b", pair(13, 31), ["a"]))],
    [false, false, true]);
});

test("what was written before there was a plan is behind the first one", () => {
  deepEqual([isForOtherWork(fold([]), 1, null), isForOtherWork(fold([plan("a", null)]), 1, null)], [false, true]);
});
