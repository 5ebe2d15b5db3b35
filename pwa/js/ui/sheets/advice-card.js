/**
 * What a good technician would look at before any rings. It stands over the plan; each advice is answered in place, and
 * until all are the plan's button stays shut.
 */

import { TextField } from "../fields/text-field.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { stateShape } from "../parts/state-shape.js";
import { askewVerdict } from "./askew-card.js";
import { FIRST_LENGTH, SWAPPED_ROW } from "../../domain/job/crooked-axle.js";
import { PlanModel } from "./plan-model.js";

/** What an advice has a place for on the sheet of the readings. */
const MEASURED = { "skewed-axle": FIRST_LENGTH, "one-wheel-off": SWAPPED_ROW };
/** A wheel that is to be read again: that is done at the equipment, and needs no words. */
const REREAD = { "reread-left": "left", "reread-right": "right" };

export class AdviceCard {
  static saysTitle = true;
  #context;
  #row;
  #model;
  #parts = new Map();
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    this.#model = PlanModel.of(context, row);
    this.#model.onChange(() => this.update(this.#row));
    this.element = element("div", { class: "stack advice-card" });
    this.update(row);
  }

  update(row) {
    this.#row = row;
    const codes = this.#model.hasPlans ? this.#model.choice.result.advice : [];
    this.element.hidden = codes.length === 0;
    for (const code of codes) this.#partOf(code);
    fill(this.element, codes.map((code) => this.#parts.get(code).element));
    for (const code of codes) this.#parts.get(code).show(row.value?.[code] ?? null);
  }

  reveal() {
    this.element.querySelector("button, textarea")?.focus({ preventScroll: true });
  }

  #partOf(code) {
    if (!this.#parts.has(code)) this.#parts.set(code, code in REREAD ? this.#reread(code) : this.#looked(code));
  }

  #frame(code, ...inside) {
    const { t } = this.#context;
    return element("section", { class: "advice", key: `advice-${code}` },
      element("p", { class: "advice-first with-shape" }, stateShape("warning"),
        element("span", { text: t("plan.first") })),
      element("p", { class: "advice-text", text: t(`advice.${code}`) }),
      code in MEASURED ? this.#look(code) : element("p", { text: t(`advice.${code}.look`) }),
      inside);
  }

  #reread(code) {
    const { t, goTo, job } = this.#context;
    const side = t(`ui.side.${REREAD[code]}`);
    const stays = button({ key: `stays-${code}`, label: t("plan.stays"), kind: "option", pressed: false,
      onPress: () => this.#answer(code, { answer: "stays" }) });
    const again = button({ key: `again-${code}`, label: t("plan.read-again", { side }), kind: "option",
      onPress: () => goTo(job.slotOf("base.readings")) });
    return { element: this.#frame(code, element("div", { class: "options" }, again, stays)),
      show: (given) => stays.setAttribute("aria-pressed", String(given !== null)) };
  }

  /**
   * Half a sentence is no answer: it stays a draft until Enter, or the button that comes with it, says that this is
   * what was found.
   */
  #looked(code) {
    const { t, typing } = this.#context;
    const key = `${this.#row.slot}.${code}`;
    const kept = () => this.#row.value?.[code]?.text ?? "";
    const isDraft = () => ![kept(), ""].includes(found.text.trim());
    const typed = async (text) => {
      showDraft();
      await (isDraft() ? typing.write(key, text) : typing.drop(key));
    };
    const keep = () => this.#queued(async () => {
      if (isDraft() && (await this.#answer(code, { answer: "looked", text: found.text.trim() })))
        await typing.drop(key);
    });
    const found = new TextField({
      label: t(`advice.${code}.ask`), key: `looked-${code}`, lines: true, text: typing.at(key) ?? kept(), goesOn: true,
      onTyping: typed, onEnter: () => { keep(); document.activeElement.blur(); },
    });
    const record = button({ key: `found-${code}`, label: t("plan.found"), kind: "option", onPress: keep });
    const unsaid = remark({ name: "open", text: t("on-sheet.found-open", { button: t("plan.found") }),
      key: `unsaid-${code}` });
    const showDraft = () => { record.hidden = unsaid.hidden = !isDraft(); };
    const said = element("div", {});
    const measured = element("div", {});
    return {
      element: this.#frame(code, measured, found.element, unsaid, record, said),
      show: (given) => {
        showDraft();
        this.#showMeasured(code, measured);
        fill(said, given && remark({ name: "done", text: t("plan.answered", { by: this.#row.entry?.by ?? "" }),
          key: `answered-${code}` }));
      },
    };
  }

  /**
   * What to look at leads to where it is typed; two screens hold advice, plan and maps, so it has no line of its own.
   */
  #look(code) {
    const { t, goTo } = this.#context;
    return element("button", { type: "button", class: "advice-look", key: `measure-${code}`,
      on: { click: () => goTo(MEASURED[code]) } },
      element("span", { class: "advice-to", text: t(`advice.${code}.look`) }), " ▸");
  }

  /** What the lengths say, once they are typed. */
  #showMeasured(code, said) {
    const { t, job } = this.#context;
    const verdict = code === "skewed-axle" ? askewVerdict(t, job.fold, this.#model.shopSpread) : "";
    fill(said, verdict && remark({ name: "waiting", text: verdict, key: `measured-${code}` }));
  }

  #queued(save) {
    this.#saving = this.#saving.then(save, save);
    return this.#saving;
  }

  #answer(code, answer) {
    return this.#context.save(this.#row, { body: { value: { ...this.#row.value, [code]: answer } } });
  }
}
