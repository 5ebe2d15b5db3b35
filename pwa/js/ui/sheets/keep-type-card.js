/**
 * "Keep as vehicle type", or the changes of the known one: what holds for every vehicle like this, proposed before
 * signing. A lead decides at the desk; on this phone it is of use as soon as the job is signed. It asks nothing of
 * those who do not want it.
 */

import { KIND } from "../../domain/job/entry.js";
import { CLASSES } from "../../domain/job/hub-bolts.js";
import { KEYS } from "../../domain/types/type-parts.js";
import { changesOf, gradeOf, keysMissing, namedIn, torquesOf, typeFrom,
  typeOf } from "../../domain/types/type-proposal.js";
import { SelectField } from "../fields/select-field.js";
import { TextField } from "../fields/text-field.js";
import { keptTypes } from "../kept-types.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { rowTitle } from "../words/titles.js";
import { slotWords } from "../words/type-words.js";

export const KEEP = "finish.vehicle-type";
const NAMED = ["make", "model", "first", "last"];
const FIELDS = [...NAMED, ...KEYS];

export class KeepTypeCard {
  static saysTitle = true;
  #context;
  #drawn = "";
  #fields = null;
  #grades = new Map();
  #said = element("div", { class: "stack" });
  #form = element("div", { class: "stack", hidden: true });
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    this.element = element("div", { class: "stack keep-type", key: "keep-type", hidden: true },
      element("p", { class: "row-title", text: rowTitle(context.t, row) }), this.#said, this.#form);
    this.update(row);
  }

  update() {
    const { t, app: { phone }, job } = this.#context;
    const chosen = keptTypes(phone).chosen(job, () => this.update());
    if (job.field("vehicle.type")?.type && !chosen) return; // it comes
    const kept = job.field(KEEP);
    const known = knownOf(chosen);
    const proposed = proposalFor(job, known, this.#typed);
    const isOpen = job.fold.state === "open";
    const drawn = JSON.stringify([kept, known?.revision, proposed.changes, isOpen, keysMissing(job)]);
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    const isNothing = known !== null && proposed.changes.length === 0 && !kept;
    this.element.hidden = !isOpen && !kept && !isNothing;
    fill(this.#said,
      kept && remark({ name: "done", key: "type-kept",
        text: t(kept.of ? "keep-type.changes-kept" : "keep-type.kept") }),
      isNothing && element("p", { key: "type-same", text: t("keep-type.same") }),
      known && proposed.changes.length > 0
        && element("ul", { class: "type-facts" },
          [...new Set(proposed.changes)].map((slot) => element("li", { text: slotWords(this.#context, slot) }))),
      kept && this.#missing(job).map((text) => remark({ name: "open", text })),
      isOpen && !kept && !isNothing
        && button({ key: "keep-type", label: t(known ? "keep-type.changes" : "keep-type.keep"),
          onPress: () => this.#queued(() => this.#keep()) }),
      isOpen && kept && button({ key: "keep-type-not", kind: "quiet narrow", label: t("keep-type.not"),
        onPress: () => this.#queued(() => this.#save([[KEEP, null]])) }));
    if (kept && isOpen) this.#showForm(kept, known);
    this.#form.hidden = !kept || !isOpen;
  }

  reveal() {
    this.element.querySelector("button")?.focus({ preventScroll: true });
  }

  leave() {
    return this.#queued(() => this.#keepTyped());
  }

  #missing(job) {
    const { t } = this.#context;
    const missing = keysMissing(job);
    const left = torquesOf(job).filter((slot) => !gradeOf(job, slot, this.#typed.grades));
    return [
      missing.length > 0 && t("keep-type.keys-missing",
        { what: missing.map((name) => t(`keep-type.${name}`)).join(", ") }),
      left.length > 0 && t("keep-type.grades-missing",
        { what: left.map((slot) => slotWords(this.#context, slot)).join(", ") }),
    ].filter(Boolean);
  }

  /** What is typed in the form; before there is one, what the job and its proposal say. */
  get #typed() {
    return this.#fields ? { ...Object.fromEntries(FIELDS.map((name) => [name, this.#fields[name].text.trim()])),
      grades: Object.fromEntries([...this.#grades].map(([slot, select]) => [slot, select.chosen])) }
      : typedIn(this.#context.job);
  }

  #showForm(kept, known) {
    if (this.#fields) return;
    const { t, job } = this.#context;
    const start = typedIn(job);
    const field = (name) => new TextField({ label: t(`keep-type.${name}`), key: `keep-type-${name}`, text: start[name],
      inputmode: name === "first" || name === "last" ? "numeric" : undefined });
    const fields = Object.fromEntries(FIELDS.map((name) => [name, field(name)]));
    for (const each of Object.values(fields)) each.element.addEventListener("focusout", () => this.leave());
    const options = [{ id: "", label: "–" }, ...CLASSES.map((id) => ({ id, label: id }))];
    for (const slot of torquesOf(job).filter((each) => each !== "fit.torque")) {
      const what = slotWords(this.#context, slot);
      this.#grades.set(slot, new SelectField({ label: t("keep-type.grade", { what }), key: `keep-type-grade-${slot}`,
        options, chosen: start.grades[slot] ?? "", onChange: () => this.leave() }));
    }
    this.#fields = fields;
    const shown = known ? KEYS : FIELDS;
    fill(this.#form, element("div", { class: "keep-type-fields" }, shown.map((name) => fields[name].element)),
      [...this.#grades.values()].map((select) => select.element));
  }

  #queued(save) {
    this.#saving = this.#saving.then(save, save);
    return this.#saving;
  }

  #keep() {
    const { app: { phone }, job } = this.#context;
    const known = knownOf(keptTypes(phone).chosen(job, () => {}));
    return this.#save([[KEEP, proposalFor(job, known, this.#typed).value]]);
  }

  async #keepTyped() {
    const { job, app: { phone } } = this.#context;
    if (!this.#fields || !job.field(KEEP) || job.fold.state !== "open") return;
    const typed = this.#typed;
    const keys = Object.fromEntries(KEYS.map((name) => [name, typed[name]]));
    const before = job.field("window.keys") ?? {};
    const isOther = KEYS.some((name) => (before[name] ?? "") !== keys[name]);
    if (isOther && !(await this.#save([["window.keys", keys]]))) return;
    const known = knownOf(keptTypes(phone).chosen(job, () => {}));
    const { value } = proposalFor(this.#context.job, known, typed);
    if (JSON.stringify(value) !== JSON.stringify(job.field(KEEP))) await this.#save([[KEEP, value]]);
    else this.update();
  }

  #save(answers) {
    const { app, job } = this.#context;
    return app.saveTogether(answers.map(([slot, value]) =>
      ({ job: job.id, kind: KIND.FIELD_SET, slot, body: { value } })));
  }
}

/** Only what a lead has accepted is changed; another job's proposal stands beside this one's. */
function knownOf(chosen) {
  return chosen?.state === "accepted" && chosen.type ? chosen : null;
}

function typedIn(job) {
  const kept = job.field(KEEP)?.type;
  const ref = job.field("vehicle.type");
  const { make, model, years } = kept ?? (ref?.type ? ref : namedIn(job.description));
  const grades = Object.fromEntries((kept?.torques ?? []).map(({ slot, grade }) => [slot, grade]));
  const keys = job.field("window.keys") ?? {};
  return { make, model, first: String(years?.[0] ?? ""), last: String(years?.[1] ?? ""),
    ...Object.fromEntries(KEYS.map((name) => [name, keys[name] ?? ""])), grades };
}

/**
 * @param {Job} job
 * @param {object|null} known the accepted type that was chosen
 * @param {object} typed what stands in the form
 * @returns {{value: object, changes: string[]}} value of the slot; `changes` from what is known
 */
export function proposalFor(job, known, typed = typedIn(job)) {
  const year = (text) => (/^\d{4}$/.test(text) ? Number(text) : null);
  const held = Object.values(known?.type.parts ?? {}).filter((part) => part?.grade);
  const grades = { ...Object.fromEntries(held.map(({ slot, grade }) => [slot, grade])),
    ...Object.fromEntries(Object.entries(typed.grades).filter(([, grade]) => grade)) };
  const type = typeFrom(job, { make: typed.make, model: typed.model,
    years: [year(typed.first), year(typed.last)], grades });
  const ref = job.field("vehicle.type");
  if (!known) return { value: { of: ref?.type ? { type: ref.type, revision: ref.revision } : null, type },
    changes: [] };
  const changed = changesOf(type, known.type);
  return { value: { of: { type: known.id, revision: known.revision }, type: changed.type }, changes: changed.changes };
}

/** What the job proposes is what it says when it is signed. */
export async function bringUpToDate({ app, job }) {
  const kept = job.field(KEEP);
  if (!kept) return;
  const ref = job.field("vehicle.type");
  const known = kept.of?.revision > 0 ? knownOf(await app.phone.typeNow(ref ?? kept.of)) : null;
  if (kept.of?.revision > 0 && !known) return; // retired meanwhile: the desk sees what was proposed
  const { value } = proposalFor(job, known);
  if (JSON.stringify(value) !== JSON.stringify(kept))
    await app.saveTogether([{ job: job.id, kind: KIND.FIELD_SET, slot: KEEP, body: { value } }]);
}

/** A type of this job is of use on this phone before the server has it; changes of a known one wait for the desk. */
export async function keepOnPhone({ app, job }) {
  const kept = job.field(KEEP);
  if (!kept || kept.of?.revision > 0) return;
  const [{ id, at }] = job.live(KEEP);
  // it comes by the server
  await app.phone.keepOwnType({ id, job: job.id, type: typeOf(kept.type, at.slice(0, 10)) }).catch(() => {});
}
