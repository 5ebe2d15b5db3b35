// As release 0.1.0 had it, never edited: the steps of a stage in the order in which they are done.

/**
 * Puts the steps of a stage in working order: consecutive per-wheel steps are one block, done at one wheel and then at the other.
 * @returns {{step: object, wheel: string|null}[]}
 */
export function inWorkingOrder(steps, wheels) {
  const ordered = [];
  let block = [];
  const flush = () => {
    for (const wheel of wheels) ordered.push(...block.map((step) => ({ step, wheel })));
    block = [];
  };
  for (const step of steps) {
    if (step.per === "wheel") {
      block.push(step);
    } else {
      flush();
      ordered.push({ step, wheel: null });
    }
  }
  flush();
  return ordered;
}
