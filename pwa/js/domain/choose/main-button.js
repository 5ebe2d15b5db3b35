// What may stand on a main button beside a choice: the recommended plan, or what a careful person does first.
// The twin of calc/choose/main_button.py.

import { LEAST_CHANCE } from "../constants.js";
import { SIDES } from "../numbers/sides.js";

/**
 * @param {{advice: string[], plans: object[]}} chosen as `choose` gives it
 * @returns {{action: "take-plan"|"read-again"|"look-for-cause", wheels: string[]}} only with "take-plan" may the
 *   recommended plan stand on a main button; "read-again" names the wheels. A plan decides about both wheels, so either
 *   wheel's reading keeps it back. All else that the advice asks stands apart from this.
 */
export function mainButton({ advice, plans }) {
  const again = SIDES.filter((wheel) => advice.includes(`reread-${wheel}`));
  if (again.length > 0) return { action: "read-again", wheels: again };
  return { action: plans[0].chance >= LEAST_CHANCE ? "take-plan" : "look-for-cause", wheels: [] };
}
