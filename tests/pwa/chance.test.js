// The fixed cloud of points, the factor of the covariance, and the covariance itself.

import { covarianceOf, lowerFactor, pointsInside } from "/js/domain/choose/chance.js";
import { inverseNormal, normalPoints, radicalInverse } from "/js/domain/choose/normal-points.js";
import { POINTS } from "/js/domain/constants.js";
import { CamberOutside, ToeOutside } from "/js/domain/choose/outside.js";
import { deepEqual, equal, near, ok, test } from "/tests/harness.js";

const NO_TOE_WINDOW = new ToeOutside(null, null, null, null);
const SPREAD = {
  camber_sd: { left: 50, right: 40 }, toe_sd: { left: 30, right: 20 },
  thrust_sd: 15, clock_sd_deg: 2, mark_sd_steps: 0.15, seat_sd: 20,
};

test("the inverse normal gives the deviates of scipy.stats.norm.ppf (scipy 1.x, run once)", () => {
  const known = [
    [1e-300, -37.0470962993612], [1e-20, -9.262340089798409], [1e-5, -4.264890793922825], [0.001, -3.090232306167813],
    [0.075, -1.4395314709384563], [0.2, -0.8416212335729142], [0.9, 1.2815515655446004], [0.95, 1.6448536269514722],
  ];
  for (const [share, deviate] of known) near(inverseNormal(share) / deviate, 1, 1e-15, String(share));
  equal(inverseNormal(0.5), 0);
});

test("the Halton sequence mirrors the digits (bases 2 and 3, worked by hand)", () => {
  deepEqual([1, 2, 3, 4].map((n) => radicalInverse(n, 2)), [1 / 2, 1 / 4, 3 / 4, 1 / 8]);
  deepEqual([1, 2, 3, 4].map((n) => radicalInverse(n, 3)), [1 / 3, 2 / 3, 1 / 9, 4 / 9]);
});

test("the cloud has the mean, the variances and no correlation of four normals", () => {
  const z = normalPoints();
  equal(z.length, 4 * POINTS);
  for (let a = 0; a < 4; a++) {
    near(mean((at) => z[at + a]), 0, 0.01);
    for (let b = 0; b < 4; b++) near(mean((at) => z[at + a] * z[at + b]), a === b ? 1 : 0, 0.02);
  }
});

function mean(value) {
  let sum = 0;
  for (let at = 0; at < 4 * POINTS; at += 4) sum += value(at);
  return sum / POINTS;
}

test("the factor times itself is the covariance; a pivot of zero gives a zero column", () => {
  const covariance = covarianceOf(null, null, SPREAD);
  const factor = lowerFactor(covariance);
  covariance.forEach((row, r) => row.forEach((wanted, c) => {
    const product = factor[r].reduce((sum, part, k) => sum + part * (factor[c][k] ?? 0), 0);
    near(product, wanted, 1e-9);
  }));
  deepEqual(lowerFactor([[4, 2], [2, 1]]), [[2], [1, 0]]);
});

test("without rings the readings' own spread is all, with the thrust shared between the toes", () => {
  deepEqual(covarianceOf(null, null, SPREAD), [
    [2500, 0, 0, 0],
    [0, 900 + 225, 0, -225],
    [0, 0, 1600, 0],
    [0, -225, 0, 400 + 225],
  ]);
});

test("rings with both thick points at the top vary along camber by their tapers, along toe by clock and marks", () => {
  const ring = { marks: 36, direction: "clockwise", marked_face_right: "inboard", taper_mdeg: 500, taper_sd_mdeg: 8,
    thick_mark: 1 };
  const left = { ringSet: { inner: ring, outer: ring }, pair: [1, 1], effect: [1000, 0] };
  const [[camber, across], [, toe]] = covarianceOf(left, null, SPREAD);
  const step = Math.PI / 18;
  near(camber, 2500 + 400 + 2 * 8 ** 2, 1e-9);
  near(across, 0, 1e-9);
  near(toe, 900 + 225 + 400 + (1000 * Math.PI / 90) ** 2 + 2 * (500 * 0.15 * step) ** 2, 1e-9);
});

test("one window at one standard deviation either side holds in 68 of 100", () => {
  const camber = new CamberOutside([-50, 50], null, null);
  const inside = pointsInside([0, 0, 0, 0], covarianceOf(null, null, SPREAD), { toe: NO_TOE_WINDOW, camber });
  near(inside / POINTS, 0.682689, 0.005);
});

test("without any spread the chance is all or nothing", () => {
  const none = { ...SPREAD, camber_sd: { left: 0, right: 0 }, toe_sd: { left: 0, right: 0 }, thrust_sd: 0 };
  const camber = new CamberOutside([0, 0], null, null);
  const chance = (left) => pointsInside([left, 0, 0, 0], covarianceOf(null, null, none),
    { toe: NO_TOE_WINDOW, camber });
  deepEqual([chance(0), chance(1)], [POINTS, 0]);
  ok(chance(-1) === 0);
});
