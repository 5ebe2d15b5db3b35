/**
 * How sharp a picture is round the rim and how much of the rim a lamp's reflection hides, before it is kept.
 * The twin of calc/picture/quality.py, which says why. Luminance comes as 0 to 255, row by row.
 */

import { CLIPPED, RIM_FROM, RIM_TO } from "./picture-limits.js";

/**
 * The variance of the Laplacian round the rim over that of the luminance there; 0 where all is alike.
 * @param {{values: ArrayLike<number>, width: number, height: number, rim: number[]}} picture rim = [x, y, radius]
 */
export function sharpness({ values, width, height, rim }) {
  const mean = meansOf(values, width, height);
  const lights = moments();
  const bends = moments();
  for (let y = 2; y < height - 2; y += 1) {
    for (let x = 2; x < width - 2; x += 1) {
      if (!isNear(x, y, rim)) continue;
      const at = y * width + x;
      lights.add(mean[at]);
      bends.add(mean[at - width] + mean[at + width] + mean[at - 1] + mean[at + 1] - 4 * mean[at]);
    }
  }
  return lights.variance > 1e-9 ? bends.variance / lights.variance : 0;
}

/** The share of what lies round the rim that is clipped, 0 to 1; the same picture. */
export function glareShare({ values, width, height, rim }) {
  let [near, clipped] = [0, 0];
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      if (!isNear(x, y, rim)) continue;
      near += 1;
      if (values[y * width + x] >= CLIPPED) clipped += 1;
    }
  }
  return near > 0 ? clipped / near : 0;
}

/** The mean of 3 x 3 round each pixel that has them. */
function meansOf(values, width, height) {
  const means = new Float64Array(width * height);
  for (let y = 1; y < height - 1; y += 1) {
    for (let x = 1; x < width - 1; x += 1) {
      const at = y * width + x;
      let sum = 0;
      for (let row = at - width; row <= at + width; row += width) sum += values[row - 1] + values[row]
        + values[row + 1];
      means[at] = sum / 9;
    }
  }
  return means;
}

/** Mean and variance as they come (Welford, 1962), so that large sums lose nothing. */
function moments() {
  let [count, mean, square] = [0, 0, 0];
  return {
    add(value) {
      count += 1;
      const off = value - mean;
      mean += off / count;
      square += off * (value - mean);
    },
    get variance() {
      return count > 0 ? square / count : 0;
    },
  };
}

function isNear(x, y, [middleX, middleY, radius]) {
  const square = (x - middleX) ** 2 + (y - middleY) ** 2;
  return square >= (RIM_FROM * radius) ** 2 && square <= (RIM_TO * radius) ** 2;
}
