// A fixed cloud of points that stands for four independent standard normals: the Halton sequence sent through the
// inverse normal distribution. Fixed, so that the same plan always shows the same chance, in Python and here.

export const POINTS = 4096;
const BASES = [2, 3, 5, 7];

// Wichura, Algorithm AS 241 (PPND16), Applied Statistics 37 (1988) 477-484: coefficients by rising power of the argument.
const CENTRE_OVER = [3.3871328727963666080e0, 1.3314166789178437745e2, 1.9715909503065514427e3, 1.3731693765509461125e4,
  4.5921953931549871457e4, 6.7265770927008700853e4, 3.3430575583588128105e4, 2.5090809287301226727e3];
const CENTRE_UNDER = [1, 4.2313330701600911252e1, 6.8718700749205790830e2, 5.3941960214247511077e3,
  2.1213794301586595867e4, 3.9307895800092710610e4, 2.8729085735721942674e4, 5.2264952788528545610e3];
const TAIL_OVER = [1.42343711074968357734e0, 4.63033784615654529590e0, 5.76949722146069140550e0, 3.64784832476320460504e0,
  1.27045825245236838258e0, 2.41780725177450611770e-1, 2.27238449892691845833e-2, 7.74545014278341407640e-4];
const TAIL_UNDER = [1, 2.05319162663775882187e0, 1.67638483018380384940e0, 6.89767334985100004550e-1,
  1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4, 1.05075007164441684324e-9];
const FAR_OVER = [6.65790464350110377720e0, 5.46378491116411436990e0, 1.78482653991729133580e0, 2.96560571828504891230e-1,
  2.65321895265761230930e-2, 1.24266094738807843860e-3, 2.71155556874348757815e-5, 2.01033439929228813265e-7];
const FAR_UNDER = [1, 5.99832206555887937690e-1, 1.36929880922735805310e-1, 1.48753612908506148525e-2,
  7.86869131145613259100e-4, 1.84631831751005468180e-5, 1.42151175831644588870e-7, 2.04426310338993978564e-15];

/**
 * The standard normal deviate below which a share of all values lies.
 * @param {number} share more than 0, less than 1
 * @returns {number} accurate to about 1 part in 10^16
 */
export function inverseNormal(share) {
  const fromMiddle = share - 0.5;
  if (Math.abs(fromMiddle) <= 0.425) {
    const r = 0.180625 - fromMiddle * fromMiddle;
    return fromMiddle * polynomial(CENTRE_OVER, r) / polynomial(CENTRE_UNDER, r);
  }
  const r = Math.sqrt(-Math.log(fromMiddle < 0 ? share : 1 - share));
  const deviate = r <= 5
    ? polynomial(TAIL_OVER, r - 1.6) / polynomial(TAIL_UNDER, r - 1.6)
    : polynomial(FAR_OVER, r - 5) / polynomial(FAR_UNDER, r - 5);
  return fromMiddle < 0 ? -deviate : deviate;
}

/**
 * Point n of the Halton sequence in one base: the digits of n mirrored behind the point.
 * @param {number} n from 1
 * @param {number} base
 * @returns {number} more than 0, less than 1
 */
export function radicalInverse(n, base) {
  let mirrored = 0;
  let denominator = 1;
  for (let rest = n; rest > 0; rest = Math.floor(rest / base)) {
    mirrored = mirrored * base + (rest % base);
    denominator *= base;
  }
  return mirrored / denominator;
}

let points = null;

/** @returns {Float64Array} POINTS times four standard normals, made at the first call */
export function normalPoints() {
  points ??= makePoints();
  return points;
}

function makePoints() {
  const made = new Float64Array(POINTS * BASES.length);
  for (let at = 0; at < made.length; at++) {
    const n = 1 + Math.floor(at / BASES.length);
    made[at] = inverseNormal(radicalInverse(n, BASES[at % BASES.length]));
  }
  return made;
}

function polynomial(coefficients, x) {
  let sum = 0;
  for (let power = coefficients.length - 1; power >= 0; power--) sum = sum * x + coefficients[power];
  return sum;
}
