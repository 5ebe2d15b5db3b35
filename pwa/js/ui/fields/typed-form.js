/**
 * A short form of typed facts: each field is a line of text, a few lines, a list or a few answers; a field that an
 * answer makes needless is hidden and keeps what was typed. It checks and keeps nothing: the panel around it does.
 */

import { Choices } from "./choices.js";
import { element } from "../parts/element.js";
import { SelectField } from "./select-field.js";
import { TextField } from "./text-field.js";

export class TypedForm {
  #fields;
  #typed;
  #onChange;

  /**
   * @param {{t: function, prefix: string, fields: {name: string, kind: "text"|"lines"|"choice"|"select", options?:
   *   (string|{id, label?: function(function): string})[], when?: function(Object): boolean, hint?: boolean}[], typed:
   *   Object, onChange: function(Object): void}} options texts are `<prefix>.<name>`, `<prefix>.<name>.hint` and
   *   `<prefix>.<name>.<option>`; the last part of prefix names the keys
   */
  constructor({ t, prefix, fields, typed, onChange }) {
    this.#typed = { ...typed };
    this.#onChange = onChange;
    const key = prefix.split(".").at(-1);
    this.#fields = fields.map((field) =>
      ({ ...field, widget: this.#widget(t, prefix, `${key}-${field.name}`, field) }));
    this.element = element("div", { class: "stack wide" }, this.#fields.map(({ widget }) => widget.element));
    this.#hide();
  }

  /** Everything as it stands in the form, by name. */
  get typed() {
    return { ...this.#typed };
  }

  /** Says what is wrong with a field and goes to it; false where it has no line of its own. */
  refuse(name, message) {
    const widget = this.#fields.find((field) => field.name === name)?.widget;
    if (!(widget instanceof TextField)) return false;
    widget.refuse(message);
    return true;
  }

  #widget(t, prefix, key, { name, kind, options, hint }) {
    const label = t(`${prefix}.${name}`);
    const onChange = (now) => this.#change(name, now);
    if (kind === "select") return new SelectField({ label, key,
      options: options.map((option) =>
        ({ ...option, label: option.label?.(t) ?? t(`${prefix}.${name}.${option.id}`) })),
        chosen: this.#typed[name], onChange });
    if (kind === "choice") return new Choices({ legend: label, key,
      options: options.map((id) => ({ id, label: t(`${prefix}.${name}.${id}`) })), chosen: this.#typed[name]
      ?? null, onChange });
    return new TextField({ label, key, hint: hint ? t(`${prefix}.${name}.hint`) : null, lines: kind === "lines",
      inputmode: kind === "text" ? "decimal" : null, text: this.#typed[name] ?? "", onTyping: onChange });
  }

  #change(name, now) {
    this.#typed[name] = now;
    this.#hide();
    this.#onChange(this.typed);
  }

  #hide() {
    for (const { when, widget } of this.#fields) widget.element.hidden = Boolean(when) && !when(this.#typed);
  }
}
