/**
 * The typed torques of a row, in figures for an arm's length: they were looked up on the Plan sheet, and the wrench is
 * in hand here. It offers none.
 */

import { torqueOf } from "../../domain/job/fit-request.js";
import { button, element } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { rowTitle } from "../words/titles.js";
import { torqueFigure, unitNotNamed } from "./torque-words.js";

/**
 * @returns {HTMLElement[]} each torque that the row names, and their source once where it is the same; what nobody
 *   typed is asked for
 */
export function torquesInHand(context, { torques = [] }) {
  const { t, job } = context;
  const asked = torques.map((slot) => ({ row: job.row(slot), torque: torqueOf(job.fold, slot) }))
    .filter(({ row }) => row);
  const typed = asked.filter(({ torque }) => torque);
  return [
    ...typed.flatMap(({ row, torque }, at) => [
      line(t, row, torque),
      torque.source !== typed[at + 1]?.torque.source
        && element("p", { class: "torque-source", text: t("fitting.torque.source", { source: torque.source }) }),
    ]).filter(Boolean),
    ...typed.some(({ torque }) => unitNotNamed(t, torque))
    ? [remark({ name: "warning", text: t("plan.torque.unit.not-named"), key: "unit-not-named" })] : [],
    ...asked.filter(({ torque }) => !torque).flatMap(({ row }) => missing(context, row)),
  ];
}

function line(t, row, torque) {
  const angle = torque.angle_deg ? `, ${t("fitting.torque.angle", { degrees: torque.angle_deg })}` : "";
  return element("p", { class: "torque-in-hand", key: `in-hand-${row.slot}` },
    element("span", { text: rowTitle(t, row) }), " ",
    element("strong", { text: `${torqueFigure(t, torque)}${angle}` }));
}

function missing({ t, goTo }, row) {
  return [
    remark({ name: "open", text: t("fitting.torque.none", { what: rowTitle(t, row) }), key: `no-${row.slot}` }),
    button({ key: `to-${row.slot}`, label: t("bolts.to-torque"), kind: "plain narrow",
      onPress: () => goTo(row.slot) })];
}
