/** How a vehicle type and what it holds are said. */

import { placeOf, templateOf } from "../../domain/job/sheet-data.js";
import { WINDOW_SLOTS } from "../../domain/types/type-parts.js";
import { numberWords, optionWords } from "./row-words.js";
import { threadName } from "./thread-name.js";
import { rowTitle } from "./titles.js";

const SIDED = /^window\.(left|right)\.(.+)$/;

/** @returns {string} such as "Marrow Vale Estate 1.8, 2015 to 2019" */
export function typeName(t, { make, model, years }) {
  const [first, last] = years ?? [null, null];
  const name = `${make} ${model}`;
  if (first === null && last === null) return name;
  return t(first === null ? "type.name.until" : last === null ? "type.name.from" : "type.name.years",
    { name, first: String(first), last: String(last) });
}

/**
 * @returns {string[]} a line for each fact; what is alike at both wheels is said once, and what goes along without
 *   words is not said
 */
export function factLines(context, facts) {
  const shown = facts.filter(({ slot }) => slot !== "window.source" && slot !== "window.keys");
  const isTwin = ({ slot, value }) => {
    const [, side, part] = SIDED.exec(slot) ?? [];
    const other = side === "right" && shown.find((each) => each.slot === `window.left.${part}`);
    return other && JSON.stringify(other.value) === JSON.stringify(value);
  };
  return shown.filter((fact) => !isTwin(fact))
    .map((fact) => context.t("type.fact",
      { what: slotWords(context, fact.slot, shown), value: valueWords(context, fact) }));
}

/** What a slot is about. */
export function slotWords({ t, job }, slot, facts = []) {
  if (!WINDOW_SLOTS.includes(slot)) return slot === "window.source" || slot === "window.keys" ? t(`type.${slot}`)
    : rowTitle(t, placeOf(templateOf(job.checklist), slot).row);
  const [, side, part] = SIDED.exec(slot) ?? [];
  if (!side) return t(`windows.${slot.replace("window.", "")}`);
  const [own, other] = ["left", "right"].sort((a) => (a === side ? -1 : 1))
    .map((each) => JSON.stringify(facts.find((fact) => fact.slot === `window.${each}.${part}`)?.value));
  return own === other ? t(`windows.${part}`)
    : t("windows.of-wheel", { side: t(`ui.side.${side}`), what: t(`windows.${part}`) });
}

/** What a fact says; null where there is none. */
export function valueWords(context, { slot, value, grade = "" }) {
  const { t, job, app: { words } } = context;
  if (value === null || value === undefined)
    return t(WINDOW_SLOTS.includes(slot) ? "windows.none" : "on-sheet.no-answer");
  if (slot === "window.keys") return keyWords(t, value);
  if (WINDOW_SLOTS.includes(slot))
    return words.typedWindow(SIDED.exec(slot)?.[2] ?? slot.replace("window.", ""), value);
  if (slot === "vehicle.bolts") return boltWords(t, value.bolts);
  if (slot === "vehicle.bracket-lugs")
    return value.bracket.lugs.map(([mm, clock]) => t("type.lug", { mm, clock })).join("; ");
  if (value.source !== undefined) return torqueWords(t, value, grade);
  if (typeof value === "object" && "number" in value) return numberWords(t, value);
  const { row } = placeOf(templateOf(job.checklist), slot);
  return row.optionSet ? optionWords(t, row.optionSet, value) : String(value);
}

/** @returns {string} suspension code, drive, wheel size and edition in one line */
export function keyWords(t, { suspension, drive, wheels, edition }) {
  return t("type.keys", { suspension, drive, wheels, edition });
}

function torqueWords(t, value, grade) {
  const torque = numberWords(t, value);
  const turned = value.angle_deg ? t("type.torque.then", { torque, angle: value.angle_deg }) : torque;
  return grade ? t("type.torque.grade", { torque: turned, grade }) : turned;
}

function boltWords(t, { at, thread, class: grade, metal }) {
  const circle = at.every(([radius]) => radius === at[0][0]) ? t("type.bolts.circle", { mm: at[0][0] * 2 }) : "";
  return [t("type.bolts.count", { count: at.length }), circle, thread && threadName(t, thread),
    grade && t("type.bolts.class", { grade }), metal && t(`fitting.bolts.metal.${metal}`)].filter(Boolean).join(", ");
}
