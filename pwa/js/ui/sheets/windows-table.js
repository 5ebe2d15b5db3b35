/**
 * The maker's windows in one table: from and to of each angle, for both wheels alike or for each, and for the axle. A
 * window is kept when both its edges stand; one edge alone is half typed. "The maker gives no others" answers what is
 * left: where one edge stands, the window is open on the other side and says so; else there is none, which is never the
 * same as "not typed yet".
 */

import { makeWindow } from "../../domain/numbers/angle.js";
import { KIND } from "../../domain/job/entry.js";
import { AXLE_ANGLES, WHEEL_ANGLES } from "../../domain/numbers/quantities.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { button, element, fill } from "../parts/element.js";
import { AngleCell } from "./angle-cell.js";

const EDGES = ["low", "high"];
const SOURCE = "window.source";

export class WindowsTable {
  #context;
  #row;
  #isAlike;
  #windows = [];
  #lines = element("div", { class: "cells sided windows" });
  #alike;
  #none;
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    const { t, job } = context;
    this.#row = row;
    this.#isAlike = WHEEL_ANGLES.every((part) => isSame(job, part));
    this.#none = button({ key: "windows-none", label: t("windows.no-others"), kind: "quiet narrow",
      onPress: (event) => this.#pressNone(event) });
    this.#alike = button({ key: "windows-each", label: t("windows.each"), kind: "quiet narrow", pressed: !this.#isAlike,
      onPress: () => this.#turn() });
    this.element = element("div", { class: "windows-table stack" }, this.#lines,
      element("div", { class: "row" }, this.#none, this.#alike));
    this.#build();
  }

  update(row) {
    this.#row = row;
    for (const window of this.#windows) this.#show(window);
    this.#none.hidden = this.#windows.every((window) => this.#isAnswered(window))
      || !this.#windows.some((window) => this.#kept(window) || isOpenSided(window.half));
  }

  reveal() {
    const open = this.#windows.filter((window) => !this.#isAnswered(window))
      .flatMap(({ cells }) => EDGES.map((edge) => cells[edge]));
    (open.find(({ state }) => state.text === "") ?? this.#windows[0].cells.low).input.focus({ preventScroll: true });
  }

  #build() {
    const { t } = this.#context;
    this.#windows = windowsOf(this.#isAlike);
    const head = element("div", { class: "cells-head" }, element("span", {}),
      EDGES.map((edge) => element("span", { text: t(`windows.${edge}`) })));
    fill(this.#lines, head, this.#windows.map((window) => this.#line(window)));
    this.update(this.#row);
  }

  #line(window) {
    const { t, typing } = this.#context;
    const { key, quantity, side } = window;
    const name = side ? t("windows.of-wheel", { side: t(`ui.side.${side}`), what: t(`windows.${quantity}`) })
      : t(`windows.${quantity}`);
    window.half = typing.at(`window.${key}`) ?? {};
    window.cells = Object.fromEntries(EDGES.map((edge) => [edge, new AngleCell(this.#context, {
      key: `window.${key}.${edge}`, label: t("windows.cell", { what: name, edge: t(`windows.${edge}`) }), quantity,
      purpose: "window",
      kept: this.#edge(window, edge), check: (angle) => this.#refusal(window, edge, angle),
      keep: (angle) => this.#queued(() => this.#keepEdge(window, edge, angle)),
    })]));
    window.said = element("span", { class: "cell-none" });
    window.follows = element("p", { class: "cells-follow" });
    return element("div", { class: "cells-line", key: `window-${key}` },
      element("span", { class: "cells-title" }, name, " ", window.said),
      EDGES.map((edge) => window.cells[edge].element), window.follows);
  }

  #show(window) {
    const { t } = this.#context;
    for (const edge of EDGES) window.cells[edge].update(this.#edge(window, edge));
    const kept = this.#kept(window);
    window.said.textContent = kept ? this.#remarkOn(window, kept) : this.#isAnswered(window) ? t("windows.none") : "";
    window.follows.textContent = kept ? "" : this.#followsWords(window);
  }

  /**
   * Where both wheels have a toe window, total toe has one by that alone: what a paper gives besides is typed, nothing
   * has to be.
   */
  #followsWords({ key }) {
    const { t, job, app: { words } } = this.#context;
    if (key !== "total-toe") return "";
    const toes = SIDES.map((side) => job.field(`window.${side}.toe`));
    if (!toes.every((toe) => toe?.low && toe.high)) return "";
    const [low, high] = EDGES.map((edge) => toes[0][edge].mdeg + toes[1][edge].mdeg);
    return t("windows.follows", { window: words.window(key, [low, high]) });
  }

  #remarkOn({ quantity }, kept) {
    const { t, app: { words } } = this.#context;
    if (isOpenSided(kept)) return words.typedWindow(quantity, kept);
    return kept.low.mdeg === kept.high.mdeg ? t("windows.single") : "";
  }

  #edge(window, edge) {
    return window.half[edge] ?? this.#kept(window)?.[edge] ?? null;
  }

  #kept({ slots }) {
    return this.#context.job.field(slots[0]) ?? null;
  }

  #isAnswered({ slots }) {
    return slots.every((slot) => this.#context.job.body(slot, KIND.FIELD_SET) !== null);
  }

  /** Limits the wrong way round are said with their ways, since the numbers alone may look right. */
  #refusal(window, edge, angle) {
    const other = this.#edge(window, edge === "low" ? "high" : "low");
    if (!other) return null;
    const [low, high] = edge === "low" ? [angle, other] : [other, angle];
    if (low.mdeg <= high.mdeg) return null;
    const { words } = this.#context.app;
    return Object.assign(new Error("window"),
      { code: "window-exchanged", params: { low: words.say(window.quantity, low.mdeg),
        high: words.say(window.quantity, high.mdeg) } });
  }

  #queued(save) {
    this.#saving = this.#saving.then(save, save);
    return this.#saving;
  }

  /**
   * One edge waits, half typed, until the other stands too; an edge taken out of a window takes the window back. A
   * window that is open on one side stays so when its edge is typed anew.
   */
  async #keepEdge(window, edge, angle) {
    const { typing } = this.#context;
    const kept = this.#kept(window);
    const edges = { ...kept, ...window.half, [edge]: angle };
    const isOpen = isOpenSided(kept) && isOpenSided(edges);
    const isWhole = isOpen || (edges.low && edges.high);
    if (isWhole && !(await this.#keep(window, isOpen ? edges : makeWindow(edges.low, edges.high, window.quantity))))
      return false;
    if (!isWhole && kept && !(await this.#takeBack(window))) return false;
    window.half = isWhole ? {} : edges;
    if (isWhole) await typing.drop(`window.${window.key}`);
    else typing.write(`window.${window.key}`, edges);
    this.update(this.#row); // one edge alone saves nothing, and yet there is more to answer
    return true;
  }

  async #keep({ slots }, limits) {
    for (const [at, slot] of slots.entries()) {
      if (!(await this.#context.save({ slot }, { body: { value: limits } }, { joined: at > 0 }))) return false;
    }
    return true;
  }

  async #takeBack({ slots }) {
    for (const [at, slot] of slots.entries()) {
      if (!(await this.#context.save({ slot }, { kind: KIND.STEP_UNDONE, body: {} }, { joined: at > 0 }))) return false;
    }
    return true;
  }

  /** Whoever taps it types the source next, unless the last one is offered. */
  #pressNone({ detail: taps }) {
    const { screen, job, app: { settings } } = this.#context;
    const isNext = taps > 0 && job.row(SOURCE)?.state === "open" && !settings.remembered(SOURCE);
    if (isNext) requestAnimationFrame(() => screen.reveal(SOURCE)); // the tap puts the keypad away first
    return this.#queued(() => this.#noOthers());
  }

  /** The maker gives no number of those that are still open: of a window with one edge that edge is all there is. */
  async #noOthers() {
    const { typing } = this.#context;
    const given = this.#windows.filter((window) => !this.#isAnswered(window))
      .flatMap(({ slots, half }) => slots.map((slot) => [slot, limitsOf(half)]));
    for (const [at, [slot, limits]] of given.entries()) {
      if (!(await this.#context.save({ slot }, { body: { value: limits } }, { joined: at > 0 }))) return false;
    }
    const left = this.#windows.filter(({ half }) => isOpenSided(half));
    for (const window of left) window.half = {};
    await Promise.all(left.map(({ key }) => typing.drop(`window.${key}`)));
    return this.update(this.#row);
  }

  #turn() {
    this.#isAlike = !this.#isAlike;
    this.#alike.setAttribute("aria-pressed", String(!this.#isAlike));
    this.#build();
  }
}

/** "At most" or "at least": one edge and no other. */
function isOpenSided(edges) {
  return Boolean(edges?.low) !== Boolean(edges?.high);
}

function limitsOf({ low = null, high = null }) {
  return low || high ? { low, high } : null;
}

/** Which windows are asked for, in order, and in which slots they are kept. */
function windowsOf(alike) {
  const both = (part) => ({ key: part, quantity: part, side: null,
    slots: SIDES.map((side) => `window.${side}.${part}`) });
  const one = (side, part) => ({ key: `${side}-${part}`, quantity: part, side, slots: [`window.${side}.${part}`] });
  const wheels = alike ? WHEEL_ANGLES.map(both) : SIDES.flatMap((side) => WHEEL_ANGLES.map((part) => one(side, part)));
  return [...wheels, ...AXLE_ANGLES.map(([part]) =>
    ({ key: part, quantity: part, side: null, slots: [`window.${part}`] }))];
}

function isSame(job, part) {
  const [left, right] = SIDES.map((side) => JSON.stringify(job.field(`window.${side}.${part}`) ?? null));
  return left === right;
}
