/**
 * Keeps the screen awake while somebody works with dirty hands. It asks on a tap, asks again when the page comes back
 * to sight, and does no harm where the phone refuses or knows nothing of it.
 */

export class WakeLock {
  #wanted = false;
  #lock = null;
  #asking = false;

  constructor(page = document, screen = navigator.wakeLock) {
    this.screen = screen;
    this.page = page;
    page.addEventListener("click", () => this.#ask());
    page.addEventListener("visibilitychange", () => this.#ask());
  }

  /** @param {boolean} wanted while fitting; asked for with the next tap at the latest */
  want(wanted) {
    this.#wanted = wanted;
    if (wanted) this.#ask();
    else this.#let();
  }

  async #ask() {
    const isHeld = this.#lock && !this.#lock.released;
    if (!this.#wanted || isHeld || this.#asking || !this.screen || this.page.visibilityState !== "visible") return;
    this.#asking = true;
    try {
      this.#lock = await this.screen.request("screen");
      if (!this.#wanted) await this.#let();
    } catch {
      // A low battery or a setting forbids it: the screen goes dark as always, and nothing else changes.
    } finally {
      this.#asking = false;
    }
  }

  async #let() {
    const lock = this.#lock;
    this.#lock = null;
    await lock?.release().catch(() => {});
  }
}
