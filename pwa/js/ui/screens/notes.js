/**
 * Notes on a job, in the order of their times as the phones said them, and a field for one more. A note is never
 * changed.
 */

import { KIND } from "../../domain/job/entry.js";
import { Draft } from "../parts/draft.js";
import { button, element, fill } from "../parts/element.js";
import { TextField } from "../fields/text-field.js";
import { dateAndTime } from "../words/date-words.js";

export class Notes {
  #app;
  #job = null;
  #draft = null;
  #list = element("ul", { class: "stack" });
  #count = element("span", { class: "detail" });
  #field;

  constructor(app) {
    this.#app = app;
    const { t } = app;
    this.#field = new TextField({ label: t("ui.notes.new"), key: "note", lines: true,
      onTyping: (text) => this.#draft.write(text) });
    this.element = element("details", { class: "stage", name: "stages", key: "notes" },
      element("summary", { class: "button" }, element("span", { class: "button-label", text: t("ui.notes") }),
        this.#count),
      element("div", { class: "steps" }, this.#list, this.#field.element,
        button({ key: "keep-note", label: t("ui.notes.keep"), onPress: () => this.#keep() })));
  }

  async update(job) {
    const { t, locale, phone } = this.#app;
    this.#job = job;
    const notes = [...job.fold.notes].sort((a, b) => (a.at < b.at ? -1 : 1));
    this.#count.textContent = t("ui.notes.count", { count: notes.length });
    fill(this.#list, notes.map(({ body, by, at }) =>
      element("li", { class: "sheet",
        text: t("ui.notes.line", { text: body.text, by, when: dateAndTime(at, locale) }) })));
    if (this.#draft) return;
    this.#draft = new Draft(phone, `note.${job.id}`);
    this.#field.text = (await this.#draft.read()) ?? "";
  }

  async #keep() {
    const text = this.#field.text.trim();
    if (!text) return this.#field.refuse(this.#app.t("ui.text.missing"));
    if (!(await this.#app.save({ job: this.#job.id, kind: KIND.NOTE_WRITTEN, slot: null, body: { text } })))
      return undefined;
    this.#field.text = "";
    await this.update(this.#job); // the job lives on and has the note now
    return this.#draft.drop();
  }
}
