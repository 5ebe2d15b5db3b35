// The lugs of a caliper bracket and the shop's spacers from what was typed, as the fitting aids take them. Pure.
//
// Slot `vehicle.bracket-lugs`, a field-set, holds {"typed": text of the form, "bracket": as calc's fit takes
// `bracket`}.

import { MOST_LUGS, MOST_STOCK } from "../constants.js";
import { placesFrom } from "./hub-bolts.js";
import { InputError } from "../numbers/input-error.js";
import { linesOf, numberFrom } from "../numbers/plain-number.js";

/**
 * @param {{lugs: string, stock: string, engaged: string}} typed lugs "radius, clock" a line; stock "thickness x pieces"
 *   a line
 * @throws {InputError} codes bolts-list, stock-list, bolts-number
 */
export function bracketFrom(typed) {
  const lugs = placesFrom(typed.lugs, "lugs", 1);
  if (lugs.length > MOST_LUGS) throw new InputError("bolts-list", "lugs", `at most ${MOST_LUGS} lines`, typed.lugs);
  const bracket = { lugs, stock: stockFrom(typed.stock) };
  const engaged = numberFrom(typed.engaged);
  if (String(typed.engaged ?? "").trim() === "") return bracket;
  if (engaged === null || engaged < 0.5 || engaged > 200) {
    throw new InputError("bolts-number", "engaged", "0.5 to 200", typed.engaged, { low: 0.5, high: 200 });
  }
  return { ...bracket, engaged_mm: engaged };
}

/** Spacers in stock from lines such as "2 x 10": thickness in mm, then how many there are. */
export function stockFrom(text) {
  const stock = linesOf(text).map((line) => {
    const [thickness_mm, quantity, ...more] = line.split(/\s*[x×*;]\s*|\s+/i).filter(Boolean).map(numberFrom);
    const fits = more.length === 0 && thickness_mm >= 0.05 && thickness_mm <= 30 && Number.isInteger(quantity)
      && quantity <= 10000;
    if (!fits) throw new InputError("stock-list", "stock", "thickness x pieces", line);
    return { thickness_mm, quantity };
  });
  if (stock.length > MOST_STOCK) throw new InputError("stock-list", "stock", `at most ${MOST_STOCK} lines`, text);
  return stock;
}
