// The bound that lets the search drop a box of results must be the least value in it, to the last half millidegree.

import { CamberOutside, ToeOutside } from "/js/domain/choose/outside.js";
import { equal, test } from "/tests/harness.js";
import { seededWhole } from "/tests/random.js";

const CASES = 3000;

test("least is the smallest value of a fine grid over the box", () => {
  const random = seededWhole(1);
  const window = () => (random(0, 3) === 0 ? null : upFrom(random(-15, 15), random(0, 12)));
  const upFrom = (low, width) => [low, low + width];
  for (let count = 0; count < CASES; count++) {
    const box = [...upFrom(random(-20, 20), random(0, 11)), ...upFrom(random(-20, 20), random(0, 11))];
    const toe = new ToeOutside(window(), window(), window(), window());
    const camber = new CamberOutside(window(), window(), window());
    equal(toe.least(...box), leastOnGrid(toe, box), JSON.stringify({ toe, box }));
    equal(camber.least(...box), leastOnGrid(camber, box), JSON.stringify({ camber, box }));
  }
});

// Where two windows meet, both angles are whole or both end in .5: a grid of halves misses no corner.
function leastOnGrid(outside, [u0, u1, v0, v1]) {
  let least = Infinity;
  for (let u = u0; u <= u1; u += 0.5) for (let v = v0; v <= v1; v += 0.5) least = Math.min(least, outside.at(u, v));
  return least;
}
