// The shop's own spreads, as its people have accepted them at the desk from their finished jobs. Pure.
// Each may be missing: then the usual value of choosing holds. A plan keeps the spreads that it was made with.

import { WHEEL_ANGLES } from "../numbers/quantities.js";
import { bothSides } from "./readings.js";

/**
 * Name of the phone's setting that holds what the server sent last: {camber_sd, toe_sd, seat_sd, clock_sd_deg}, or
 * null.
 */
export const SHOP_SPREAD = "shop-spread";

const OF_THE_FITTING = ["seat_sd", "clock_sd_deg"];

/** What one reading is worth by the shop's own experience: {camber?, toe?} in mdeg, for meanReadings. */
export function readingSds(shop) {
  return Object.fromEntries(WHEEL_ANGLES.filter((quantity) => isSize(shop?.[`${quantity}_sd`]))
    .map((quantity) => [quantity, shop[`${quantity}_sd`]]));
}

/** The `spread` of choose's input from means of readings and the shop's own. */
export function spreadOf(wheels, shop) {
  const fitting = OF_THE_FITTING.filter((name) => isSize(shop?.[name])).map((name) => [name, shop[name]]);
  return { camber_sd: bothSides((side) => wheels[side].camber_sd), toe_sd: bothSides((side) => wheels[side].toe_sd),
    ...Object.fromEntries(fitting) };
}

function isSize(part) {
  return typeof part === "number" && Number.isFinite(part) && part >= 0;
}
