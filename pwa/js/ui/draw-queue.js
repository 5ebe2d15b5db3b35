/**
 * When the open screen is drawn: at once for what a person did, now and then for what only sync has brought. It knows
 * nothing of screens.
 */

/** A pull brings a page many times a second; drawn each time, the drawing takes longer than the pull. */
export const BETWEEN_MS = 3000;
/** So long work in the background lets the person's pass. */
const YIELDS_MS = 1000;

export class Draws {
  #draw;
  #clock;
  #timers;
  #last = Promise.resolve();
  #waiting = null; // the draw that is asked for and has not begun
  #timer = null;
  #held = Promise.resolve(); // what is to be drawn is about to change
  #drawnAt = -Infinity;

  /** @param {function(): Promise<void>} draw never rejects */
  constructor(draw, { clock = () => performance.now(),
      timers = { set: (f, ms) => setTimeout(f, ms), clear: (id) => clearTimeout(id) } } = {}) {
    this.#draw = draw;
    this.#clock = clock;
    this.#timers = timers;
  }

  /** Draws one after the other, so that a slow answer overwrites no newer one; what is asked meanwhile is one draw. */
  now() {
    this.#timers.clear(this.#timer);
    this.#timer = null;
    this.#waiting ??= this.#last.then(() => this.#run());
    this.#last = this.#waiting;
    return this.#last;
  }

  /** Draws once the last draw is long enough ago. */
  soon() {
    const leftMs = this.#drawnAt + BETWEEN_MS - this.#clock();
    if (leftMs <= 0) this.now();
    else this.#timer ??= this.#timers.set(() => this.now(), leftMs);
  }

  /** No draw begins before `work` has ended, which changes what is drawn. */
  hold(work) {
    this.#held = work.catch(() => {});
    return work;
  }

  /** Resolves when nothing is held or drawn, for what a person does not wait for; after a second in any case. */
  quiet() {
    const still = this.#held.then(() => this.#last);
    return Promise.race([still, new Promise((yielded) => this.#timers.set(yielded, YIELDS_MS))]);
  }

  async #run() {
    await this.#held;
    this.#waiting = null;
    await this.#draw();
    this.#drawnAt = this.#clock();
  }
}
