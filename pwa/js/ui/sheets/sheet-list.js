/**
 * The sheets of a job: the strip of marks under the title, one a sheet, and the list with the menu that opens over the
 * sheet. Done, open, held and refused differ by shape and by name, never by colour alone.
 */

import { button, element, fill } from "../parts/element.js";
import { stateShape } from "../parts/state-shape.js";
import { Notes } from "../screens/notes.js";
import { sheetTitle } from "../words/titles.js";

const SHAPES = { done: "done", open: "open", held: "hold", refused: "refused", waiting: "locked" };

/** The strip: a picture with one name for all of it; the list says the same line by line. */
export class Strip {
  #t;
  #drawn = "";

  constructor(t) {
    this.#t = t;
    this.element = element("div", { class: "strip", role: "img", key: "strip" });
  }

  update(sheets, key) {
    const drawn = JSON.stringify(sheets.map((sheet) => [sheet.state, sheet.key === key]));
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    const t = this.#t;
    const named = sheets.map((sheet) =>
      t("on-sheet.strip.sheet", { title: sheetTitle(t, sheet), state: t(`on-sheet.state.${sheet.state}`) }));
    this.element.setAttribute("aria-label", t("on-sheet.strip", { sheets: named.join(", ") }));
    fill(this.element, sheets.map((sheet) =>
      element("span", { class: `strip-mark ${sheet.state}${sheet.key === key ? " here" : ""}` })));
  }
}

export class SheetList {
  #app;
  #screen;
  #notes;
  #sheets = element("ul", { class: "sheet-list" });
  #menu = element("div", { class: "sheet-menu" });

  /** @param {{app: App, screen: SheetScreen}} parts */
  constructor({ app, screen }) {
    this.#app = app;
    this.#screen = screen;
    const { t } = app;
    this.#notes = new Notes(app);
    const close = button({ key: "close-list", label: t("on-sheet.list.close"), kind: "plain",
      onPress: () => this.element.close() });
    this.element = element("dialog",
      { class: "sheet-dialog", key: "sheet-list", "aria-label": t("on-sheet.list.title") },
      element("div", { class: "stack" }, this.#menu, this.#notes.element,
        element("h2", { text: t("on-sheet.list.title") }), this.#sheets, close));
    this.element.addEventListener("click", (event) => { if (event.target === this.element) this.element.close(); });
  }

  async open(job, key) {
    this.#draw(job, key);
    this.element.showModal();
    await this.#notes.update(job);
  }

  #draw(job, key) {
    const { t, undo } = this.#app;
    const screen = this.#screen;
    const go = (press) => () => { this.element.close(); press(); };
    const last = screen.undoWords();
    fill(this.#menu,
      undo.peek(job.id) && button({ key: "undo", label: t("ui.undo"),
        detail: element("span", { class: "detail", text: last }), onPress: go(() => screen.undo()) }),
      button({ key: "report", label: t("report.open"),
        onPress: go(() => this.#app.go({ screen: "report", job: job.id })) }),
      button({ key: "stop", label: t("ui.stop"), onPress: go(() => screen.end()) }));
    fill(this.#sheets, job.sheets.map((sheet) => element("li", {}, this.#line(sheet, key, go))));
  }

  #line(sheet, key, go) {
    const { t } = this.#app;
    const state = sheet.state === "open" ? t("on-sheet.left", { count: sheet.left })
      : t(`on-sheet.state.${sheet.state}`);
    const line = element("button", { "type": "button", "class": "button sheet-line", "key": `sheet-${sheet.key}`,
      "aria-current": sheet.key === key ? "page" : null, "on": { click: go(() => this.#screen.toSheet(sheet.key)) } },
      stateShape(SHAPES[sheet.state] ?? "open"),
      element("span", { class: "button-label",
        text: t("on-sheet.list.line", { number: sheet.number, title: sheetTitle(t, sheet) }) }),
      element("span", { class: "detail", text: `${t(`sheet.${sheet.id}.place`)} · ${state}` }));
    return line;
  }
}
