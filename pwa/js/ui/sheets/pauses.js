/**
 * The pauses of a sheet: which one is open, and where a row stands. One is open at a time, the first that is not done.
 */

import { Pause } from "./pause.js";

export class Pauses {
  #context;
  #screen;
  #pauses = new Map();
  #open = null;

  /**
   * @param {{context: Object, screen: SheetScreen, onOpen: function(): void}} parts onOpen: the person has opened
   *   another one
   */
  constructor({ context, screen, onOpen }) {
    this.#context = context;
    this.#screen = screen;
    this.onOpen = onOpen;
  }

  get elements() {
    return this.#context.sheet.pauses.map(({ id }) => this.#pauses.get(id).element);
  }

  /** Brings the classes of rows that are new. */
  async prepare(pauses) {
    for (const pause of pauses) {
      if (!this.#pauses.has(pause.id))
        this.#pauses.set(pause.id, new Pause(this.#context, pause, (one) => this.#openOnly(one)));
    }
    await Promise.all(pauses.map((pause) => this.#pauses.get(pause.id).prepare(pause)));
  }

  /** @returns {boolean} false where something came that has to be brought first */
  update(pauses) {
    if (pauses.some(({ id }) => !this.#pauses.has(id))) return false;
    this.#chooseOpen(pauses);
    return pauses.map((pause) => this.#pauses.get(pause.id).update(pause, { open: pause.id === this.#open }))
      .every(Boolean);
  }

  /** @returns {RowFrame|null} the frame of a row, brought out of what folds it */
  reveal(slot) {
    const pause = [...this.#pauses.values()].find((each) => each.has(slot));
    if (!pause) return null;
    if (!pause.isOpen && !pause.isDone) this.#openOnly(pause);
    return pause.reveal(slot);
  }

  /** Everything that is half told is kept. */
  leave() {
    return Promise.all([...this.#pauses.values()].map((pause) => pause.leave()));
  }

  /**
   * An open one shuts when it is answered, and what comes next opens where the eye is. A correction that asks for more
   * opens its own.
   */
  #chooseOpen(pauses) {
    const anew = pauses.find((pause) => pause.id !== null && pause.state !== "done"
      && this.#pauses.get(pause.id).isShutDone);
    const open = pauses.find(({ id }) => id === this.#open);
    if (anew) this.#open = anew.id;
    if (anew || (open && !isAnswered(open))) return;
    const next = pauses.find((pause) => pause.id !== null && pause.state !== "done");
    const changes = this.#open !== null;
    this.#open = next?.id ?? null;
    if (changes && next) requestAnimationFrame(() => this.#screen.show(this.#pauses.get(next.id).element, "start"));
  }

  #openOnly(pause) {
    this.#open = pause.id;
    this.onOpen();
    this.#screen.show(pause.element, "start");
  }
}

/** Every row that is not folded has its answer: an optional photo is still awaited in sight. */
function isAnswered({ rows, state }) {
  return state === "done" && rows.every((row) => row.more || row.state !== "open");
}
