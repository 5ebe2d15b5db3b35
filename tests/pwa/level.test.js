// The phone as a level: upright against rotation matrices built here step by step, turns with their sign on each wheel.

import { restOf, turnBetween, turnFromText, uprightOf } from "/js/domain/job/level.js";
import { equal, near, ok, test } from "/tests/harness.js";

const DEG = Math.PI / 180;
const times = (a, b) => a.map((row) => b[0].map((_, n) => row.reduce((sum, part, k) => sum + part * b[k][n], 0)));
const X = (a) => [[1, 0, 0], [0, Math.cos(a), -Math.sin(a)], [0, Math.sin(a), Math.cos(a)]];
const Y = (a) => [[Math.cos(a), 0, Math.sin(a)], [0, 1, 0], [-Math.sin(a), 0, Math.cos(a)]];
const Z = (a) => [[Math.cos(a), -Math.sin(a), 0], [Math.sin(a), Math.cos(a), 0], [0, 0, 1]];

// W3C Device Orientation: the frame of the earth becomes the phone's by Z(alpha), then X'(beta), then Y''(gamma).
test("upright in the phone's axes is the last row of the specification's rotation, whatever alpha", () => {
  for (const [alpha, beta, gamma] of [[0, 0, 0], [10, 90, 0], [200, 45, -30], [77, -120, 60], [301, 89, 89]]) {
    const matrix = times(times(Z(alpha * DEG), X(beta * DEG)), Y(gamma * DEG));
    uprightOf(beta, gamma).forEach((part, axis) => near(part, matrix[2][axis], 1e-12));
  }
});

// A phone that stands upright with the screen to the person, turned clockwise by `turn` as the person sees it: its top
// points to (sin, cos) on the person's right and up. beta and gamma are found from the upright direction that follows.
function standing(turn_deg, lean_deg = 0) {
  const up = [-Math.sin(turn_deg * DEG) * Math.cos(lean_deg * DEG), Math.cos(turn_deg * DEG) * Math.cos(lean_deg * DEG),
    Math.sin(lean_deg * DEG)];
  const beta = Math.asin(Math.min(1, Math.max(-1, up[1])));
  return { beta: beta / DEG, gamma: Math.atan2(-up[0], up[2]) / DEG };
}

test("a clockwise turn for the person is towards the rear on the left wheel and towards the front on the right", () => {
  for (const start of [0, 30, 90, 175]) {
    const first = restOf([standing(start, 5)]), second = restOf([standing(start + 7.5, 5)]);
    equal(first.problem, null);
    near(turnBetween(first.angle_deg, second.angle_deg, "left"), 7.5, 1e-6);
    near(turnBetween(first.angle_deg, second.angle_deg, "right"), -7.5, 1e-6);
    near(turnBetween(second.angle_deg, first.angle_deg, "left"), -7.5, 1e-6);
  }
});

test("a rest takes the middle of its samples and says when it cannot be used", () => {
  near(restOf([standing(10), standing(10.2), standing(9.8)]).angle_deg, -10, 1e-3);
  near(Math.abs(restOf([standing(179.9), standing(-179.9)]).angle_deg), 180, 1e-3, "no jump at half a turn");
  equal(restOf([standing(10), standing(12)]).problem, "moving");
  equal(restOf([standing(10, 60)]).problem, "leaning");
  equal(restOf([{ beta: 0, gamma: 0 }]).problem, "leaning", "flat on its back");
  equal(restOf([]).problem, "silent");
  equal(restOf([{ beta: NaN, gamma: NaN }]).problem, "silent");
});

test("a typed turn takes a point or a comma and nothing that is no number", () => {
  equal(turnFromText(" 4,5 "), 4.5);
  equal(turnFromText("90"), 90);
  for (const text of ["", "abc", "-4", "4.5.1", "91", "1e1"]) ok(turnFromText(text) === null, text);
});
