/**
 * Geometry of the ring drawing, in mm, as the person AT THAT WHEEL sees it, looking inboard from outside:
 * x to the viewer's right, y up, hub centre at the origin. On the right wheel the vehicle's front is on the viewer's
 * right, on the left wheel on the viewer's left; clock angles (0 top, towards the rear) are the same on both.
 * Pure: it draws nothing and writes no words. Where things sit comes from rings.js, placement.js and cutting.js; only
 * the picture is made here.
 *
 * Both rings may have the same diameter, so the inner one is hidden behind the outer: the outer ring's marks are drawn
 * outwards from the outermost rim, the inner ring's inwards from its own, as two scales that meet. Outer stands
 * outside, inner inside.
 */

import { halfTurn, remainder } from "../numbers/arithmetic.js";
import { clearanceMarks } from "./cutting.js";
import { centreMm, leanOf, seenAt } from "./placement.js";
import { clockSense, facesLook, markClock, thickPointClock, thickness } from "./rings.js";

const NUMBER_STEPS = [1, 2, 5, 10, 20, 50];
/** Radius of a bolt's sign, in units. */
export const BOLT_SIGN = 6.6;
const EVEN_SLOPE = 1e-6; // below this no place of the stack is thicker than another

/**
 * Everything that the drawing shows.
 * @param {{side: "left"|"right", ringSet: object, pair: number[], bolts: number[][], clearance_mm: number|null}} model
 *   bolts as [radius in mm, clock in degrees from the top towards the rear]; `clearance_mm` is how wide the holes in
 *   the rings are to be, null while that is not known
 * @returns {{side: string, front: "left"|"right", unit: number, rim_mm: number, rings: object[], stack: object,
 *   bolts: object[]}} `unit` is the size that all signs scale with; rings are [inner, outer]
 */
export function ringDrawing({ side, ringSet, pair, bolts, clearance_mm }) {
  const [i, j] = pair;
  const rim_mm = Math.max(ringSet.inner.outer_diameter_mm, ringSet.outer.outer_diameter_mm) / 2;
  const unit = rim_mm / 74;
  const placedBolts = bolts.map((bolt, n) => placedBolt(bolt, n + 1, { side, ringSet, i, j, clearance_mm, unit }));
  const context = { side, unit, bolts: placedBolts };
  return {
    side,
    front: side === "left" ? "left" : "right",
    unit,
    rim_mm,
    rings: [
      placedRing("inner", ringSet.inner, i,
        { ...context, scale_mm: ringSet.inner.outer_diameter_mm / 2, outwards: -1 }),
      placedRing("outer", ringSet.outer, j, { ...context, scale_mm: rim_mm, outwards: 1 }),
    ],
    stack: placedStack(ringSet, i, j, side, rim_mm),
    bolts: placedBolts,
  };
}

/** Marks of a ring in the order of their numbers. */
export function marksOf(ring) {
  return Array.from({ length: ring.marks }, (_, n) => ring.first_mark + n);
}

/** The mark nearest to a clock angle. */
export function nearestMark(ring, markAtTop, clock_rad) {
  const away = (mark) => Math.abs(halfTurn(markClock(ring, markAtTop, mark) - clock_rad, 2 * Math.PI));
  return marksOf(ring).reduce((best, mark) => (away(mark) < away(best) ? mark : best));
}

function placedRing(name, ring, markAtTop, { side, unit, bolts, scale_mm, outwards }) {
  const thickClock = thickPointClock(ring, markAtTop);
  const thickMark = nearestMark(ring, markAtTop, thickClock);
  const clearanceMarks = bolts.flatMap((bolt) => bolt.cut?.[name] ?? []);
  const marks = marksOf(ring).map((mark) => {
    const clock = markClock(ring, markAtTop, mark);
    return {
      mark,
      clock_rad: clock,
      at: seenAt(side, scale_mm, clock),
      tickEnd: seenAt(side, scale_mm + outwards * (mark === markAtTop ? 6 : 4.5) * unit, clock),
      numberAt: seenAt(side, scale_mm + outwards * 11 * unit, clock),
      kind: mark === markAtTop ? "top" : mark === thickMark ? "thick" : clearanceMarks.includes(mark)
        ? "clearance" : "plain",
    };
  });
  const numbered = marksWithRoom(marks, { unit, bolts, radius_mm: scale_mm + outwards * 11 * unit });
  return {
    name,
    rim_mm: ring.outer_diameter_mm / 2,
    bore_mm: ring.bore_diameter_mm / 2,
    markAtTop,
    looks: facesLook(ring, side),
    run: (clockSense(ring) === 1) === (side === "left") ? "clockwise" : "counterclockwise",
    marks: marks.map((mark) => ({ ...mark, numbered: numbered.has(mark.mark) })),
    thick: { mark: thickMark, clock_rad: thickClock, at: seenAt(side, ring.outer_diameter_mm / 2, thickClock) },
  };
}

// The numbers that can be read: those that matter first, then every n-th where n is the least that leaves room.
function marksWithRoom(marks, { unit, bolts, radius_mm }) {
  const digits = String(Math.max(...marks.map(({ mark }) => mark))).length;
  const width = (digits * 5 + 2.2) * unit, height = 9 * unit;
  const spacing = (2 * Math.PI * radius_mm) / marks.length;
  const every = NUMBER_STEPS.find((step) => step * spacing >= width) ?? NUMBER_STEPS.at(-1);
  const taken = bolts.map(({ at, crowded }) => boxAround(at, (crowded ? 9 : 15) * unit, (crowded ? 9 : 15) * unit));
  const importance = { top: 0, thick: 1, clearance: 2, plain: 3 };
  const wanted = marks.filter(({ kind, mark }) => kind !== "plain" || mark % every === 0)
    .sort((a, b) => importance[a.kind] - importance[b.kind]);
  const numbered = new Set();
  for (const { mark, kind, numberAt } of wanted) {
    const wide = kind === "top" ? 1.55 : 1;
    const box = boxAround(numberAt, width * wide, height * wide);
    if (kind !== "top" && taken.some((other) => overlap(box, other))) continue;
    taken.push(box);
    numbered.add(mark);
  }
  return numbered;
}

function placedStack(ringSet, i, j, side, rim_mm) {
  const { slope, clockRad } = leanOf(ringSet, [i, j]);
  const clock_rad = remainder(clockRad, 2 * Math.PI);
  const middle_mm = centreMm(ringSet);
  if (slope < EVEN_SLOPE) return { thick: null, most_mm: middle_mm, least_mm: middle_mm };
  return {
    thick: { clock_rad, at: seenAt(side, rim_mm, clock_rad) }, most_mm: middle_mm + slope * rim_mm,
    least_mm: middle_mm - slope * rim_mm,
  };
}

function placedBolt([radius_mm, clock_deg], number, { side, ringSet, i, j, clearance_mm, unit }) {
  const clock = (clock_deg * Math.PI) / 180;
  const bore_mm = Math.min(ringSet.inner.bore_diameter_mm, ringSet.outer.bore_diameter_mm) / 2;
  const cuts = clearance_mm !== null && radius_mm > clearance_mm / 2 && radius_mm + clearance_mm / 2 > bore_mm;
  // A bolt among the inner ring's numbers is drawn small, with its own number nearer to the centre.
  const crowded = radius_mm + BOLT_SIGN * unit > ringSet.inner.outer_diameter_mm / 2 - 17.5 * unit;
  return {
    number,
    clock_rad: clock,
    at: seenAt(side, radius_mm, clock),
    numberAt: seenAt(side, crowded ? radius_mm - 13 * unit : radius_mm, clock),
    crowded,
    thickness_mm: thickness(ringSet, i, j, radius_mm, clock),
    cut: cuts ? {
      inner: clearanceMarks(ringSet.inner, i, [radius_mm, clock_deg], clearance_mm).between,
      outer: clearanceMarks(ringSet.outer, j, [radius_mm, clock_deg], clearance_mm).between,
      outline: slotOutline(side, bore_mm, radius_mm, clock, clearance_mm / 2),
    } : null,
  };
}

// The clearance opened from the bore outwards: two straight walls and a round end about the bolt.
function slotOutline(side, bore_mm, radius_mm, clock_rad, half_mm) {
  const along = seenAt(side, 1, clock_rad);
  const across = [along[1], -along[0]];
  const point = (out, over) => [out * along[0] + over * across[0], out * along[1] + over * across[1]];
  const start = Math.sqrt(Math.max(0, bore_mm ** 2 - half_mm ** 2));
  return { start: point(start, half_mm), wall: point(radius_mm, half_mm), farWall: point(radius_mm, -half_mm),
    end: point(start, -half_mm), half_mm };
}

function boxAround([x, y], width, height) {
  return [x - width / 2, y - height / 2, x + width / 2, y + height / 2];
}

function overlap(a, b) {
  return a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
}
