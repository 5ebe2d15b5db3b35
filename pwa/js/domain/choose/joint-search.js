// Finds the best pair of effects for both wheels together: over all of them, without trying all of them.
// It knows windows and aims only through the task it gets. It adds nothing to the rule and approximates nothing.
// Steps of toe count before those of camber, or the other way round where the task is so.
//
// Two kd-trees are walked together. For a box of left effects and a box of right effects, no pair can be better than
// the box's least toe_outside and least camber_outside (both exact, outside.js), its least distance and its first
// ranks. As the order is lexicographic and each part a lower bound, the whole is one. A pair of boxes is dropped only
// where that bound is behind the best found so far. Ranks belong to the order, so what ties survives until the ranks
// decide.

const PAIRS_TRIED = 32; // boxes with no more pairs than this are tried out; measured: 8 to 64 make no difference
const STEPS_SPAN = 2 ** 24; // above any count of steps; with the other's steps before it still a whole double

/**
 * The best pair of effects by (toe_steps, camber_steps, anything outside, distance, left rank, right rank).
 * @param {EffectIndex} left effects that the left wheel may take; at least one
 * @param {EffectIndex} right effects that the right wheel may take; at least one
 * @param {{toe: ToeOutside, camber: CamberOutside, band: {toe: number, camber: number}, leftAim: WheelAim,
 *   rightAim: WheelAim, isCamberFirst?: boolean}} task windows and aims, for changes from the base readings
 * @param {{grade: number, distance: number}} [bound] only a pair of a better grade, or of this one and nearer, is found
 * @returns {{left: number, right: number, grade: number, distance: number}|null} positions in the two indexes; the
 *   grade is all before the distance as one number; null where nothing is better than the bound
 */
export function bestPair(left, right, task, bound = NO_BOUND) {
  return new JointSearch(left, right, task, bound).best();
}

const NO_BOUND = { grade: Infinity, distance: Infinity };

class JointSearch {
  #left;
  #right;
  #task;
  #leftWeight;
  #rightWeight;
  #grade;
  #distance;
  #leftRank = -1; // what is only as good as the bound is behind it
  #rightRank = -1;
  #found = null;

  constructor(left, right, task, { grade, distance }) {
    this.#grade = grade;
    this.#distance = distance;
    this.#left = left;
    this.#right = right;
    this.#task = task;
    this.#leftWeight = weightOf(task.leftAim);
    this.#rightWeight = weightOf(task.rightAim);
  }

  best() {
    this.#walk(0, 0);
    return this.#found;
  }

  #walk(a, b) {
    const [leftCount, rightCount] = [count(this.#left, a), count(this.#right, b)];
    if (leftCount * rightCount <= PAIRS_TRIED) this.#tryAll(a, b);
    else if (rightCount === 1 || (leftCount > 1 && this.#isLeftWider(a, b))) {
      this.#walkHalves(2 * a + 1, b, 2 * a + 2, b);
    } else this.#walkHalves(a, 2 * b + 1, a, 2 * b + 2);
  }

  #isLeftWider(a, b) {
    return width(this.#left, a, this.#leftWeight) >= width(this.#right, b, this.#rightWeight);
  }

  // The more promising half first: what it yields makes the other easier to drop.
  #walkHalves(a1, b1, a2, b2) {
    const [grade1, grade2] = [this.#leastGrade(a1, b1), this.#leastGrade(a2, b2)];
    const [distance1, distance2] = [this.#leastDistance(a1, b1), this.#leastDistance(a2, b2)];
    if (this.#isFirstBetter(grade1 - grade2, distance1 - distance2, a1, b1, a2, b2)) {
      this.#walkIfItCanWin(a1, b1, grade1, distance1);
      this.#walkIfItCanWin(a2, b2, grade2, distance2);
    } else {
      this.#walkIfItCanWin(a2, b2, grade2, distance2);
      this.#walkIfItCanWin(a1, b1, grade1, distance1);
    }
  }

  #isFirstBetter(gradeExcess, distanceExcess, a1, b1, a2, b2) {
    const [left, right] = [this.#left.firstRank, this.#right.firstRank];
    return (gradeExcess || distanceExcess || left[a1] - left[a2] || right[b1] - right[b2]) <= 0;
  }

  #walkIfItCanWin(a, b, grade, distance) {
    if (!this.#cannotWin(grade, distance, this.#left.firstRank[a], this.#right.firstRank[b])) this.#walk(a, b);
  }

  #cannotWin(grade, distance, leftRank, rightRank) {
    if (grade !== this.#grade) return grade > this.#grade;
    if (distance !== this.#distance) return distance > this.#distance;
    if (leftRank !== this.#leftRank) return leftRank > this.#leftRank;
    return rightRank >= this.#rightRank;
  }

  // Everything before the distance, as one whole number.
  #gradeOf(toeOutside, camberOutside) {
    const { band, isCamberFirst } = this.#task;
    const [toeSteps, camberSteps] = [Math.floor(toeOutside / band.toe), Math.floor(camberOutside / band.camber)];
    const steps = isCamberFirst ? camberSteps * STEPS_SPAN + toeSteps : toeSteps * STEPS_SPAN + camberSteps;
    return 2 * steps + (toeOutside > 0 || camberOutside > 0 ? 1 : 0);
  }

  #leastGrade(a, b) {
    const [left, right, { toe, camber }] = [this.#left, this.#right, this.#task];
    return this.#gradeOf(
      toe.least(left.toeLow[a], left.toeHigh[a], right.toeLow[b], right.toeHigh[b]),
      camber.least(left.camberLow[a], left.camberHigh[a], right.camberLow[b], right.camberHigh[b]),
    );
  }

  #leastDistance(a, b) {
    const [left, right, { leftAim, rightAim }] = [this.#left, this.#right, this.#task];
    return leftAim.least(left.camberLow[a], left.camberHigh[a], left.toeLow[a], left.toeHigh[a]) +
      rightAim.least(right.camberLow[b], right.camberHigh[b], right.toeLow[b], right.toeHigh[b]);
  }

  #tryAll(a, b) {
    const [left, right, { toe, camber, leftAim, rightAim }] = [this.#left, this.#right, this.#task];
    for (let l = left.start[a]; l < left.end[a]; l++) {
      const leftDistance = leftAim.distance(left.camber[l], left.toe[l]);
      for (let r = right.start[b]; r < right.end[b]; r++) {
        const grade = this.#gradeOf(toe.at(left.toe[l], right.toe[r]), camber.at(left.camber[l], right.camber[r]));
        if (grade > this.#grade) continue;
        const distance = leftDistance + rightAim.distance(right.camber[r], right.toe[r]);
        if (!this.#cannotWin(grade, distance, left.rank[l], right.rank[r])) this.#take(l, r, grade, distance);
      }
    }
  }

  #take(l, r, grade, distance) {
    this.#grade = grade;
    this.#distance = distance;
    this.#leftRank = this.#left.rank[l];
    this.#rightRank = this.#right.rank[r];
    this.#found = { left: l, right: r, grade, distance };
  }
}

// An angle that this wheel's distance depends on is worth splitting first: else thousands of equal effects of a wheel
// that hardly matters are gone through for each box of the other.
const DISTANCE_WEIGHT = 100;

function weightOf(aim) {
  return {
    camber: aim.camberHalf < Infinity ? DISTANCE_WEIGHT : 1,
    toe: aim.toeHalf < Infinity ? DISTANCE_WEIGHT : 1,
  };
}

function width(index, node, weight) {
  return weight.camber * (index.camberHigh[node] - index.camberLow[node]) +
    weight.toe * (index.toeHigh[node] - index.toeLow[node]);
}

function count(index, node) {
  return index.end[node] - index.start[node];
}
