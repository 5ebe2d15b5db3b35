/** Which windows are asked for, in order, and in which slots they are kept. */

import { KIND } from "../../../domain/job/entry.js";
import { AXLE, PARTS } from "../../../domain/numbers/quantities.js";
import { SIDES } from "../../../domain/numbers/sides.js";

/**
 * @param {boolean} alike one window serves both wheels
 * @returns {Array<{key: string, quantity: string, side: string|null, slots: string[], name: function(function): string}>}
 */
export function windowsOf(alike) {
  const wheels = alike ? PARTS.map(forBoth) : SIDES.flatMap((side) => PARTS.map((part) => forOne(side, part)));
  return [...wheels, ...AXLE.map(([part]) => forAxle(part))];
}

/** @returns {boolean} whether every slot holds a window or the answer that the maker gives none */
export function isAnswered(job, { slots }) {
  return slots.every((slot) => job.body(slot, KIND.FIELD_SET) !== null);
}

function forBoth(part) {
  return { key: part, quantity: part, side: null, slots: SIDES.map((side) => `window.${side}.${part}`), name: (t) => t(`ui.window.of.${part}`) };
}

function forOne(side, part) {
  const name = (t) => t("ui.window.of-wheel", { side: t(`ui.side.${side}`), what: t(`ui.window.of.${part}`) });
  return { key: `${side}-${part}`, quantity: part, side, slots: [`window.${side}.${part}`], name };
}

function forAxle(part) {
  return { key: part, quantity: part, side: null, slots: [`window.${part}`], name: (t) => t(`ui.window.of.${part}`) };
}
