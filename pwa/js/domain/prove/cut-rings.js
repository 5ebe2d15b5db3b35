// Whether rings that are cut already serve for another pair, when a cause says where they really sit. Pure.
// What a cut for one clocking allows stands in cutting.js; this only finds out which clocking the rings are cut for.

import { degreesOf } from "../numbers/arithmetic.js";
import { SLACK_MM } from "../constants.js";
import { candidatesOf } from "./causes.js";
import { cutRingServes } from "../rings/cutting.js";
import { explain } from "./explain.js";
import { checkedProveInput } from "./prove-input.js";
import { placedPair } from "../rings/tilt.js";

/**
 * The slots are taken to be where the cause has the rings now; where it has none, where they were planned.
 * @param {object} input of `prove`
 * @param {string} code of the cause that is taken as true
 * @param {string} ringSetId of the pair that is wanted; rings of another set never serve
 * @param {number[]} pair that is wanted
 * @returns {{inner: {serves, turned_over}, outer: object}|null} null while the bolts are not known
 */
export function cutRingsServe(input, code, ringSetId, pair) {
  const { known, spread } = checkedProveInput(input);
  if (known.bolts.length === 0) return null;
  if (ringSetId !== known.ringSet.id)
    return { inner: { serves: false, turned_over: false }, outer: { serves: false, turned_over: false } };
  const cause = explain(known, candidatesOf(known), spread).find((row) => row.code === code);
  const now = cause?.candidate?.rings ?? placedPair(known.ringSet, known.pair);
  const [inner, outer] = placedPair(known.ringSet, pair).map((then, k) => {
    return cutRingServes(known.bolts, degreesOf(now[k].clockRad), degreesOf(then.clockRad), SLACK_MM);
  });
  return { inner, outer };
}
