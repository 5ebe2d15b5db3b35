/**
 * A hold that is confirmed by pressing its whole card until the edge has filled. Confirmed it stays in its place and
 * can be taken back. The typed torques of its row stand on it in figures for an arm's length: they were looked up on
 * the Plan sheet, and the wrench is in hand here. It offers none.
 */

import { torqueOf } from "../../../domain/job/fit-request.js";
import { button, element, fill } from "../../parts/element.js";
import { remark } from "../../parts/signal.js";
import { HoldPress } from "../hold-press.js";
import { rowHeading, rowName, rowPart } from "../../words/row-words.js";
import { rowTitle } from "../../words/titles.js";
import { confirmedNote } from "../confirmed-note.js";
import { torqueFigure, unitNotNamed } from "../torque-words.js";

export class HoldCard {
  static saysTitle = true;
  #context;
  #row;
  #press;
  #torques = element("div", { class: "torques-in-hand" });
  #done = element("div", { class: "hold-done" });

  constructor(context, row) {
    this.#context = context;
    const { t, sheet, screen } = context;
    const method = rowPart(t, row, "method");
    this.element = element("div", { class: "hold-card" },
      element(rowHeading(sheet), { class: "row-title", text: sheet.wheel ? rowTitle(t, row) : rowName(t, row) }),
      method && element("p", { class: "row-method", text: method }),
      this.#torques);
    this.#press = new HoldPress({
      t, key: row.slot, what: rowName(t, row), card: this.element,
      takes: (event) => screen.takesPress(this.#press.element.firstChild, event),
      onConfirmed: () => this.#confirm(),
    });
    this.foot = this.#press.element;
    this.element.append(this.#press.element, this.#done);
    this.update(row);
  }

  update(row) {
    this.#row = row;
    const isDone = row.state === "done";
    this.element.classList.remove("pending");
    this.element.classList.toggle("confirmed", isDone);
    this.#press.disabled = row.state !== "open";
    this.#press.element.hidden = row.state !== "open" && row.state !== "locked";
    fill(this.#torques, torquesInHand(this.#context, row));
    this.#torques.hidden = !this.#torques.hasChildNodes();
    fill(this.#done, isDone && confirmedNote(this.#context, row, [], "on-sheet.take-back"));
  }

  reveal() {
    this.#press.focus();
  }

  async #confirm() {
    this.element.classList.add("pending", "confirmed");
    if (!(await this.#context.save(this.#row, {}))) this.update(this.#row);
  }
}

/**
 * @returns {HTMLElement[]} each torque that the row names, and their source once where it is the same; what nobody
 *   typed is asked for
 */
function torquesInHand(context, { torques = [] }) {
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
