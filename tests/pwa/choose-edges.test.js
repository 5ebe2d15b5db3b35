// The phone's choice exactly on each limit and one step beside it, against Python's recorded ones.

import { choose, planWith } from "/js/domain/choose/choose.js";
import { mainButton } from "/js/domain/choose/main-button.js";
import { inOrder } from "/js/domain/choose/plan-order.js";
import { deepEqual, equal, fixture, near, ok, test, throws } from "/tests/harness.js";

const golden = await fixture("golden/choose_edges.json");
const CHANCE_TOLERANCE = 0.005;

test("a choice on a limit is what Python says, and one beside it too", () => {
  for (const [at, { input, output, main_button: button }] of golden.cases.entries()) {
    const chosen = choose(input, golden.tables);
    const note = `case ${at}`;
    deepEqual(chosen.advice, output.advice, note);
    deepEqual(chosen.plans.map(withoutChance), output.plans.map(withoutChance), note);
    chosen.plans.forEach((plan, place) => near(plan.chance, output.plans[place].chance, CHANCE_TOLERANCE, note));
    deepEqual(mainButton(chosen), button, note);
  }
});

test("plans stand in the order that Python puts them in, where chances are just close enough or just half", () => {
  for (const { plans, order } of golden.orders) {
    const numbered = plans.map((plan, place) => ({ ...plan, place }));
    deepEqual(inOrder(numbered).map(({ place }) => place), order);
  }
});

test("a plan as likely as not may stand on the main button, and none that is less likely", () => {
  for (const { chosen, main_button: button } of golden.buttons) deepEqual(mainButton(chosen), button);
});

test("a pair that a person tries is judged as the choice judged it, also where rings begin at unlike marks", () => {
  let tried = 0;
  for (const { input, output } of golden.cases) {
    for (const { left, right, ...plan } of output.plans) {
      const again = planWith(input, golden.tables, { left, right });
      deepEqual(withoutChance(again), withoutChance({ left, right, ...plan }));
      tried += Number(Boolean(left ?? right) && input.ring_sets.includes("four-five"));
    }
  }
  ok(tried >= 5, `tried ${tried}`);
  equal(new Set(golden.tables.map(({ ring_set: { inner, outer } }) => inner.first_mark !== outer.first_mark)).size, 2);
});

test("the last mark of each ring may be tried, and none beside it", () => {
  const input = { ...golden.cases.find((each) => each.input.ring_sets[0] === "four-five").input };
  const tried = (pair) => planWith(input, golden.tables, { left: { ring_set: "four-five", pair }, right: null });
  for (const pair of [[0, 1], [3, 5]]) deepEqual(tried(pair).left.pair, pair);
  for (const pair of [[-1, 1], [4, 1], [0, 0], [0, 6]]) {
    throws(() => tried(pair), { code: "bad-input", field: "left" });
  }
});

function withoutChance({ chance, ...plan }) {
  return plan;
}
