// The geometry of a ring pair: where every mark and thick point stands, which way the faces look, how thick the pair
// is at any place, and the exactly composed tilt. The twin of calc/rings/rings.py.
// It knows no screen and no side beyond the way a face looks: marks mirror with the faces, so one answer holds for
// both wheels. It chooses nothing: choosing takes the table's integers, never these floats.
//
// Clock angles are radians from the top towards the rear, 0 up to one turn. Vectors are [forward, outboard, up].
// Rings and ring sets are the JSON objects of the ring-set file, unchanged.

import { ADDING_CAMBER_MDEG, ADDING_TAPER_MDEG, ADDING_TOE_MDEG, SWAP_FREELY_TAPER_MDEG } from "../constants.js";
import { degreesOf, radiansOf, remainder } from "../numbers/arithmetic.js";

const TURN = 2 * Math.PI;

/**
 * Which way a ring's marked face looks once it sits on this wheel.
 * @param {object} ring
 * @param {"left"|"right"} wheel
 * @returns {"outboard"|"inboard"} outboard is towards the person at the wheel
 */
export function facesLook(ring, wheel) {
  if (wheel === "right") return ring.marked_face_right;
  return ring.marked_face_right === "outboard" ? "inboard" : "outboard";
}

/**
 * Which way rising mark numbers run from the top, the same on both wheels: clockwise seen from outboard on the right
 * wheel is towards the front; turning the ring over or reversing the numbers each flips it.
 * @param {object} ring
 * @returns {1|-1} 1 towards the rear, -1 towards the front
 */
export function clockSense(ring) {
  return (ring.direction === "clockwise") === (ring.marked_face_right === "outboard") ? -1 : 1;
}

/**
 * Clock angle of one mark while another is at the top.
 * @param {object} ring
 * @param {number} markAtTop as numbered on the ring
 * @param {number} mark as numbered on the ring; may lie between two marks
 * @returns {number} radians from 0 to one turn
 */
export function markClock(ring, markAtTop, mark) {
  return remainder(clockSense(ring) * (mark - markAtTop) * (TURN / ring.marks), TURN);
}

/**
 * Clock angle of the ring's thickest place.
 * @param {object} ring
 * @param {number} markAtTop as numbered on the ring
 * @returns {number} radians from 0 to one turn
 */
export function thickPointClock(ring, markAtTop) {
  return markClock(ring, markAtTop, thickMark(ring));
}

/**
 * Thickness of the pair between flange and hub. Holds beyond the rim too, because hub and disc tilt as one.
 * @param {object} ringSet
 * @param {number} i mark of the inner ring at the top
 * @param {number} j mark of the outer ring at the top
 * @param {number} radiusMm from the hub's centre
 * @param {number} clockRad
 * @returns {number} mm
 */
export function thickness(ringSet, i, j, radiusMm, clockRad) {
  return ringThickness(ringSet.inner, i, radiusMm, clockRad) + ringThickness(ringSet.outer, j, radiusMm, clockRad);
}

/**
 * Outward unit normal of the hub face against the flange: the inner ring's turn after the outer ring's.
 * @param {object} ringSet
 * @param {number} i mark of the inner ring at the top
 * @param {number} j mark of the outer ring at the top
 * @returns {number[]} [forward, outboard, up]
 */
export function normalOfPair(ringSet, i, j) {
  const outerTurned = turned([0, 1, 0], ringSet.outer, j);
  return turned(outerTurned, ringSet.inner, i);
}

/**
 * Whether base + effect is good enough to be shown alone; else the screen also shows the composed prediction.
 * @param {object} ringSet
 * @param {number[]} base [camber, toe] in mdeg
 * @returns {boolean}
 */
export function addingHolds({ inner, outer }, [camber, toe]) {
  const taper = Math.max(inner.taper_mdeg, outer.taper_mdeg);
  return taper <= ADDING_TAPER_MDEG && Math.abs(camber) <= ADDING_CAMBER_MDEG && Math.abs(toe) <= ADDING_TOE_MDEG;
}

/**
 * The reading to expect with the pair fitted to a flange that stands at `base`, composed exactly instead of added.
 * The flange's own top is its highest place, where the technician's mark is.
 * @param {object} ringSet
 * @param {number} i mark of the inner ring at the top
 * @param {number} j mark of the outer ring at the top
 * @param {number[]} base [camber, toe] in mdeg, read without rings
 * @returns {number[]} [camber, toe] in mdeg, not rounded
 */
export function composedPrediction(ringSet, i, j, base) {
  const [forward, outboard, up] = flangeAxes(base.map((mdeg) => radiansOf(mdeg / 1000)));
  const [x, o, z] = normalOfPair(ringSet, i, j);
  const normal = forward.map((component, axis) => x * component + o * outboard[axis] + z * up[axis]);
  return anglesOfNormal(normal).map((rad) => degreesOf(rad) * 1000);
}

/**
 * Whether (i, j) and (j, i) do the same to within 1 mdeg, so that the rings need no names.
 * @param {object} ringSet
 * @returns {boolean}
 */
export function swapFreely({ inner, outer }) {
  return inner.taper_mdeg <= SWAP_FREELY_TAPER_MDEG && Object.keys(inner).every((key) => {
    return key === "thick_mark" ? thickMark(inner) === thickMark(outer) : inner[key] === outer[key];
  });
}

// Counted round, so that thick marks a whole turn apart give the very same clock.
function thickMark(ring) {
  return remainder(ring.thick_mark, ring.marks);
}

function ringThickness(ring, markAtTop, radiusMm, clockRad) {
  const taper = Math.tan(radiansOf(ring.taper_mdeg / 1000));
  return ring.centre_thickness_mm + radiusMm * taper * Math.cos(clockRad - thickPointClock(ring, markAtTop));
}

// Turns a vector by the ring's taper: what looked outboard now leans away from the thick point.
function turned([x, o, z], ring, markAtTop) {
  const clock = thickPointClock(ring, markAtTop);
  const taper = radiansOf(ring.taper_mdeg / 1000);
  const [thickX, thickZ] = [-Math.sin(clock), Math.cos(clock)];
  const alongThick = x * thickX + z * thickZ;
  const turnedThick = alongThick * Math.cos(taper) - o * Math.sin(taper);
  const turnedOutboard = alongThick * Math.sin(taper) + o * Math.cos(taper);
  const moved = turnedThick - alongThick;
  return [x + moved * thickX, turnedOutboard, z + moved * thickZ];
}

function anglesOfNormal([x, o, z]) {
  return [Math.atan2(-z, o), Math.atan2(x, o)];
}

// Axes of a flange that reads (camber, toe): its normal, the steepest way up in its plane, and the third across both.
function flangeAxes([camberRad, toeRad]) {
  const normal = unit([Math.tan(toeRad), 1, -Math.tan(camberRad)]);
  const up = unit([-normal[2] * normal[0], -normal[2] * normal[1], 1 - normal[2] * normal[2]]);
  const forward = [
    normal[1] * up[2] - normal[2] * up[1],
    normal[2] * up[0] - normal[0] * up[2],
    normal[0] * up[1] - normal[1] * up[0],
  ];
  return [forward, normal, up];
}

function unit(vector) {
  const length = Math.hypot(...vector);
  return vector.map((component) => component / length);
}
