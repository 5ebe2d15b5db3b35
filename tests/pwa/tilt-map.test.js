// The tilt map's geometry: places, ticks, window box, nearest point, spread ellipse, room for names.

import {
  FRAME, axisTicks, dotsPath, eachEffect, namesBeside, nearestPoint, pairAt, panned, placeOf, readingAt, spreadEllipse,
  ticksBetween, viewOfAll, windowBox, zoomed,
} from "/js/domain/rings/tilt-map.js";
import { deepEqual, equal, near, ok, test } from "/tests/harness.js";

const ring = (more) => ({ marks: 4, first_mark: 1, ...more });
const TABLE = {
  ring_set: { id: "four", max_tilt_mdeg: null, inner: ring(), outer: ring({ marks: 2, first_mark: 7 }) },
  rows: 4, columns: 2,
  camber: [1000, 0, 0, 1000, -1000, 0, 0, -1000],
  toe: [0, 0, 1000, 1000, 0, 10, -1000, -1000],
};
const MODEL = { base: [-1000, 200], window: { camber: [-1500, -500], toe: [0, 200] }, tables: [TABLE],
  predicted: null, check: null };
const VIEW = { camber: -1000, toe: 0, span: 2000 };

test("toe in is to the right, top out is up, in one scale", () => {
  const [x, y] = placeOf(VIEW, [-1000, 0]);
  const [xIn, yIn] = placeOf(VIEW, [-1000, 300]);
  const [xOut, yOut] = placeOf(VIEW, [-700, 0]);
  ok(xIn > x && yIn === y, "toe in");
  ok(yOut < y && xOut === x, "top out");
  near(xIn - x, y - yOut, 1e-9);
  deepEqual(readingAt(VIEW, placeOf(VIEW, [-123, 456])).map(Math.round), [-123, 456]);
});

test("the view of all holds the base, the window, the reach of the rings, the prediction and the check", () => {
  const view = viewOfAll({ ...MODEL, predicted: { at: [2500, 0] }, check: [0, -3000] });
  const inside = ([x, y]) => x >= FRAME.left && x <= FRAME.left + FRAME.size && y >= FRAME.top
    && y <= FRAME.top + FRAME.size;
  const far = Math.hypot(1000, 1000);
  for (const reading of [[-1000, 200], [-1500, 0], [-500, 200], [2500, 0], [0, -3000], [-1000 - far, 200],
      [-1000, 200 + far]]) {
    ok(inside(placeOf(view, reading)), String(reading));
  }
});

test("zooming keeps the held reading in place and panning moves by shares of the view", () => {
  const held = [-600, 150];
  const closer = zoomed(VIEW, 0.5, held);
  near(placeOf(closer, held)[0], placeOf(VIEW, held)[0], 1e-9);
  near(placeOf(closer, held)[1], placeOf(VIEW, held)[1], 1e-9);
  equal(zoomed(VIEW, 1e-9).span, 60);
  equal(zoomed(VIEW, 1e9).span, 12000);
  deepEqual(panned(VIEW, 0.25, -0.5), { camber: -500, toe: -1000, span: 2000 });
});

test("ticks are round, include zero as plain zero, and never too many", () => {
  deepEqual(ticksBetween(-1100, 1100, 6), { step: 500, values: [-1000, -500, 0, 500, 1000] });
  for (let span = 60; span <= 12000; span *= 1.37) {
    const { camber, toe } = axisTicks({ camber: -333, toe: 77, span });
    ok(camber.values.length >= 2 && camber.values.length <= 8, `camber ticks at ${span}`);
    ok((toe.step * toe.every * FRAME.size) / span >= 37, `room for toe labels at ${span}`);
  }
});

test("a window is a box; a bound or a whole angle that is not given runs on to the edge", () => {
  const whole = windowBox(VIEW, { camber: [-1500, -500], toe: [0, 200] });
  const [x, y] = placeOf(VIEW, [-500, 0]);
  near(whole.x, x, 1e-9);
  near(whole.y, y, 1e-9);
  near(whole.width, (200 / 2000) * FRAME.size, 1e-9);
  near(whole.height, FRAME.size / 2, 1e-9);
  deepEqual([...whole.edges].sort(), ["bottom", "left", "right", "top"]);
  const toeOnly = windowBox(VIEW, { camber: null, toe: [0, 200] });
  equal(toeOnly.height, FRAME.size);
  deepEqual([...toeOnly.edges].sort(), ["left", "right"]);
  const halfOpen = windowBox(VIEW, { camber: [-1500, null], toe: null });
  deepEqual(halfOpen.edges, ["bottom"]);
  equal(halfOpen.width, FRAME.size);
  equal(windowBox(VIEW, { camber: null, toe: null }), null);
  const outOfView = windowBox(VIEW, { camber: [-1500, -500], toe: [3000, 4000] });
  equal(outOfView.width, 0);
  deepEqual([...outOfView.edges].sort(), ["bottom", "top"]);
});

test("dots are the base plus each effect, once, in view, and none beyond the most tilt allowed", () => {
  const all = dotsPath({ camber: -1000, toe: 200, span: 4000 }, MODEL.base, [TABLE]);
  equal((all.match(/M/g) ?? []).length, 7, "the two nearly equal effects share a dot");
  const [x, y] = placeOf({ camber: -1000, toe: 200, span: 4000 }, [0, 200]);
  ok(all.includes(`M${Math.round(x * 10) / 10} ${Math.round(y * 10) / 10}h0`), "the dot of effect (1000, 0)");
  const limited = { ...TABLE, ring_set: { ...TABLE.ring_set, max_tilt_mdeg: 1000 } };
  const kept = [];
  eachEffect(limited, (camber, toe, k) => kept.push(k));
  deepEqual(kept, [0, 1, 2, 4, 5, 6]);
});

test("a tap gives the nearest pair with its marks, the first of equals, and nothing when too far", () => {
  deepEqual(nearestPoint([TABLE], MODEL.base, [-20, 190], 100), { ring_set: "four", pair: [1, 7], effect: [1000, 0] });
  deepEqual(nearestPoint([TABLE], MODEL.base, [-1000, 206], 100).pair, [3, 8]);
  deepEqual(nearestPoint([TABLE, TABLE], MODEL.base, [-2000, 200], 100).pair, [3, 7]);
  equal(nearestPoint([TABLE], MODEL.base, [-500, 700], 100), null);
  deepEqual(pairAt(TABLE, 5), [3, 8]);
});

// A squared distance with two degrees of freedom has the distribution function 1 - exp(-x / 2), so 0.9 lies at
// x = 2 ln 10 = 4.60517; scipy.stats.chi2(2).ppf(0.9) agrees, see test_tilt_map.py.
test("the ellipse holds nine in ten, long axis where the spread is largest", () => {
  const { along, across, turn_deg } = spreadEllipse([[400, 0], [0, 2500]]);
  near(along, 50 * Math.sqrt(4.60517), 1e-3);
  near(across, 20 * Math.sqrt(4.60517), 1e-3);
  near(turn_deg, 0, 1e-9);
  near(Math.abs(spreadEllipse([[2500, 0], [0, 400]]).turn_deg), 90, 1e-9);
});

test("camber and toe that rise together lean the ellipse up to the right", () => {
  const { along, across, turn_deg } = spreadEllipse([[1000, 600], [600, 1000]]);
  near(turn_deg, -45, 1e-9, "SVG turns clockwise, so up to the right is minus 45");
  near(along, Math.sqrt(1600 * 4.60517), 1e-3);
  near(across, Math.sqrt(400 * 4.60517), 1e-3);
});

test("names stand beside their symbols without touching anything", () => {
  const at = [FRAME.left + 100, FRAME.top + 100];
  const symbols = ["base", "predicted", "check"]
    .map((key, n) => ({ key, at: [at[0] + 6 * n, at[1] + 5 * n], radius: 11, width: 70, height: 18 }));
  const placed = namesBeside(symbols);
  equal(placed.length, 3);
  for (const [n, a] of placed.entries()) {
    for (const b of placed.slice(n + 1))
      ok(Math.abs(a.x - b.x) >= 70 || Math.abs(a.y - b.y) >= 18, `${a.key} and ${b.key}`);
  }
  const corner = namesBeside([{ key: "base", at: [FRAME.left + 1, FRAME.top + 1], radius: 11, width: 70, height: 18 }]);
  ok(corner[0].x >= FRAME.left && corner[0].y >= FRAME.top, "inside the plot");
});
