/**
 * One group of what the vehicle type holds (windows, ride heights, mounting, pilot and flange, bolts, sensor, torques),
 * shown where it is asked for. It is looked at once at this vehicle, and one tap enters it. Until then nothing of it is
 * an answer; no verdict is ever among it. What stands here already is never overwritten. A type that no lead has
 * accepted shows neither windows nor torques: they are typed again and compared.
 *
 * Groups that are seen at one place (`groups` in pwa/checklist.json) are looked at together: the first lists what all
 * of them hold, over one button; the others say where they are asked for what became of theirs.
 */

import { KIND } from "../../domain/job/entry.js";
import { canonical } from "../../domain/job/fold.js";
import { fromType, isAlike, isOld, offersOf, USUAL_SLOTS, WINDOW_SLOTS } from "../../domain/types/type-parts.js";
import { keptTypes } from "../kept-types.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { factLines, keyWords, slotWords, valueWords } from "../words/type-words.js";

const TYPED_AGAIN = ["windows", "heights", "torques"];
const SILENT = ["window.source", "window.keys"];

export class TypeGroupCard {
  static saysTitle = true;
  #context;
  #group;
  #row;
  #drawn = "";

  constructor(context, row) {
    this.#context = context;
    this.#group = row.id.split(".")[1];
    this.element = element("div", { class: "stack type-group", key: `type-group-${this.#group}`, hidden: true });
    this.update(row);
  }

  update(row) {
    this.#row = row;
    this.#draw();
  }

  reveal() {
    this.element.querySelector("button")?.focus({ preventScroll: true });
  }

  #draw() {
    const { app: { phone }, job, t } = this.#context;
    const chosen = keptTypes(phone).chosen(job, () => this.#draw());
    const blocks = chosen?.type ? this.#blocks(chosen) : [];
    const drawn = JSON.stringify(blocks);
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    this.element.hidden = blocks.length === 0;
    fill(this.element, blocks.length > 0
      && element("p", { class: "row-title", text: t(`row.type.${this.#group}.title`) }),
      blocks.map((block, at) => this.#block(block, at, chosen)));
  }

  /** What there is to say and to look at, one block for each of the keys under which it holds. */
  #blocks(chosen) {
    if (this.#row.groups) return this.#joined(chosen);
    const { job } = this.#context;
    const isCompared = chosen.state === "unchecked" && TYPED_AGAIN.includes(this.#group);
    const offers = offersOf(this.#group, chosen.type, job);
    const own = job.field("window.keys");
    const known = own && offers.filter(({ keys }) => keys && canonical(keys) === canonical(own));
    const isOwn = known && offers.some(({ keys }) => keys)
      && !(known.length === 0 && fromType(job.live("window.keys")));
    const fitting = isOwn ? known : offers; // keys that came from a type and are there no more were corrected
    const blocks = fitting.map((offer) => (isCompared ? this.#compared(offer, chosen) : this.#offered(offer, chosen)))
      .filter(Boolean);
    return this.#isListedAbove ? blocks.map(saidAlone).filter(Boolean) : blocks;
  }

  /** Whether another card lists this group among its own. */
  get #isListedAbove() {
    return this.#context.sheet.rows.some(({ id, groups }) => id !== this.#row.id && groups?.includes(this.#group));
  }

  /** What of several groups is still to be looked at, and beside it what is to be said of the first. */
  #joined(chosen) {
    const { job } = this.#context;
    const of = this.#row.groups.map((group) =>
      [group, offersOf(group, chosen.type, job).map((offer) => this.#offered(offer, chosen, group)).find(Boolean)]);
    const found = of.filter(([, block]) => block);
    if (found.length === 0) return [];
    const own = of[0][1];
    const lines = found.flatMap(([, block]) => block.lines);
    if (lines.length === 0 && !own) return [];
    return [{
      keys: "", source: "", lines, usual: own?.usual ?? "", notes: own?.notes ?? [],
      unchecked: found.some(([, block]) => block.unchecked), enter: found.flatMap(([, block]) => block.enter),
    }];
  }

  #offered({ keys, source, day, facts, gone, grades }, chosen, group = this.#group) {
    const { t, job } = this.#context;
    const standing = facts.map((fact) => ({ ...fact, ...this.#standsAt(fact, chosen) }));
    const open = standing.filter(({ how }) => how === "open" || how === "older");
    const other = standing.filter(({ how, slot }) => how === "other" && !SILENT.includes(slot));
    const isTaken = standing.some(({ how }) => how === "taken");
    const isOffered = open.some(({ slot }) => !SILENT.includes(slot));
    const others = group === "windows" && isOffered ? this.#otherWindows(facts) : [];
    const lines = isOffered ? [...factLines(this.#context, open),
      ...(others.length > 0 ? [t("windows.no-others")] : [])] : [];
    const usual = group === "mounting" ? this.#usual(chosen.type) : "";
    const notes = [
      gone && ["warning", t("type.gone")], grades && ["open", t("type.grades")],
      lines.length > 0 && isOld(day, chosen.months, Date.now())
        && ["warning", t("type.old", { day, months: chosen.months })],
      ...this.#beside("type.other", other),
      lines.length === 0 && isTaken && ["done", t("type.taken")],
    ].filter(Boolean);
    if (lines.length === 0 && notes.length === 0) return null;
    return {
      keys: keys && lines.length > 0 ? keyWords(t, keys) : "", lines, notes, usual: lines.length > 0 ? usual : "",
      source: source && lines.length > 0 ? t("type.source", { source, day: day || t("type.day-unknown") }) : "",
      unchecked: chosen.state === "unchecked" && lines.length > 0, enter: lines.length > 0
        ? [...open.map(({ slot, value }) => ({ slot, value })), ...others] : [],
    };
  }

  /**
   * Windows that the type does not have and nobody has answered here: that the maker gives none is looked at with the
   * others.
   */
  #otherWindows(facts) {
    const { job } = this.#context;
    const isLeft = (slot) => !facts.some((fact) => fact.slot === slot) && job.live(slot).length === 0;
    return WINDOW_SLOTS.filter(isLeft).map((slot) => ({ slot, value: null }));
  }

  #compared({ keys, facts, gone, grades }, chosen) {
    const { t, job } = this.#context;
    const compared = facts.filter(({ slot }) => !SILENT.includes(slot));
    const typed = compared.filter(({ slot }) => (job.field(slot) ?? null) !== null);
    const apart = typed.filter(({ slot, value }) => !isAlike(slot, value, job.field(slot)));
    const left = compared.length - typed.length;
    const about = apart.map(({ slot }) => [slot, job.field(slot)]);
    const isLooked = job.field(this.#row.slot)?.looked === canonical(about);
    const notes = [
      ["warning", t("type.unchecked")], gone && ["warning", t("type.gone")], grades && ["open", t("type.grades")],
      left > 0 && ["open", t("type.typed-again", { count: left })],
      ...this.#beside("type.apart", apart),
      left === 0 && typed.length > 0 && apart.length === 0 && ["done", t("type.agrees")],
      apart.length > 0 && isLooked && ["done", t("type.apart.looked")],
    ].filter(Boolean);
    const isKeysOpen = keys && left === 0 && apart.length === 0 && !job.field("window.keys");
    const enter = apart.length > 0 && !isLooked ? [{ slot: this.#row.slot, value: { looked: canonical(about) } }]
      : isKeysOpen ? [{ slot: "window.keys", value: keys }] : [];
    if (typed.length > 0 && left === 0 && apart.length === 0 && enter.length === 0) notes.shift();
    return { keys: keys ? keyWords(t, keys) : "", lines: [], notes, usual: "", source: "", unchecked: false, enter,
      from: chosen.id };
  }

  /** A line for each fact that is otherwise here; what is alike at both wheels is said once. */
  #beside(key, facts) {
    const { t, job } = this.#context;
    const both = facts.map(({ slot, value }) => ({ slot, value: [job.field(slot), value] }));
    const lines = facts.map(({ slot, value, grade }) => t(key, {
      what: slotWords(this.#context, slot, both), here: valueWords(this.#context, { slot, value: job.field(slot) }),
      there: valueWords(this.#context, { slot, value, grade }),
    }));
    return [...new Set(lines)].map((text) => ["warning", text]);
  }

  /** taken: from this revision, or the same; older: from another one, and otherwise; other: somebody's own answer. */
  #standsAt({ slot, value }, { id, revision }) {
    const { job } = this.#context;
    const given = job.field(slot);
    if (job.fold.conflicts.includes(slot)) return { how: "differ" };
    if (given === undefined || (given === null && !WINDOW_SLOTS.includes(slot))) return { how: "open" };
    const from = fromType(job.live(slot))?.body.from;
    const isSame = SILENT.includes(slot) ? canonical(given) === canonical(value) : isAlike(slot, given, value);
    if (isSame) return { how: from ? "taken" : "same" };
    return { how: from && (from.type !== id || from.revision < revision) ? "older" : "other" };
  }

  #usual({ parts }) {
    const { t } = this.#context;
    const said = USUAL_SLOTS.filter((slot) => parts[`usual/${slot}`])
      .map((slot) => valueWords(this.#context, { slot, value: parts[`usual/${slot}`] }));
    return said.length > 0 ? t("type.usual", { said: said.join(", ") }) : "";
  }

  #block({ keys, lines, notes, usual, source, unchecked, enter }, at, chosen) {
    const { t } = this.#context;
    return element("div", { class: "stack type-block" },
      keys && element("p", { class: "type-keys", text: keys }),
      unchecked && remark({ name: "warning", text: t("type.unchecked") }),
      lines.length > 0 && element("ul", { class: "type-facts" }, lines.map((text) => element("li", { text }))),
      source && element("p", { class: "row-method", text: source }),
      usual && element("p", { class: "row-method", text: usual }),
      notes.map(([name, text]) => remark({ name, text })),
      enter.length > 0 && button({ key: `looked-${this.#group}-${at}`, kind: "take", label: t("type.looked"),
        onPress: () => this.#enter(enter, chosen) }));
  }

  #enter(facts, { id, revision }) {
    const { app, job } = this.#context;
    return app.saveTogether(facts.map(({ slot, value }) =>
      ({ job: job.id, kind: KIND.FIELD_SET, slot, body: { value, from: { type: id, revision } } })));
  }
}

/** What is left to say where what is to be looked at stands elsewhere. */
function saidAlone(block) {
  return block.notes.length > 0 ? { ...block, keys: "", lines: [], usual: "", source: "", unchecked: false,
    enter: [] } : null;
}
