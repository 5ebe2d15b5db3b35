// The geometry of a ring pair, against the picture, against closed forms and against a solid measured at three points.

import {
  addingHolds, clockSense, composedPrediction, facesLook, markClock, normalOfPair, swapFreely, thickness,
  thickPointClock,
} from "/js/domain/rings/rings.js";
import { patternTurns } from "/js/domain/rings/bolt-pattern.js";
import { deepEqual, equal, fixture, near, test } from "/tests/harness.js";

const golden = await fixture("golden/rings.json");
const DEG = Math.PI / 180;
const TOLERANCE_DEG = 2e-9; // the recorded degrees have nine decimals
const TOLERANCE_MM = 2e-6;
const TOLERANCE_MDEG = 2e-6;
const ringSetOf = Object.fromEntries(golden.ring_sets.map(({ ring_set }) => [ring_set.id, ring_set]));
const RING = {
  marks: 36, first_mark: 1, direction: "clockwise", marked_face_right: "outboard",
  taper_mdeg: 800, thick_mark: 1, centre_thickness_mm: 4,
};
const OTHER = { ...RING, marks: 40, direction: "counterclockwise", taper_mdeg: 650, thick_mark: 7.25 };
const PAIR = { inner: RING, outer: OTHER };

/** [camber, toe] in radians, by the definitions of calc/README: Axes and units. */
function effectOfPair(ringSet, i, j) {
  const [forward, outboard, up] = normalOfPair(ringSet, i, j);
  return [Math.atan2(-up, outboard), Math.atan2(forward, outboard)];
}

test("every mark and thick point stands where Python says, for both directions, faces and wheels", () => {
  for (const { ring, side, marked_face, sense, mark_at_top, thick_point_clock, ...clocks } of golden.clocks) {
    equal(facesLook(ring, side), marked_face);
    equal(clockSense(ring), sense);
    clocks.clock_of_every_fifth_mark.forEach((clock, k) => {
      sameTurn(markClock(ring, mark_at_top, ring.first_mark + 5 * k) / DEG, clock);
    });
    sameTurn(thickPointClock(ring, mark_at_top) / DEG, thick_point_clock);
  }
});

test("every pair tilts and thickens as Python says", () => {
  for (const { ring_set, pair: [i, j], camber, toe, radius_clock_thickness } of golden.pairs) {
    const effect = effectOfPair(ringSetOf[ring_set], i, j);
    near(effect[0] / DEG, camber, TOLERANCE_DEG, `${ring_set} ${i} ${j}`);
    near(effect[1] / DEG, toe, TOLERANCE_DEG, `${ring_set} ${i} ${j}`);
    for (const [radius, clock, mm] of radius_clock_thickness) {
      near(thickness(ringSetOf[ring_set], i, j, radius, clock * DEG), mm, TOLERANCE_MM);
    }
  }
});

test("rings are swapped freely where Python says so", () => {
  for (const { ring_set, swap_freely } of golden.ring_sets) equal(swapFreely(ring_set), swap_freely, ring_set.id);
});

test("a pattern of bolts comes onto itself by the turns that Python says", () => {
  for (const { bolts, turns } of golden.patterns) deepEqual(patternTurns(bolts), turns);
});

function sameTurn(deg, wanted) {
  near((deg - wanted + 540) % 360 - 180, 0, TOLERANCE_DEG);
}

test("on the right wheel, face outboard, clockwise marks run from the top to the front, the viewer's right", () => {
  near(markClock(RING, 1, 10), 270 * DEG, 1e-12);
  near(markClock({ ...RING, direction: "counterclockwise" }, 1, 10), 90 * DEG, 1e-12);
  near(markClock({ ...RING, marked_face_right: "inboard" }, 1, 10), 90 * DEG, 1e-12);
  near(markClock({ ...RING, direction: "counterclockwise", marked_face_right: "inboard" }, 1, 10), 270 * DEG, 1e-12);
});

test("the mark at the top is at the top, and a clock angle never reaches a whole turn", () => {
  for (let mark = 1; mark <= 36; mark++) {
    equal(markClock(RING, mark, mark), 0);
    for (const i of [1, 17, 36]) {
      const clock = markClock(RING, i, mark);
      equal(clock >= 0 && clock < 2 * Math.PI, true);
    }
  }
});

test("faces look the other way on the other wheel", () => {
  equal(facesLook(RING, "right"), "outboard");
  equal(facesLook(RING, "left"), "inboard");
  equal(facesLook({ ...RING, marked_face_right: "inboard" }, "left"), "outboard");
});

test("a thick point at the top pushes the top outboard, at the rear it turns the wheel in", () => {
  const both = { inner: RING, outer: RING };
  near(effectOfPair(both, 1, 1)[0], 1.6 * DEG, 1e-12);
  near(effectOfPair(both, 1, 1)[1], 0, 1e-12);
  const rear = { inner: { ...RING, thick_mark: 28 }, outer: { ...RING, thick_mark: 28 } };
  near(thickPointClock(rear.inner, 1), 90 * DEG, 1e-12);
  near(effectOfPair(rear, 1, 1)[1], 1.6 * DEG, 1e-12);
});

test("a thick mark a whole turn on is the same thick mark", () => {
  const turnOn = 5.1 + 36;
  equal(thickPointClock({ ...RING, thick_mark: turnOn }, 3), thickPointClock({ ...RING, thick_mark: turnOn % 36 }, 3));
});

test("total tilt: cos T = cos a cos b - sin a sin b cos d", () => {
  const [a, b] = [RING.taper_mdeg, OTHER.taper_mdeg].map((mdeg) => mdeg / 1000 * DEG);
  for (const [i, j] of [[1, 1], [7, 30], [36, 40], [19, 2]]) {
    const d = thickPointClock(RING, i) - thickPointClock(OTHER, j);
    near(normalOfPair(PAIR, i, j)[1], Math.cos(a) * Math.cos(b) - Math.sin(a) * Math.sin(b) * Math.cos(d), 1e-15);
  }
});

test("the plane through three measured thicknesses leans as the composed normal does", () => {
  const radius = 70;
  for (const [i, j] of [[1, 1], [7, 30], [36, 40], [19, 2]]) {
    const at = (deg) => thickness(PAIR, i, j, radius, deg * DEG);
    const [camber, toe] = effectOfPair(PAIR, i, j);
    const tolerance = 0.01 * DEG; // thicknesses add to first order only
    near(Math.atan((at(0) - at(180)) / (2 * radius)), camber, tolerance);
    near(Math.atan((at(90) - at(270)) / (2 * radius)), toe, tolerance);
    near(at(0), 8 + radius * (Math.tan(camber)), radius * tolerance);
  }
});

test("on a flange that leans every pair composes as Python says, and adding holds where Python says so", () => {
  for (const { ring_set, pair: [i, j], base, predicted_mdeg, adding_holds } of golden.predictions) {
    const predicted = composedPrediction(ringSetOf[ring_set], i, j, base);
    predicted.forEach((angle, at) => near(angle, predicted_mdeg[at], TOLERANCE_MDEG, `${ring_set} ${base}`));
    equal(addingHolds(ringSetOf[ring_set], base), adding_holds, `${ring_set} ${base}`);
  }
});

test("on a straight flange the composed prediction is the effect; rings of no taper leave any flange as it is", () => {
  const effect = effectOfPair(PAIR, 5, 9).map((rad) => rad / DEG * 1000);
  composedPrediction(PAIR, 5, 9, [0, 0]).forEach((angle, at) => near(angle, effect[at], 1e-9));
  const flat = { inner: { ...RING, taper_mdeg: 0 }, outer: { ...RING, taper_mdeg: 0 } };
  composedPrediction(flat, 5, 9, [-7000, 2500]).forEach((angle, at) => near(angle, [-7000, 2500][at], 1e-9));
});
