/**
 * Geometry of the tilt map: toe across (in to the right), camber up (top out upwards), one scale for both, so that
 * a turn of the effect looks like a turn. Readings and effects are [camber, toe] in mdeg; places are [x, y] in units
 * of the drawing, y downwards. Pure: it draws nothing, chooses nothing and writes no words.
 */

/** Size of the whole drawing and of the plot in it. */
export const SHEET = { width: 360, height: 388 };
export const FRAME = { left: 68, top: 28, size: 284 };

/** The ellipse of the spread holds this share of what can be expected ("about 9 in 10"). */
export const SPREAD_SHARE = 0.9;

const NARROWEST_MDEG = 60;
const WIDEST_MDEG = 12000;
const LEAST_PLAN_SPAN_MDEG = 200;
const TICK_STEPS_MDEG = [10, 20, 50, 100, 200, 500, 1000, 2000, 5000];
const TICK_LABEL_WIDTH = 74; // "toe-out" and the space after it
const DOT_CELL = 2; // two dots nearer than this look like one, so only one is drawn

/** @typedef {{camber: number, toe: number, span: number}} View middle of the plot and its width, in mdeg */

/** The place of a reading in the drawing. */
export function placeOf(view, [camber, toe]) {
  const scale = FRAME.size / view.span;
  const middle = FRAME.size / 2;
  return [
    FRAME.left + middle + (toe - view.toe) * scale,
    FRAME.top + middle - (camber - view.camber) * scale,
  ];
}

/** The reading at a place of the drawing; the inverse of placeOf. */
export function readingAt(view, [x, y]) {
  const scale = view.span / FRAME.size;
  const middle = FRAME.size / 2;
  return [view.camber - (y - FRAME.top - middle) * scale, view.toe + (x - FRAME.left - middle) * scale];
}

/** Calls visit(camber, toe, k) for every effect that the table may offer (design: never above max_tilt_mdeg). */
export function eachEffect(table, visit) {
  const { camber, toe } = table;
  const limit = table.ring_set.max_tilt_mdeg;
  const limit2 = limit === null ? Infinity : limit * limit;
  for (let k = 0; k < camber.length; k += 1) {
    const c = camber[k], t = toe[k];
    if (c * c + t * t <= limit2) visit(c, t, k);
  }
}

/** The marks [i, j] of position k in a table. */
export function pairAt(table, k) {
  const { inner, outer } = table.ring_set;
  return [inner.first_mark + Math.floor(k / table.columns), outer.first_mark + (k % table.columns)];
}

/**
 * The view that shows everything: base, window, predicted, check and all that the rings reach.
 * @param {{base: number[], window: object, tables: object[], predicted: object|null, check: number[]|null}} model
 * @returns {View}
 */
export function viewOfAll({ base, window, tables, predicted, check }) {
  const reach = Math.max(0, ...tables.map(reachOf));
  const readings = [base, predicted?.at, check].filter(Boolean);
  const cambers = [...readings.map((r) => r[0]), base[0] - reach, base[0] + reach, ...finite(window.camber)];
  const toes = [...readings.map((r) => r[1]), base[1] - reach, base[1] + reach, ...finite(window.toe)];
  const wide = Math.max(Math.max(...cambers) - Math.min(...cambers), Math.max(...toes) - Math.min(...toes));
  const middle = (values) => (Math.max(...values) + Math.min(...values)) / 2;
  return limited({ camber: middle(cambers), toe: middle(toes), span: wide * 1.12 });
}

/**
 * The view that shows what a plan does and no more: base, window, prediction with its spread, check.
 * @param {{base: number[]|null, window: object, predicted: object|null, check: number[]|null}} model
 * @returns {View}
 */
export function viewOfPlan({ base, window, predicted, check }) {
  const readings = [base, check, ...cornersOf(predicted)].filter(Boolean);
  const cambers = [...readings.map((r) => r[0]), ...finite(window.camber)];
  const toes = [...readings.map((r) => r[1]), ...finite(window.toe)];
  if (cambers.length === 0 || toes.length === 0)
    return limited({ camber: cambers[0] ?? 0, toe: toes[0] ?? 0, span: 1000 });
  const wide = Math.max(Math.max(...cambers) - Math.min(...cambers), Math.max(...toes) - Math.min(...toes),
    LEAST_PLAN_SPAN_MDEG);
  const middle = (values) => (Math.max(...values) + Math.min(...values)) / 2;
  return limited({ camber: middle(cambers), toe: middle(toes), span: wide * 1.2 });
}

/** The prediction, and the corners of the box about its spread. */
function cornersOf(predicted) {
  if (!predicted) return [];
  const [camber, toe] = predicted.at;
  const [c, t] = predicted.covariance ? [0, 1].map((n) => 2 * Math.sqrt(predicted.covariance[n][n])) : [0, 0];
  return [[camber, toe], [camber - c, toe - t], [camber + c, toe + t]];
}

/** The view made `factor` times as wide, with the reading `about` staying where it is. */
export function zoomed(view, factor, about = [view.camber, view.toe]) {
  const span = clamp(view.span * factor, NARROWEST_MDEG, WIDEST_MDEG);
  const kept = span / view.span;
  return limited({
    camber: about[0] + (view.camber - about[0]) * kept,
    toe: about[1] + (view.toe - about[1]) * kept,
    span,
  });
}

/** The view moved by shares of its width: `up` towards top out, `right` towards toe in. */
export function panned(view, up, right) {
  return limited({ camber: view.camber + up * view.span, toe: view.toe + right * view.span, span: view.span });
}

/** Round values from low to high in mdeg, at most `most` of them, with the step between them. */
export function ticksBetween(low, high, most) {
  const step = TICK_STEPS_MDEG.find((size) => (high - low) / size < most) ?? TICK_STEPS_MDEG.at(-1);
  const values = [];
  for (let n = Math.ceil(low / step); n * step <= high; n += 1) values.push(n * step || 0);
  return { step, values };
}

/** The ticks of both axes of a view; across there is room for the words of every first or second one. */
export function axisTicks(view) {
  const half = view.span / 2;
  const toe = ticksBetween(view.toe - half, view.toe + half, 6);
  const apart = (toe.step * FRAME.size) / view.span;
  return {
    camber: ticksBetween(view.camber - half, view.camber + half, 7),
    toe: { ...toe, every: apart >= TICK_LABEL_WIDTH ? 1 : 2 },
  };
}

/**
 * The window as a box inside the plot; a bound that the maker does not give runs on to the edge of the plot.
 * @returns {null|{x: number, y: number, width: number, height: number, edges: string[]}} `edges` are the sides
 *   (left, right, top, bottom) where a bound really lies and is in view; null where there is no window at all
 */
export function windowBox(view, { camber, toe }) {
  if (!camber && !toe) return null;
  const [toeLow, toeHigh] = toe ?? [null, null];
  const [camberLow, camberHigh] = camber ?? [null, null];
  const left = FRAME.left, right = left + FRAME.size, top = FRAME.top, bottom = top + FRAME.size;
  const across = (bound, open) => (bound === null ? open : placeOf(view, [0, bound])[0]);
  const upward = (bound, open) => (bound === null ? open : placeOf(view, [bound, 0])[1]);
  const raw = { left: across(toeLow, left), right: across(toeHigh, right), top: upward(camberHigh, top),
    bottom: upward(camberLow, bottom) };
  const given = { left: toeLow, right: toeHigh, top: camberHigh, bottom: camberLow };
  const box = {
    left: clamp(raw.left, left, right), right: clamp(raw.right, left, right),
    top: clamp(raw.top, top, bottom), bottom: clamp(raw.bottom, top, bottom),
  };
  const edges = Object.keys(raw).filter((side) => given[side] !== null && raw[side] === box[side]);
  return { x: box.left, y: box.top, width: box.right - box.left, height: box.bottom - box.top, edges };
}

/** Path data with one zero-length stroke per reachable reading in view; near doubles are drawn once. */
export function dotsPath(view, base, tables) {
  const cells = Math.ceil(FRAME.size / DOT_CELL);
  const taken = new Uint8Array(cells * cells);
  const scale = FRAME.size / view.span;
  const x0 = (base[1] - view.toe) * scale + FRAME.size / 2;
  const y0 = FRAME.size / 2 - (base[0] - view.camber) * scale;
  const parts = [];
  for (const table of tables) {
    eachEffect(table, (camber, toe) => {
      const x = x0 + toe * scale, y = y0 - camber * scale;
      if (x < 0 || y < 0 || x >= FRAME.size || y >= FRAME.size) return;
      const cell = Math.floor(y / DOT_CELL) * cells + Math.floor(x / DOT_CELL);
      if (taken[cell]) return;
      taken[cell] = 1;
      parts.push("M", tenths(FRAME.left + x), " ", tenths(FRAME.top + y), "h0");
    });
  }
  return parts.join("");
}

/**
 * The reachable point nearest to a reading; of equals the first set, then the smallest marks.
 * @param {object[]} tables
 * @param {number[]} base the reading that the effects start from
 * @param {number[]} reading where the person pointed
 * @param {number} farthest_mdeg nothing farther away counts
 * @returns {null|{ring_set: string, pair: number[], effect: number[]}}
 */
export function nearestPoint(tables, base, reading, farthest_mdeg) {
  const camberWanted = reading[0] - base[0], toeWanted = reading[1] - base[1];
  let least = farthest_mdeg * farthest_mdeg;
  let found = null;
  for (const table of tables) {
    eachEffect(table, (camber, toe, k) => {
      const square = (camber - camberWanted) ** 2 + (toe - toeWanted) ** 2;
      if (square < least || (square === least && !found)) {
        least = square;
        found = { table, k };
      }
    });
  }
  if (!found) return null;
  const { table, k } = found;
  return { ring_set: table.ring_set.id, pair: pairAt(table, k), effect: [table.camber[k], table.toe[k]] };
}

/**
 * The ellipse that holds SPREAD_SHARE of a normal spread about its middle.
 * @param {number[][]} covariance [[cc, ct], [ct, tt]] of (camber, toe) in mdeg^2
 * @returns {{along: number, across: number, turn_deg: number}} half axes in mdeg; `turn_deg` turns the long axis
 *   from the toe axis clockwise as drawn (the sense of SVG's rotate)
 */
export function spreadEllipse([[cc, ct], [, tt]]) {
  const mean = (cc + tt) / 2;
  const radius = Math.hypot((tt - cc) / 2, ct);
  const factor = Math.sqrt(-2 * Math.log(1 - SPREAD_SHARE)); // chi-squared with two degrees of freedom
  return {
    along: factor * Math.sqrt(Math.max(0, mean + radius)),
    across: factor * Math.sqrt(Math.max(0, mean - radius)),
    turn_deg: (-Math.atan2(2 * ct, tt - cc) / 2) * (180 / Math.PI),
  };
}

/**
 * Where the name of each symbol can stand: the first of eight spots beside it that is inside the plot and free of
 * all symbols and of the names placed before; a name without a free spot is left out (the list below has it).
 * @param {{key: string, at: number[], radius: number, width: number, height: number}[]} symbols
 * @returns {{key: string, x: number, y: number}[]} left and top of each name
 */
export function namesBeside(symbols) {
  const taken = symbols.map(({ at, radius }) => [at[0] - radius, at[1] - radius, at[0] + radius, at[1] + radius]);
  const placed = [];
  for (const { key, at: [x, y], radius, width, height } of symbols) {
    const gap = radius + 4;
    const spots = [
      [x + gap, y - height / 2], [x - gap - width, y - height / 2], [x - width / 2, y - gap - height],
      [x - width / 2, y + gap],
      [x + gap, y - gap - height], [x + gap, y + gap], [x - gap - width, y - gap - height], [x - gap - width, y + gap],
    ];
    const free = spots.find(([left, top]) => {
      const box = [left, top, left + width, top + height];
      return insidePlot(box) && !taken.some((other) => overlap(box, other));
    });
    if (!free) continue;
    taken.push([free[0], free[1], free[0] + width, free[1] + height]);
    placed.push({ key, x: free[0], y: free[1] });
  }
  return placed;
}

// Rounded without toFixed, which would take most of the time of a zoom on a slow phone.
function tenths(number) {
  return Math.round(number * 10) / 10;
}

function reachOf(table) {
  let greatest = 0;
  eachEffect(table, (camber, toe) => { greatest = Math.max(greatest, camber * camber + toe * toe); });
  return Math.sqrt(greatest);
}

function insidePlot([left, top, right, bottom]) {
  return left >= FRAME.left + 2 && top >= FRAME.top + 2 && right <= FRAME.left + FRAME.size - 2 && bottom <= FRAME.top
    + FRAME.size - 2;
}

function overlap(a, b) {
  return a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
}

function limited({ camber, toe, span }) {
  const far = WIDEST_MDEG;
  return { camber: clamp(camber, -far, far), toe: clamp(toe, -far, far),
    span: clamp(span, NARROWEST_MDEG, WIDEST_MDEG) };
}

function finite(bounds) {
  return (bounds ?? []).filter((bound) => bound !== null);
}

function clamp(value, low, high) {
  return Math.min(Math.max(value, low), high);
}
