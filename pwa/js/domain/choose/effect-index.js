// The effects that a wheel's ring pairs can make, as a kd-tree: the same for both wheels, built once per list of
// tables. It knows no readings and no windows, so a new reading never rebuilds it.
//
// Many pairs make the same effect in whole millidegrees. Each distinct effect is kept once, under the pair that comes
// first (ring set position, i, j); that pair is the effect's `rank`, so comparing ranks settles exact ties.
// The build runs once, in code that has never run before on a slow phone: plain loops over typed arrays, on purpose.

const KEY_SPAN = 1 << 20; // above the range of an effect, which is within +-180,000 mdeg
const NODE_FIELDS = ["start", "end", "camberLow", "camberHigh", "toeLow", "toeHigh", "firstRank"];

/**
 * A balanced kd-tree over distinct effects. Node n has the children 2n+1 and 2n+2 and holds the effects start[n] to
 * end[n]; `camber`, `toe` (mdeg) and `rank` are in tree order. A node that cannot be split holds one effect or none.
 */
export class EffectIndex {
  #offsets;
  #ofEach = null;

  /**
   * @param {object[]} tables table objects, in the order that ties prefer
   * @param {Int32Array} camber mdeg, of distinct effects; the three arrays are the tree's from now on
   * @param {Int32Array} toe mdeg
   * @param {Int32Array} rank
   */
  constructor(tables, camber, toe, rank) {
    Object.assign(this, { tables, camber, toe, rank, size: rank.length });
    this.#offsets = offsetsOf(tables);
    const leaves = 2 ** Math.ceil(Math.log2(Math.max(1, this.size)));
    for (const name of NODE_FIELDS) this[name] = new Int32Array(2 * leaves - 1);
    splitNodes(this, leaves - 1);
    measureLeaves(this, leaves - 1);
    measureNodes(this, leaves - 1);
  }

  /**
   * @returns {EffectIndex[]} a tree for each ring set that offers anything, made at the first call; ranks as in this
   *   one
   */
  ofEachSet() {
    this.#ofEach ??= this.tables.map((table) => buildIndex(this.tables, [table])).filter(({ size }) => size > 0);
    return this.#ofEach;
  }

  /**
   * @param {number} rank
   * @returns {{table: object, pair: number[]}} the table that the rank lies in, and its marks (i, j) at the top
   */
  pairOfRank(rank) {
    const position = this.#offsets.findLastIndex((offset) => offset <= rank);
    const table = this.tables[position];
    const inTable = rank - this.#offsets[position];
    const { inner, outer } = table.ring_set;
    const i = inner.first_mark + Math.floor(inTable / table.columns);
    return { table, pair: [i, outer.first_mark + (inTable % table.columns)] };
  }
}

/**
 * Builds the tree of everything that the ring sets of these tables can do to a wheel.
 * @param {object[]} tables parsed tables, in the order of the ring sets
 * @param {object[]} [only] those of them whose effects are kept; the ranks are those among all tables
 * @returns {EffectIndex}
 */
export function buildIndex(tables, only = tables) {
  const most = only.reduce((sum, table) => sum + table.camber.length, 0);
  const [cambers, toes, ranks] = [new Int32Array(most), new Int32Array(most), new Int32Array(most)];
  const seen = new Set();
  const offsets = offsetsOf(tables);
  let size = 0;
  for (const [position, { camber, toe, ring_set }] of tables.entries()) {
    if (!only.includes(tables[position])) continue;
    const offset = offsets[position];
    const limit = ring_set.max_tilt_mdeg ?? Infinity;
    for (let k = 0; k < camber.length; k++) {
      const key = camber[k] * KEY_SPAN + toe[k];
      if (camber[k] * camber[k] + toe[k] * toe[k] > limit * limit || seen.has(key)) continue;
      seen.add(key);
      cambers[size] = camber[k];
      toes[size] = toe[k];
      ranks[size++] = offset + k;
    }
  }
  return new EffectIndex([...tables], cambers.slice(0, size), toes.slice(0, size), ranks.slice(0, size));
}

/** The tree of a wheel that gets no rings: its one effect is none. */
export const NO_RINGS = new EffectIndex([], Int32Array.of(0), Int32Array.of(0), Int32Array.of(0));

function offsetsOf(tables) {
  let sum = 0;
  return tables.map((table) => (sum += table.camber.length) - table.camber.length);
}

// Halves each node's effects, by camber and toe in turn from level to level.
function splitNodes({ start, end, camber, toe, rank, size }, count) {
  end[0] = size;
  for (let node = 0; node < count; node++) {
    const middle = (start[node] + end[node]) >> 1;
    const isByCamber = Math.clz32(node + 1) % 2 === 1;
    if (isByCamber) partition(camber, toe, rank, start[node], end[node] - 1, middle);
    else partition(toe, camber, rank, start[node], end[node] - 1, middle);
    start[2 * node + 1] = start[node];
    end[2 * node + 1] = start[2 * node + 2] = middle;
    end[2 * node + 2] = end[node];
  }
}

// A leaf without an effect is never looked at, but its parent measures it: it gets the effect that its sibling holds.
function measureLeaves({ start, camber, toe, rank, size, camberLow, camberHigh, toeLow, toeHigh, firstRank },
    firstLeaf) {
  for (let node = firstLeaf; node < start.length; node++) {
    const at = Math.min(start[node], size - 1);
    camberLow[node] = camberHigh[node] = camber[at];
    toeLow[node] = toeHigh[node] = toe[at];
    firstRank[node] = rank[at];
  }
}

function measureNodes({ camberLow, camberHigh, toeLow, toeHigh, firstRank }, count) {
  for (let node = count - 1; node >= 0; node--) {
    const a = 2 * node + 1;
    const b = a + 1;
    camberLow[node] = Math.min(camberLow[a], camberLow[b]);
    camberHigh[node] = Math.max(camberHigh[a], camberHigh[b]);
    toeLow[node] = Math.min(toeLow[a], toeLow[b]);
    toeHigh[node] = Math.max(toeHigh[a], toeHigh[b]);
    firstRank[node] = Math.min(firstRank[a], firstRank[b]);
  }
}

// Quickselect: afterwards no `by` before `middle` is greater, and none behind it smaller, than the one there. The other
// two arrays move along.
function partition(by, second, third, low, high, middle) {
  while (low < high) {
    const pivot = by[(low + high) >> 1];
    let i = low;
    let j = high;
    while (i <= j) {
      while (by[i] < pivot) i++;
      while (by[j] > pivot) j--;
      if (i <= j) {
        swap(by, i, j);
        swap(second, i, j);
        swap(third, i, j);
        i++;
        j--;
      }
    }
    if (middle <= j) high = j;
    else if (middle >= i) low = i;
    else return;
  }
}

function swap(values, i, j) {
  const kept = values[i];
  values[i] = values[j];
  values[j] = kept;
}
