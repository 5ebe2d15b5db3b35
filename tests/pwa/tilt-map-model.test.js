// The ellipse of a tilt map is the spread that its plan was made with, before fitting and after, as at the desk.

import { tiltMapModel } from "/js/ui/drawings/tilt-map-model.js";
import { deepEqual, fixture, near, test } from "./harness.js";

const BARE = { left: null, right: null, predicted: { left: [-900, 120], right: [-1100, 60] } };
const SHOP = { camber_sd: { left: 70, right: 40 }, toe_sd: { left: 25, right: 12 }, thrust_sd: 15 };
const SHOWN = { base: [-1640, 420], window: { camber: [-1500, -500], toe: [0, 200] }, tables: [],
  ringSetOf: () => undefined };

test("without rings the spread of a prediction is that of the readings the plan was made from, wheel by wheel", () => {
  const of = (side) => tiltMapModel({ ...SHOWN, side, plan: BARE, spread: SHOP }).predicted;
  deepEqual(of("left"), { at: [-900, 120], covariance: [[4900, 0], [0, 25 ** 2 + 15 ** 2]],
    ring_set: null, pair: null });
  deepEqual(of("right").covariance, [[1600, 0], [0, 12 ** 2 + 15 ** 2]]);
});

test("a plan without a spread of its own has the usual one", () => {
  const { covariance } = tiltMapModel({ ...SHOWN, side: "left", plan: BARE, spread: undefined }).predicted;
  deepEqual(covariance, [[2500, 0], [0, 30 ** 2 + 15 ** 2]]);
});

test("rings add their own spread to it, seat and clock of the shop included", async () => {
  const { tables: [{ ring_set: ringSet }] } = await fixture("golden/choose.json");
  const plan = { ...BARE, left: { ring_set: ringSet.id, pair: [12, 31], effect: [600, 0] } };
  const of = (spread) => tiltMapModel({ ...SHOWN, side: "left", plan, spread, ringSetOf: () => ringSet })
    .predicted.covariance;
  const [usual, loose] = [of(SHOP), of({ ...SHOP, seat_sd: 30, clock_sd_deg: 4 })];
  near(loose[0][0] - usual[0][0], 30 ** 2 - 20 ** 2, 1e-6); // along the effect the clock adds nothing
  near(loose[1][1] - usual[1][1], 30 ** 2 - 20 ** 2 + 600 ** 2 * ((4 * Math.PI / 180) ** 2 - (2 * Math.PI / 180) ** 2),
    1e-6);
});
