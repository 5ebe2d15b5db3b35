// The ring drawing's geometry as the person at the wheel sees it. The angles are checked against calc in
// test_drawings.py; here is what needs no other program: the mirroring, the marks beside a clearance, the numbers.

import { halfTurn } from "/js/domain/numbers/arithmetic.js";
import { clearanceMarks } from "/js/domain/rings/cutting.js";
import { seenAt } from "/js/domain/rings/placement.js";
import { nearestMark, ringDrawing } from "/js/domain/rings/ring-drawing.js";
import { deepEqual, equal, near, ok, test } from "/tests/harness.js";

const ring = (more) => ({
  marks: 54, first_mark: 1, direction: "clockwise", marked_face_right: "inboard", taper_mdeg: 550, taper_sd_mdeg: 8,
  thick_mark: 1, centre_thickness_mm: 2.4, outer_diameter_mm: 148, bore_diameter_mm: 62, ...more,
});
const SET = { format: 1, id: "s", name: "S", revision: 1, max_tilt_mdeg: null, inner: ring(), outer: ring() };
const BOLTS = [[48, 38], [48, 142], [48, 218], [48, 322]];
const model = (more) => ({ side: "right", ringSet: SET, pair: [12, 31], bolts: BOLTS, clearance_mm: 12, ...more });

test("the rear is on the viewer's left at the right wheel, on the viewer's right at the left wheel", () => {
  near(seenAt("right", 50, Math.PI / 2)[0], -50, 1e-9);
  near(seenAt("left", 50, Math.PI / 2)[0], 50, 1e-9);
  for (const side of ["left", "right"]) near(seenAt(side, 50, 0)[1], 50, 1e-9);
  equal(ringDrawing(model()).front, "right");
  equal(ringDrawing(model({ side: "left" })).front, "left");
});

test("the left wheel's picture is the mirror image of the right wheel's, faces turned over", () => {
  const right = ringDrawing(model()), left = ringDrawing(model({ side: "left" }));
  for (const n of [0, 1]) {
    right.rings[n].marks.forEach((mark, k) => {
      near(left.rings[n].marks[k].at[0], -mark.at[0], 1e-9);
      near(left.rings[n].marks[k].at[1], mark.at[1], 1e-9);
    });
    equal(right.rings[n].looks, "inboard");
    equal(left.rings[n].looks, "outboard");
  }
});

// On a face that looks at the viewer the numbers must run as the ring says; on one that looks away, the other way.
test("numbers seen from the front run as the ring says", () => {
  for (const direction of ["clockwise", "counterclockwise"]) {
    for (const marked_face_right of ["inboard", "outboard"]) {
      for (const side of ["left", "right"]) {
        const one = ring({ direction, marked_face_right });
        const [inner] = ringDrawing(model({ side, ringSet: { ...SET, inner: one } })).rings;
        const seen = inner.looks === "outboard" ? direction
          : { clockwise: "counterclockwise", counterclockwise: "clockwise" }[direction];
        equal(inner.run, seen);
        const [x] = inner.marks.find(({ mark }) => mark === 13).at; // the next after the one at the top
        equal(x > 0, seen === "clockwise", `${direction} ${marked_face_right} ${side}`);
      }
    }
  }
});

test("every mark is drawn, the important ones are numbered, and no two numbers overlap", () => {
  for (const marks of [12, 40, 54, 66, 120]) {
    const outer = ring({ marks, first_mark: 0 });
    const { rings, unit } = ringDrawing(model({ ringSet: { ...SET, outer }, pair: [12, 7] }));
    const drawn = rings[1].marks;
    equal(drawn.length, marks);
    equal(drawn.find(({ mark }) => mark === 7).numbered, true);
    const shown = drawn.filter(({ numbered }) => numbered);
    ok(shown.length >= Math.min(marks, 8), `${marks} marks: enough numbers`);
    for (const [n, a] of shown.entries()) {
      for (const b of shown.slice(n + 1)) {
        ok(Math.abs(a.numberAt[0] - b.numberAt[0]) > 11 * unit || Math.abs(a.numberAt[1] - b.numberAt[1]) > 8 * unit,
          `${a.mark} and ${b.mark} of ${marks}`);
      }
    }
  }
});

test("a clearance lies between whole marks just outside it, counted round", () => {
  // 10 degrees each, rising to the rear
  const one = ring({ marks: 36, marked_face_right: "outboard", direction: "counterclockwise" });
  const half = Math.asin(6 / 48) * (180 / Math.PI); // 7.18 degrees
  ok(half > 7 && half < 8);
  deepEqual(clearanceMarks(one, 1, [48, 90], 12).between, [9, 11]);
  deepEqual(clearanceMarks(one, 1, [48, 0], 12).between, [36, 2]);
  deepEqual(clearanceMarks({ ...one, direction: "clockwise" }, 1, [48, 90], 12).between, [27, 29]);
  equal(nearestMark(one, 1, Math.PI / 2), 10);
});

test("a bolt inside the bore needs no clearance, nor does a clearance that is not known", () => {
  equal(ringDrawing(model({ bolts: [[20, 0]] })).bolts[0].cut, null);
  equal(ringDrawing(model({ clearance_mm: null })).bolts[0].cut, null);
});

test("the stack: thickest between the two thick points, even all round where equal tapers stand opposite", () => {
  const { stack, rim_mm } = ringDrawing(model({ pair: [1, 1] }));
  near(stack.thick.clock_rad, 0, 1e-9);
  near(stack.most_mm, 4.8 + 2 * rim_mm * Math.tan((0.55 * Math.PI) / 180), 1e-9);
  near(stack.least_mm, 4.8 - 2 * rim_mm * Math.tan((0.55 * Math.PI) / 180), 1e-9);
  const even = ringDrawing(model({ pair: [1, 28] })).stack;
  equal(even.thick, null);
  near(even.most_mm, even.least_mm, 1e-6);
});

test("angles are brought to half a turn either way", () => {
  near(halfTurn((3 * Math.PI) / 2, 2 * Math.PI), -Math.PI / 2, 1e-12);
  equal(halfTurn(-540, 360), 180);
});
