// The effects that a wheel's ring pairs can make, as a kd-tree: the same for both wheels, built once per list of tables.
// It knows no readings and no windows, so a new reading never rebuilds it.
//
// Many pairs make the same effect in whole millidegrees. Each distinct effect is kept once, under the pair that comes
// first (ring set position, i, j); that pair is the effect's `rank`, so comparing ranks settles exact ties.

const NODE_FIELDS = ["start", "end", "camberLow", "camberHigh", "toeLow", "toeHigh", "firstRank"];
const FAR = 2 ** 31 - 1;
const KEY_SPAN = 1 << 20; // above the range of an effect, which is within +-180,000 mdeg

/**
 * A balanced kd-tree over distinct effects. Node n has the children 2n+1 and 2n+2 and holds the effects start[n] to
 * end[n]; all arrays of `effects` are in tree order.
 */
export class EffectIndex {
  #offsets;

  /**
   * @param {object[]} tables table objects, in the order that ties prefer
   * @param {{camber: number[], toe: number[], rank: number[]}} effects distinct effects in mdeg
   */
  constructor(tables, effects) {
    this.tables = tables;
    this.#offsets = offsetsOf(tables);
    this.size = effects.rank.length;
    const order = Int32Array.from(effects.rank.keys());
    this.firstLeaf = 2 ** Math.ceil(Math.log2(Math.max(1, this.size))) - 1;
    const nodes = 2 * this.firstLeaf + 1;
    for (const name of NODE_FIELDS) this[name] = new Int32Array(nodes);
    this.end[0] = this.size;
    for (let node = 0; node < nodes; node++) {
      this.#measure(node, order, effects);
      if (node < this.firstLeaf) this.#split(node, order, effects);
    }
    for (const name of ["camber", "toe", "rank"]) this[name] = Int32Array.from(order, (at) => effects[name][at]);
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

  #measure(node, order, { camber, toe, rank }) {
    let [camberLow, camberHigh, toeLow, toeHigh, firstRank] = [FAR, -FAR, FAR, -FAR, FAR];
    for (let at = this.start[node]; at < this.end[node]; at++) {
      const effect = order[at];
      if (camber[effect] < camberLow) camberLow = camber[effect];
      if (camber[effect] > camberHigh) camberHigh = camber[effect];
      if (toe[effect] < toeLow) toeLow = toe[effect];
      if (toe[effect] > toeHigh) toeHigh = toe[effect];
      if (rank[effect] < firstRank) firstRank = rank[effect];
    }
    this.camberLow[node] = camberLow;
    this.camberHigh[node] = camberHigh;
    this.toeLow[node] = toeLow;
    this.toeHigh[node] = toeHigh;
    this.firstRank[node] = firstRank;
  }

  #split(node, order, { camber, toe }) {
    const [start, end] = [this.start[node], this.end[node]];
    const middle = (start + end) >> 1;
    const isWide = this.camberHigh[node] - this.camberLow[node] >= this.toeHigh[node] - this.toeLow[node];
    if (end > start) partition(order, isWide ? camber : toe, start, end - 1, middle);
    this.start[2 * node + 1] = start;
    this.end[2 * node + 1] = this.start[2 * node + 2] = middle;
    this.end[2 * node + 2] = end;
  }
}

/**
 * Builds the tree of everything that the ring sets of these tables can do to a wheel.
 * @param {object[]} tables parsed tables, in the order of the ring sets
 * @returns {EffectIndex}
 */
export function buildIndex(tables) {
  const effects = { camber: [], toe: [], rank: [] };
  const seen = new Set();
  let offset = 0;
  for (const table of tables) {
    for (let k = 0; k < table.camber.length; k++) {
      const [camber, toe] = [table.camber[k], table.toe[k]];
      const key = camber * KEY_SPAN + toe;
      if (seen.has(key) || isBeyondTilt(table.ring_set.max_tilt_mdeg, camber, toe)) continue;
      seen.add(key);
      effects.camber.push(camber);
      effects.toe.push(toe);
      effects.rank.push(offset + k);
    }
    offset += table.camber.length;
  }
  return new EffectIndex([...tables], effects);
}

/** The tree of a wheel that gets no rings: its one effect is none. */
export const NO_RINGS = new EffectIndex([], { camber: [0], toe: [0], rank: [0] });

function isBeyondTilt(maxTiltMdeg, camber, toe) {
  return maxTiltMdeg !== null && camber * camber + toe * toe > maxTiltMdeg * maxTiltMdeg;
}

function offsetsOf(tables) {
  let sum = 0;
  return tables.map((table) => (sum += table.camber.length) - table.camber.length);
}

// Quickselect: afterwards nothing before `middle` is greater, and nothing behind it smaller, than what stands there.
function partition(order, values, low, high, middle) {
  while (low < high) {
    const pivot = values[order[(low + high) >> 1]];
    let [i, j] = [low, high];
    while (i <= j) {
      while (values[order[i]] < pivot) i++;
      while (values[order[j]] > pivot) j--;
      if (i <= j) {
        [order[i], order[j]] = [order[j], order[i]];
        i++;
        j--;
      }
    }
    if (middle <= j) high = j;
    else if (middle >= i) low = i;
    else return;
  }
}
