/**
 * One pause of a sheet with its rows; a sheet without pauses has a single one, which has no title and never shuts. Open
 * it shows what to know going in and every row; shut it is one line that names each answer that is not the usual one,
 * and any row of it opens alone.
 */

import { button, element, fill } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { RowFrame } from "./row-frame.js";
import { answerWords } from "../words/row-words.js";
import { rowTitle } from "../words/titles.js";
import { TogetherButton } from "./together-button.js";
import { widgetFor } from "./rows/rows.js";

const SHAPES = { done: "done", refused: "refused", held: "hold", waiting: "locked", open: "open" };

export class Pause {
  #context;
  #pause;
  #frames = new Map();
  /** By the name of their group: what answers several rows with one tap. */
  #together = new Map();
  #open = false;
  /** Slots of a shut pause that were opened alone. */
  #alone = new Set();
  #isListed = false;
  #head = element("div", { class: "pause-head" });
  #goingIn = element("div", {});
  #rows = element("div", { class: "rows" });
  #list = element("div", { class: "pause-list" });
  #more;
  #moreRows = element("div", { class: "rows" });

  /** @param {Object} context of the widgets; @param {function(Pause): void} onOpen the person opens this one */
  constructor(context, pause, onOpen) {
    this.#context = context;
    this.onOpen = onOpen;
    const { t } = context;
    this.#more = element("details", { class: "more-rows" },
      element("summary", { class: "button quiet", key: `more-${pause.id ?? "rows"}` },
        element("span", { class: "button-label", text: t("on-sheet.more") })), this.#moreRows);
    this.element = element("section",
      { class: pause.id ? "pause" : "pause whole", key: pause.id ? `pause-${pause.id}` : null }, this.#head,
      this.#goingIn, this.#rows, this.#more, this.#list);
  }

  get id() {
    return this.#pause?.id ?? null;
  }

  get isOpen() {
    return this.#open;
  }

  get isDone() {
    return this.#pause.state === "done";
  }

  /** It was done and shut; what is asked now may be more. */
  get isShutDone() {
    return !this.#open && this.#pause !== undefined && this.isDone;
  }

  has(slot) {
    return this.#pause.rows.some((row) => row.slot === slot);
  }

  /** Brings the classes of the rows that are new, then draws; nothing waits where all are here. */
  async prepare(pause) {
    const lacking = pause.rows.filter((row) => !this.#frameOf(row));
    const classes = await Promise.all(lacking.map((row) => widgetFor(row)));
    lacking.forEach((row, at) => this.#bring(row, classes[at], pause));
  }

  /** @returns {boolean} false where a row came whose class has to be brought first */
  update(pause, { open }) {
    this.#pause = pause;
    if (pause.rows.some((row) => !this.#frameOf(row))) return false;
    this.#open = pause.id === null || open;
    this.element.classList.toggle("open", this.#open);
    this.#updateFrames();
    this.#place();
    this.#showHead();
    return true;
  }

  /** Brings a row into view: out of the fold, or alone out of the shut pause. */
  reveal(slot) {
    const frame = this.#frames.get(slot);
    if (!this.#open) this.#alone.add(slot);
    this.#place();
    if (this.#moreRows.contains(frame.element)) this.#more.open = true;
    return frame;
  }

  /** Everything that is half typed or half told is kept. */
  leave() {
    return Promise.all([...new Set(this.#frames.values())].map((frame) => frame.widget.leave?.()));
  }

  #frameOf({ slot }) {
    return this.#frames.get(slot);
  }

  #bring(row, Widget, pause) {
    if (this.#frameOf(row)) return; // it came with another row of its table
    const inTable = row.table ? pause.rows.filter(({ table }) => table === row.table) : [row];
    const frame = new RowFrame(this.#context, row.table ? inTable : row, Widget);
    for (const each of inTable) this.#frames.set(each.slot, frame);
  }

  #updateFrames() {
    let lock = null;
    const seen = new Set();
    for (const row of this.#pause.rows) {
      const frame = this.#frameOf(row);
      const of = row.state === "locked" ? row.lockedBy : null;
      if (!seen.has(frame)) frame.update(row.table ? this.#pause.rows.filter(({ table }) => table === row.table) : row,
        { namesLock: of !== lock });
      seen.add(frame);
      lock = of;
    }
  }

  /** Rows keep their node and their place; only what came or went is moved. */
  #place() {
    const shown = (row) => this.#open || this.#alone.has(row.slot);
    const folded = (row) => row.more && !row.warning && !row.refusal && !row.conflict;
    const rows = this.#pause.rows.filter((row) => shown(row) && !(this.#open && folded(row)));
    order(this.#rows, this.#withTogether(rows, grouped(rows, (row) => this.#frameOf(row).element, this.#rows)));
    const more = this.#open ? this.#pause.rows.filter(folded) : [];
    order(this.#moreRows, grouped(more, (row) => this.#frameOf(row).element, this.#moreRows));
    if (this.#more.hidden !== (more.length === 0)) this.#more.hidden = more.length === 0;
  }

  /** Beneath the last row of a group stands what answers all of it. */
  #withTogether(rows, nodes) {
    const groups = this.#open ? new Set(rows.map(({ together }) => together).filter(Boolean)) : [];
    const result = [...nodes];
    for (const name of groups) {
      const own = rows.filter(({ together }) => together === name);
      if (!this.#together.has(name)) this.#together.set(name, new TogetherButton(this.#context, name));
      const button = this.#together.get(name);
      button.update(own);
      const last = this.#frameOf(own.at(-1)).element;
      result.splice(result.findIndex((node) => node.contains(last)) + 1, 0, button.element);
    }
    return result;
  }

  #showHead() {
    const { t, sheet } = this.#context;
    const { id, state, goingIn, rows, left } = this.#pause;
    if (id === null) return;
    const title = t(`pause.${sheet.id}.${id}.title`);
    const words = state === "done" ? unusual(t, rows) : t("on-sheet.left", { count: left });
    const drawn = JSON.stringify([this.#open, this.#isListed, title, words, state]);
    if (this.#head.dataset.drawn !== drawn) {
      this.#head.dataset.drawn = drawn;
      const label = element("span", { class: "pause-words" }, element("span", { class: "pause-title", text: title }),
        words && element("span", { class: "pause-unusual", text: words }));
      const line = this.#open ? element("h2", { class: "pause-line" }, label)
        : element("h2", {}, element("button",
          { "type": "button", "class": "pause-line button", "key": `open-pause-${id}`,
            "aria-expanded": String(this.#isListed), "on": { click: () => this.#tapped() } },
          stateShape(SHAPES[state] ?? "open"), label));
      fill(this.#head, line);
    }
    const going = this.#open && goingIn.length > 0;
    if (going !== this.#goingIn.hasChildNodes()) {
      fill(this.#goingIn, going && element("div", { class: "going-in", role: "note", key: `going-in-${id}` },
        element("p", { class: "going-in-word with-shape" }, stateShape("warning"),
          element("span", { text: t("on-sheet.going-in") })),
        element("ul", {}, goingIn.map((caution) => element("li", { text: t(`going-in.${caution}`) })))));
    }
    this.#showList();
  }

  /** A pause that is done lists its rows, each of which opens alone; one that is not is opened. */
  #tapped() {
    if (!this.isDone) return this.onOpen(this);
    this.#isListed = !this.#isListed;
    if (!this.#isListed) this.#alone.clear();
    this.#place();
    return this.#showHead();
  }

  #showList() {
    const { t, job } = this.#context;
    const isListed = this.#isListed && !this.#open && this.isDone;
    if (!isListed && !this.#list.hasChildNodes()) return;
    fill(this.#list, isListed && this.#pause.rows.filter((row) => !this.#alone.has(row.slot)).map((row) => {
      const answer = answerWords(t, row, job.live(row.slot)[0]) || t(`ui.step.state.${row.state}`);
      return button({
        key: `alone-${row.slot}`, label: rowTitle(t, row), kind: "alone",
        detail: element("span", { class: "detail", text: answer }),
        onPress: () => { this.#alone.add(row.slot); this.#place(); this.#showList();
          this.#context.screen.show(this.#frameOf(row).element); },
      });
    }));
  }
}

/** What a shut line must not hide: every answer that is not the usual one, and every hold that was passed. */
function unusual(t, rows) {
  return rows.filter((row) => row.unusual || row.state === "overridden" || row.warning)
    .map((row) => (row.state === "overridden" ? t("on-sheet.passed-short", { row: rowTitle(t, row) })
      : answerWords(t, row, row.entry) || rowTitle(t, row)))
    .join(" · ");
}

/** Rows that stand beside each other share a box: those with the same `beside`, and one question at both wheels. */
function grouped(rows, nodeOf, parent) {
  const nodes = [];
  for (let at = 0; at < rows.length;) {
    const name = groupOf(rows[at]);
    let end = at + 1;
    while (name && end < rows.length && groupOf(rows[end]) === name) end += 1;
    const inside = [...new Set(rows.slice(at, end).map(nodeOf))];
    nodes.push(inside.length > 1 ? boxOf(parent, name, inside, rows[at]) : inside[0]);
    at = end;
  }
  return [...new Set(nodes)];
}

function groupOf({ beside, wheel, id, table }) {
  return table ? null : beside ?? (wheel ? id : null);
}

function boxOf(parent, name, inside, { wheel }) {
  const box = [...parent.children].find((node) => node.dataset.beside === name)
    ?? element("div", { "class": wheel ? "beside wheels" : "beside", "data-beside": name });
  order(box, inside);
  return box;
}

function order(parent, nodes) {
  nodes.forEach((node, at) => { if (parent.children[at] !== node)
    parent.insertBefore(node, parent.children[at] ?? null); });
  while (parent.children.length > nodes.length) parent.lastElementChild.remove();
}
