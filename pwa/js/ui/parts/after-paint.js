/** What follows from an answer comes after the answer has been painted. */

/** A page that is not seen paints nothing. */
const UNSEEN_MS = 100;

/**
 * Runs `act` once, right after the next frame.
 * @param {function(): void} act
 * @returns {function(): void} runs it at once, for whoever comes before; nothing once it has run
 */
export function afterPaint(act) {
  let isDue = true;
  const run = () => {
    if (!isDue) return;
    isDue = false;
    act();
  };
  requestAnimationFrame(() => setTimeout(run));
  setTimeout(run, UNSEEN_MS);
  return run;
}

/** @returns {Promise<void>} resolves right after the next frame */
export function painted() {
  return new Promise((resolve) => { afterPaint(resolve); });
}
