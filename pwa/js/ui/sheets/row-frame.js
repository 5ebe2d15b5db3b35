/**
 * What stands around every row's own widget: the mark of a hold, the caution, title, method and why; beneath it what
 * the answer means, what people differ about, what shuts the row, and the way past a hold that can be passed.
 */

import { KIND } from "../../domain/job/entry.js";
import { TextField } from "../fields/text-field.js";
import { button, element, fill } from "../parts/element.js";
import { remark, signal } from "../parts/signal.js";
import { stateShape } from "../parts/state-shape.js";
import { answerWords, rowHeading, rowName, rowPart } from "../words/row-words.js";
import { rowTitle } from "../words/titles.js";
import { takeBackButton } from "./confirmed-note.js";

/** Shorter than this, or in one word, a reason tells nobody why it was safe. */
const LEAST_REASON = 10;
const LEAST_WORDS = 2;

export class RowFrame {
  #context;
  #row = null;
  #mark;
  #said = element("div", { class: "row-said", role: "status" });
  #shut = element("p", { class: "row-shut with-shape" });
  #notSo = null;
  #way = element("div", { class: "row-way stack", hidden: true });
  #why;
  #stamp = null;
  #drawn = null;

  /**
   * @param {Object} context of a widget; @param {Object|Object[]} rows a row, or those of one table; @param {Function}
   *   Widget its class
   */
  constructor(context, rows, Widget) {
    this.#context = context;
    const { t } = context;
    const [row] = [rows].flat();
    this.widget = new Widget(context, rows);
    this.#mark = row.hold ? element("p", { class: "hold-mark with-shape" }) : null;
    const caution = cautionOf(t, row, this.#mark);
    const why = rowPart(t, row, "why");
    this.#why = why && element("p", { class: "row-why", text: why });
    this.element = element("section", { class: `sheet-row type-${row.type}`, key: `row-${row.slot}`, role: "group",
      "aria-label": rowName(t, row) },
      !caution && this.#mark, caution,
      element("div", { class: "row-line" }, !saysTitle(Widget, row) && headOf(context, row),
        element("div", { class: "row-answer" }, this.widget.element)),
      this.#why, this.#said, this.#shut, this.#way);
    if (row.hold) this.#makeNotSo(row);
    this.element.addEventListener("click", () => { if (this.#row.state === "locked") this.#nameLock(); });
    this.#draw(rows, {});
  }

  /**
   * @param {{namesLock?: boolean}} how whether the hold that shuts it is named here, or at a row above that the same
   *   one shuts
   */
  update(rows, how) {
    const stamp = [rows].flat().map((row) => stampOf(row, this.#context.job)).join();
    const isCard = [rows].flat()[0].type === "card";
    if (stamp !== this.#stamp || isCard) this.widget.update(rows);
    const drawn = `${stamp} ${how.namesLock} ${this.#context.screen.showsHow}`;
    if (drawn !== this.#drawn) this.#draw(rows, how);
    this.#stamp = stamp;
    this.#drawn = drawn;
  }

  #draw(rows, { namesLock = true }) {
    const { t, screen } = this.#context;
    const all = [rows].flat();
    const [row] = all;
    this.#row = row;
    const isShut = all.every(({ state }) => state === "locked");
    this.element.classList.toggle("locked", isShut);
    this.element.classList.toggle("is-hold", row.hold === true);
    this.element.dataset.state = row.state;
    this.widget.element.inert = isShut;
    if (this.#mark) fill(this.#mark, stateShape(MARKS[row.state] ?? "hold"),
      element("span", { text: t(`on-sheet.hold.${MARKS[row.state] ?? "open"}`) }));
    fill(this.#said, all.map((each) => [this.#meaning(each), each.conflict && this.#conflict(each),
      each.state === "overridden" && this.#passed(each)]));
    fill(this.#shut, isShut && [stateShape("locked"),
      element("span", { class: namesLock ? null : "hidden-text", text: this.#lockWords(row) })]);
    this.#shut.classList.toggle("unnamed", !namesLock);
    if (this.#why) this.#why.hidden = !screen.showsHow;
    this.#showWay(row);
  }

  #meaning({ refusal, warning }) {
    const { t, screen } = this.#context;
    return [
      refusal && element("div", { class: "stack", key: "refusal" },
        remark({ name: "refused", text: t(`refusal.${refusal}`) }),
        element("p", { class: "row-next", text: t("on-sheet.refused.next") }),
        button({ key: "end-here", label: t("on-sheet.end-here"), kind: "plain narrow", onPress: () => screen.end() })),
      warning && remark({ name: "warning", text: t(`warning.${warning}`), key: "warning" })];
  }

  /**
   * Two people said different things: each answer is a button, and what is tapped, or answered anew above, replaces
   * both.
   */
  #conflict(row) {
    const { t, job } = this.#context;
    return element("div", { class: "stack conflict", role: "alert", key: "conflict" },
      remark({ name: "warning", text: t("on-sheet.conflict") }),
      job.live(row.slot).map((entry, at) => {
        const answer = answerWords(t, row, entry) || t("on-sheet.no-answer");
        return button({ key: `settle-${at}`, label: t("ui.conflict.line", { by: entry.by, answer }),
          onPress: () => this.#context.save(row, { kind: entry.kind, body: entry.body }) });
      }));
  }

  #passed(row) {
    const { t, job } = this.#context;
    const entry = job.live(row.slot).find(({ kind }) => kind === KIND.HOLD_OVERRIDDEN);
    return entry && element("div", { class: "stack" },
      remark({ name: "overridden", text: t("on-sheet.passed", { by: entry.by, reason: entry.body.reason ?? "" }),
        key: "passed" }),
      takeBackButton(this.#context, row, "on-sheet.take-back"));
  }

  #lockWords({ lockedBy, lockedFor }) {
    const { t, job } = this.#context;
    const lock = job.row(lockedBy);
    return t(`on-sheet.shut.${lockedFor ?? "hold"}`, { row: lock ? rowName(t, lock) : lockedBy ?? "" });
  }

  /** A tap on a shut row says again what shuts it, and leads there. */
  #nameLock() {
    const { t, goTo } = this.#context;
    this.#shut.classList.remove("unnamed");
    this.#shut.querySelector("span")?.classList.remove("hidden-text");
    if (!this.#way.hidden) return;
    fill(this.#way, button({ key: "to-lock", label: t("ui.lock.go"), kind: "plain narrow",
      onPress: () => goTo(this.#row.lockedBy) }));
    this.#way.hidden = false;
  }

  /** Where a hold is not so: past it with a reason where that is allowed, else the job is stopped. */
  #makeNotSo(row) {
    const { t } = this.#context;
    this.#notSo = button({ key: `not-so-${row.slot}`, label: t("on-sheet.hold.not-so"), kind: "quiet not-so",
      onPress: () => this.#openWay(this.#way.hidden) });
    (this.widget.foot ?? this.#way.parentElement.insertBefore(element("div", { class: "row-foot" }), this.#way))
      .append(this.#notSo);
  }

  #openWay(isOpen) {
    this.#notSo.setAttribute("aria-expanded", String(isOpen));
    this.#way.hidden = !isOpen;
    if (isOpen) fill(this.#way, this.#row.canPass ? this.#passForm() : this.#stopWords());
  }

  /** What is being typed there stays for as long as the hold is open. */
  #showWay(row) {
    const isOpen = row.hold && row.state === "open";
    if (this.#notSo) this.#notSo.hidden = !isOpen;
    if (!isOpen && row.state !== "locked") {
      this.#way.hidden = true;
      this.#way.replaceChildren();
    }
  }

  #stopWords() {
    const { t, screen } = this.#context;
    return [element("p", { text: t("on-sheet.hold.cannot-pass") }),
      button({ key: "end-here", label: t("ui.stop"), onPress: () => screen.end() })];
  }

  #passForm() {
    const { t } = this.#context;
    const reason = new TextField({ label: t("ui.hold.reason"), key: "pass-reason", lines: true });
    const press = () => {
      const text = reason.text.trim();
      if (!text) return reason.refuse(t("ui.hold.reason.missing"));
      const isWords = text.length >= LEAST_REASON && text.split(/\s+/).filter((word) => /\p{L}{2}/u.test(word))
        .length >= LEAST_WORDS;
      if (!isWords) return reason.refuse(t("ui.hold.reason.short", { got: text, least: LEAST_REASON }));
      return this.#context.save(this.#row, { kind: KIND.HOLD_OVERRIDDEN, body: { reason: text } });
    };
    return [reason.element, button({ key: "pass-keep", label: t("ui.hold.override"), onPress: press })];
  }
}

/** Two drawings of a row with the same stamp are the same. */
function stampOf(row, job) {
  if (row.stamp !== undefined) return String(row.stamp);
  const live = job.live(row.slot).map(({ id }) => id);
  return JSON.stringify([row.state, row.lockedBy, row.lockedFor, row.canPass, row.conflict, row.refusal, row.warning,
    row.params, live, job.photos(row.slot).length]);
}

const MARKS = { done: "done", overridden: "overridden", locked: "locked" };

function saysTitle(Widget, row) {
  return typeof Widget.saysTitle === "function" ? Widget.saysTitle(row) : Widget.saysTitle === true;
}

/** Danger, warning or caution, in full; a row without a level has none. The mark of a hold stands in its line. */
function cautionOf(t, row, mark) {
  const text = row.caution && rowPart(t, row, "caution");
  if (!text) return null;
  const caution = signal({ t, level: row.caution, text });
  if (mark) caution.querySelector(".signal-word").append(mark);
  return caution;
}

/** Title and method of a row whose widget says neither. */
function headOf({ t, sheet }, row) {
  const method = rowPart(t, row, "method");
  return element("div", { class: "row-head" },
    element(rowHeading(sheet), { class: "row-title", text: sheet.wheel ? rowTitle(t, row) : rowName(t, row) }),
    method && element("p", { class: "row-method", text: method }));
}
