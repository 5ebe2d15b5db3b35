// What is fitted in a vehicle by the record of this phone and of the shop: a second pair on top of one is dangerous.
// Pure.

import { fittingOf } from "./fitting.js";
import { bothSides } from "./readings.js";
import { fieldOf } from "./slot-values.js";
import { lettersAndDigits } from "./summary.js";

/**
 * @param {{job: string, registration: string, vin: string}} vehicle `job` that asks is left out
 * @param {{job: string, fold: object, unsent: boolean}[]} own jobs on this phone; an unsent one is unknown to the shop
 * @param {object[]} ofShop as Lines.fittingsOf gives them: {job, left, right, day}, the likeliest first
 * @returns {{job: string, day: string, left: object|null, right: object|null, isOwn: boolean}|null} of the newest
 *   signed job of the vehicle, each side as fittingOf gives it; null where there is none, or where it left no rings
 */
export function vehicleHistory(vehicle, own, ofShop) {
  const ours = own.filter((each) => isOfVehicle(each, vehicle)).map(lineOf).sort((a, b) => (a.at < b.at ? 1 : -1));
  const [shop = null] = ofShop.filter(({ job }) => job !== vehicle.job);
  const same = ours.find(({ job }) => job === shop?.job);
  const newest = same ?? shop;
  const later = ours.find(({ unsent, day }) => unsent || !shop || day > shop.day);
  const line = later && (!newest || later.day >= newest.day) ? later : newest;
  if (!line?.left && !line?.right) return null;
  return { job: line.job, day: line.day, left: line.left, right: line.right,
    isOwn: ours.some(({ job }) => job === line.job) };
}

/** A registration in common, unless both name VINs and those differ: then the plate was moved. */
function isOfVehicle({ job, fold }, { job: asking, registration, vin }) {
  if (job === asking || fold.state !== "signed") return false;
  const [plate, number] = ["registration", "vin"].map((name) => lettersAndDigits(fieldOf(fold, `vehicle.${name}`)));
  const asked = lettersAndDigits(vin);
  if (asked !== "" && number !== "") return asked === number;
  return plate !== "" && plate === lettersAndDigits(registration);
}

function lineOf({ job, fold, unsent }) {
  const at = fold.signed.map((entry) => entry.at).sort().at(-1) ?? "";
  return { job, at, day: at.slice(0, 10), unsent, ...bothSides((side) => fittingOf(fold, side)) };
}
