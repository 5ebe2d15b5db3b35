/**
 * After what the fasteners are to be rechecked. One tap says what is common practice; what the service information
 * says, or another distance or a day, opens beneath it and is kept as soon as it can be. The program invents none.
 */

import { RECHECK_SOURCES, RECHECK_UNITS, recheckParts } from "../../domain/job/rechecks.js";
import { TextField } from "../fields/text-field.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { recheckWords } from "../words/recheck-words.js";
import { NumberCell } from "./number-cell.js";

/** The one figure that the trade itself gives: 50 to 100 km, in miles no longer than that. */
const USUAL = { km: { number: 100, text: "50–100", unit: "km" }, mi: { number: 60, text: "30–60", unit: "mi" } };
const [SERVICE, COMMON] = RECHECK_SOURCES;
const LONGEST = { km: 20_000, mi: 12_000 };

export class RecheckCard {
  #context;
  #row;
  #usual;
  #other;
  #form = element("div", { class: "stack", key: "recheck-form", hidden: true });
  #said = element("div", { role: "status" });
  #distance;
  #day;
  #page;
  #sources = new Map();
  #again;
  #isOpen = false;
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const { t } = context;
    this.#usual = button({ key: "recheck-usual", label: "", kind: "option", pressed: false,
      onPress: () => this.#takeUsual() });
    this.#other = button({ key: "recheck-other", label: t("recheck.other"), kind: "option", pressed: false,
      onPress: () => this.#open() });
    this.#makeForm();
    this.element = element("div", { class: "stack", key: "recheck" },
      element("div", { class: "options long", role: "group", "aria-label": t("row.finish.recheck-after.title") },
        this.#usual, this.#other), this.#form, this.#said);
    this.update(row);
  }

  update(row) {
    this.#row = row;
    const { t } = this.#context;
    const kept = row.value?.recheck ?? null;
    const { text, unit } = this.#usualDistance;
    this.#usual.querySelector(".button-label")
      .textContent = t("recheck.usual", { distance: text, unit: t(`unit.${unit}`) });
    this.#isOpen ||= this.#half !== null || (kept !== null && !isUsual(kept));
    this.#usual.setAttribute("aria-pressed", String(kept !== null && isUsual(kept)));
    this.#other.setAttribute("aria-pressed", String(kept !== null && !isUsual(kept)));
    this.#other.setAttribute("aria-expanded", String(this.#isOpen));
    this.#form.hidden = !this.#isOpen;
    this.#showForm();
  }

  reveal() {
    this.#usual.focus({ preventScroll: true });
  }

  /** What the person has begun to say and cannot be kept yet, or what is kept. */
  get #saying() {
    const kept = this.#row.value?.recheck;
    return this.#half ?? (kept && !isUsual(kept) ? kept : { distance: null, day: null, source: SERVICE, page: "" });
  }

  get #half() {
    return this.#context.typing.at("half.recheck");
  }

  /** In the unit in which the odometer was read. */
  get #usualDistance() {
    const { unit } = this.#context.job.field("vehicle.odometer") ?? {};
    return USUAL[unit] ?? USUAL.km;
  }

  #takeUsual() {
    return this.#queued(async () => {
      const value = { recheck: { distance: this.#usualDistance, day: null, source: COMMON, page: "" } };
      if (!(await this.#context.save(this.#row, { body: { value } }))) return;
      this.#isOpen = false;
      await this.#context.typing.drop("half.recheck");
      this.update(this.#row);
    });
  }

  #open() {
    this.#isOpen = true;
    this.update(this.#row);
    this.#distance.input.focus({ preventScroll: true });
  }

  #makeForm() {
    const { t, app: { settings } } = this.#context;
    this.#distance = new NumberCell(this.#context, {
      key: "finish.recheck-after.distance", label: t("recheck.distance"), units: RECHECK_UNITS, kept: null,
      unit: settings.get("units")["vehicle.odometer"] ?? RECHECK_UNITS[0],
      keep: (number) => this.#change({ distance: number
        && { number: number.number, text: number.text, unit: number.unit } }),
    });
    this.#day = new TextField({ label: t("recheck.day"), key: "recheck-day",
      onTyping: (day) => this.#change({ day: day || null }) });
    Object.assign(this.#day.element.querySelector("input"), { type: "date", min: today() });
    for (const source of RECHECK_SOURCES) {
      this.#sources.set(source, button({ key: `recheck-source-${source}`, label: t(`recheck.source.${source}`),
        kind: "option", pressed: false, onPress: () => this.#change({ source }) }));
    }
    this.#page = new TextField({ label: t("recheck.page"), key: "recheck-page",
      onEnter: () => document.activeElement.blur() });
    this.#page.element.addEventListener("focusout", () => this.#change({ page: this.#page.text.trim() }));
    this.#again = button({ key: "recheck-same-page", label: "", kind: "chip",
      onPress: () => this.#change({ page: this.#windowsSource }) });
    fill(this.#form,
      element("div", { class: "cells", role: "group" },
        element("div", { class: "cells-line" },
          element("span", { class: "cells-title", text: t("recheck.distance"), "aria-hidden": "true" }),
          this.#distance.element)),
      this.#day.element,
      element("div", { class: "options middling", role: "group", "aria-label": t("recheck.source") },
        ...this.#sources.values()),
      this.#page.element, this.#again);
  }

  #showForm() {
    const { t } = this.#context;
    const { distance, day, source, page } = this.#saying;
    this.#distance.update(distance);
    if (document.activeElement !== this.#day.element.querySelector("input")) this.#day.text = day ?? "";
    if (document.activeElement !== this.#page.element.querySelector("input")) this.#page.text = page ?? "";
    for (const [id, node] of this.#sources) node.setAttribute("aria-pressed", String(id === source));
    this.#page.element.hidden = source !== SERVICE;
    this.#again.hidden = source !== SERVICE || Boolean(page) || !this.#windowsSource;
    this.#again.querySelector(".button-label").textContent = t("plan.torque.same-source",
      { source: this.#windowsSource });
    this.#sayWhatIs();
  }

  get #windowsSource() {
    return this.#context.job.field("window.source") ?? "";
  }

  #sayWhatIs() {
    const { t, job } = this.#context;
    const kept = this.#row.value?.recheck;
    const problem = this.#isOpen && this.#half !== null ? this.#problem(this.#half) : "";
    fill(this.#said, problem ? remark({ name: "open", text: problem, key: "recheck-problem" })
      : kept && element("p", { key: "recheck-said",
        text: recheckWords(t, recheckParts(kept, job.field("vehicle.odometer") ?? {})) }));
  }

  #problem({ distance, day }) {
    const { t } = this.#context;
    if (!distance && !day) return t("recheck.missing");
    if (distance && !(distance.number > 0 && distance.number <= LONGEST[distance.unit]))
      return t("recheck.distance.wrong", { got: distance.text });
    if (day && day < today()) return t("recheck.day.past", { got: day, today: today() });
    return "";
  }

  /** One change waits for the other; what cannot be kept yet stays half said. */
  #change(change) {
    return this.#queued(async () => {
      const { typing } = this.#context;
      const { distance, day, source, page } = { ...this.#saying, ...change };
      const said = { distance, day, source, page: source === SERVICE ? page : "" };
      if (JSON.stringify(said) === JSON.stringify(this.#saying)) return true;
      typing.write("half.recheck", said);
      if (!this.#problem(said) && (await this.#context.save(this.#row, { body: { value: { recheck: said } } })))
        await typing.drop("half.recheck");
      this.update(this.#row);
      return true;
    });
  }

  #queued(act) {
    this.#saving = this.#saving.then(act, act);
    return this.#saving;
  }
}

function isUsual({ distance, day, source }) {
  return source === COMMON && !day && distance !== null && distance.text === USUAL[distance.unit]?.text;
}

/** By the phone's own clock and zone. */
function today() {
  return new Date().toLocaleDateString("sv");
}
