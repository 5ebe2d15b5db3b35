// Spacers for the bracket lugs from the shop's stock, by quantity. Whole micrometres throughout, so that ties are ties.
// The twin of calc/fit/spacers.py. It gives the nearest that the stock allows and says how far off that is.

import { SPACER_TOLERANCE_UM } from "../constants.js";
import { toDecimals } from "../numbers/arithmetic.js";

/**
 * @param {number[]} stackMm per lug
 * @param {{thickness_mm: number, quantity: number}[]} stock
 * @param {number|null} engagedMm of the bracket bolts, without spacers
 * @returns {object[]} per lug {number, wanted_mm, pieces_mm, off_mm, near_enough, left_mm}
 */
export function spacerRows(stackMm, stock, engagedMm) {
  const wantedUm = stackMm.map((mm) => toDecimals(mm * 1000, 0));
  const stockUm = stock.map(({ thickness_mm, quantity }) => [toDecimals(thickness_mm * 1000, 0), quantity]);
  return chooseSpacers(wantedUm, stockUm).map((items, lug) => {
    const total = items.reduce((sum, item) => sum + stockUm[item][0], 0);
    return {
      number: lug + 1,
      wanted_mm: wantedUm[lug] / 1000,
      pieces_mm: items.map((item) => stockUm[item][0] / 1000),
      off_mm: (total - wantedUm[lug]) / 1000,
      near_enough: Math.abs(total - wantedUm[lug]) <= SPACER_TOLERANCE_UM,
      left_mm: engagedMm === null ? null : toDecimals(engagedMm - total / 1000, 2),
    };
  });
}

/**
 * The pieces under each lug, at most two: the least sum of misses, of equals the fewest pieces, of equals the first by
 * (miss, pieces, items). The true optimum: a branch is left only where even the best for each lug by itself would not
 * be better.
 * @param {number[]} wantedUm per lug
 * @param {number[][]} stock [thickness in micrometres, quantity]
 * @returns {number[][]} per lug the positions in `stock`, rising
 */
export function chooseSpacers(wantedUm, stock) {
  const options = wantedUm.map((wanted) => optionsFor(wanted, stock));
  const atBest = [...options.keys(), options.length].map((lug) => {
    return options.slice(lug).reduce((sum, [first]) => sum + first.miss, 0);
  });
  const nothing = { chosen: [], miss: 0, pieces: 0 };
  return bestFrom(nothing, stock.map(([, quantity]) => quantity), null, options, atBest).chosen;
}

// The better of `best` and the best plan that begins with `begun`.
function bestFrom(begun, left, best, options, atBest) {
  const lug = begun.chosen.length;
  if (lug === options.length) return best === null || isBefore(begun, best) ? begun : best;
  for (const { miss, items } of options[lug]) {
    // Options come in order of miss: where this one is too far off, so are all after it.
    if (best !== null && begun.miss + miss + atBest[lug + 1] > best.miss) break;
    const after = left.map((quantity, item) => quantity - items.filter((each) => each === item).length);
    if (after.some((quantity) => quantity < 0)) continue;
    const next = { chosen: [...begun.chosen, items], miss: begun.miss + miss, pieces: begun.pieces + items.length };
    best = bestFrom(next, after, best, options, atBest);
  }
  return best;
}

function isBefore(a, b) {
  return a.miss !== b.miss ? a.miss < b.miss : a.pieces < b.pieces;
}

// Everything that may go under one lug, best first; nothing is one of them.
function optionsFor(wanted, stock) {
  const found = [{ miss: Math.abs(wanted), items: [] }];
  stock.forEach(([thickness, quantity], first) => {
    if (quantity < 1) return;
    found.push({ miss: Math.abs(thickness - wanted), items: [first] });
    stock.slice(first).forEach(([other, otherQuantity], further) => {
      if (otherQuantity < (further === 0 ? 2 : 1)) return;
      found.push({ miss: Math.abs(thickness + other - wanted), items: [first, first + further] });
    });
  });
  return found.sort((a, b) => a.miss - b.miss || a.items.length - b.items.length || byItems(a.items, b.items));
}

function byItems(a, b) {
  const at = a.findIndex((item, place) => item !== b[place]);
  return at < 0 ? 0 : a[at] - b[at];
}
