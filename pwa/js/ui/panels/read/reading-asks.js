/**
 * Which angle is asked for next, and what is saved for it. Left before right, camber before toe; where the equipment
 * gives only total toe and thrust, both cambers come first and the wheels' toes follow from the two.
 */

import { makeAngle } from "../../../domain/numbers/angle.js";
import { wheelToes } from "../../../domain/choose/axle.js";
import { KIND } from "../../../domain/job/entry.js";
import { SIDES } from "../../../domain/numbers/sides.js";
import { textFromMdeg } from "../../../domain/numbers/units.js";
import { wayOf } from "../../../domain/numbers/quantities.js";

const NOTHING = { camber: null, toe: null };

export class ReadingAsks {
  #asked;
  #wanted = 1;
  /** True: each wheel's toe is computed from total toe and thrust. */
  byTotal = false;

  constructor(asked) {
    this.#asked = asked;
  }

  /** Asks for one more reading of both wheels. */
  again(job) {
    this.#wanted = Math.max(this.#wanted, this.#highest(job)) + 1;
  }

  /** @returns {{prefix, side, n, part, slot}|null} null when everything asked for is there */
  next(job) {
    for (const { prefix } of this.#asked.sets) {
      for (let n = 1; n <= Math.max(this.#wanted, this.#highest(job)); n += 1) {
        const ask = this.#order(prefix, n).find((candidate) => this.#isMissing(job, candidate));
        if (ask) return ask;
      }
    }
    return null;
  }

  /** @returns {Object|null} the angle kept for an ask */
  kept(job, { slot, part, side }) {
    return side ? job.body(slot, KIND.READING_TAKEN)?.[part] ?? null : job.field(slot) ?? null;
  }

  /** @returns {Object[]} the entries to save for an angle, in order: {kind, slot, body} */
  contents(job, ask, angle) {
    const { slot, part, side } = ask;
    if (side) return [{ kind: KIND.READING_TAKEN, slot, body: { ...(job.body(slot, KIND.READING_TAKEN) ?? NOTHING), [part]: angle } }];
    const own = { kind: KIND.FIELD_SET, slot, body: { value: angle } };
    return part === "thrust" ? [own, ...this.#computed(job, ask, angle)] : [own];
  }

  #order(prefix, n) {
    const wheel = (side, part) => ({ prefix, side, n, part, slot: this.#asked.slot(prefix, side, n) });
    const axle = (part) => ({ prefix, side: null, n, part, slot: `${prefix}.${part}.${n}` });
    if (this.byTotal) return [wheel("left", "camber"), wheel("right", "camber"), axle("total-toe"), axle("thrust")];
    return SIDES.flatMap((side) => [wheel(side, "camber"), wheel(side, "toe")]);
  }

  /** A withdrawn reading beside kept ones is not asked for again; a first one is. */
  #isMissing(job, ask) {
    if (this.kept(job, ask)) return false;
    const body = ask.side && job.body(ask.slot, KIND.READING_TAKEN);
    const withdrawn = body && !body.camber && !body.toe;
    return !(withdrawn && this.#count(job, ask) > 0);
  }

  #count(job, { prefix, side }) {
    return this.#slots(job, prefix, side).filter((slot) => job.body(slot, KIND.READING_TAKEN)?.camber).length;
  }

  #slots(job, prefix, side) {
    return Object.keys(job.fold.slots).filter((slot) => slot.startsWith(`${prefix}.${side}`));
  }

  #highest(job) {
    const numbers = this.#asked.sets.flatMap(({ prefix }) => SIDES.flatMap((side) => this.#slots(job, prefix, side)))
      .map((slot) => Number(/\.(\d+)$/.exec(slot)?.[1] ?? 1));
    return Math.max(1, ...numbers);
  }

  #computed(job, { prefix, n }, thrust) {
    const total = job.field(`${prefix}.total-toe.${n}`);
    const toes = wheelToes(total.mdeg, thrust.mdeg);
    return SIDES.map((side) => {
      const slot = this.#asked.slot(prefix, side, n);
      const toe = makeAngle({ quantity: "toe", text: textFromMdeg(Math.abs(toes[side]), "deg"), unit: "deg", way: wayOf("toe", toes[side]) });
      return { kind: KIND.READING_TAKEN, slot, body: { ...(job.body(slot, KIND.READING_TAKEN) ?? NOTHING), toe } };
    });
  }
}
