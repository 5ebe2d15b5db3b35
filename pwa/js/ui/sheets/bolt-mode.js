/**
 * Tightening as a hold: bolt by bolt and stage by stage in the drawn order. Most of the screen is one target that shows
 * the next bolt and its stage; a touch too soon after the last takes nothing and says so. How far one has come is kept
 * at every touch; the last touch ends the hold with the whole record, and where that was not saved, one more touch
 * saves it. It offers no torque: shares are of the one that was typed.
 */

import { LEAST_BETWEEN_TOUCHES_MS, tighteningRecord, tighteningSteps, touchesSoFar,
  touchOf } from "../../domain/job/holds.js";
import { BoltFace } from "../drawings/bolt-face.js";
import { afterPaint } from "../parts/after-paint.js";
import { button, element, fill, say } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { NumberCell } from "./number-cell.js";
import { typedTorqueWords, unitNotNamed } from "./torque-words.js";
import { boltsOf, torqueOf } from "../../domain/job/fit-request.js";
import { takeBackButton } from "./confirmed-note.js";

const COUNT = [2, 24];

export class BoltMode {
  #context;
  #row;
  #key;
  #countKey;
  #face;
  #count;
  #head = element("div", { class: "bolt-head stack" });
  #target;
  /** In the target it is seen, for the finger is there; beside it a screen reader hears it. */
  #soon = element("p", { class: "bolt-soon hidden-text", role: "status", key: "bolt-soon" });
  #seen = element("span", { class: "bolt-seen", key: "bolt-seen", hidden: true });
  #seenUntil = null;
  #foot = element("div", { class: "stack" });
  #stages = element("span");
  #share = element("strong");
  #stageLine = element("span", { class: "bolt-stage", key: "bolt-stage" }, this.#stages, " ", this.#share);
  #next = element("span", { class: "bolt-next", key: "bolt-next" });
  #press = element("span", { class: "bolt-press" });
  #undo;
  #touched = -Infinity;

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    this.#key = `${row.slot}.touched`;
    this.#countKey = `${row.slot}.bolts`;
    const { t } = context;
    this.#face = new BoltFace({ t });
    this.#target = element("button", { type: "button", class: "bolt-target", key: "bolt-target", "data-guard": "near",
      on: { click: () => this.#touch() } });
    this.#count = new NumberCell(context, {
      key: `${row.slot}.count`, label: t("bolts.count"), kind: "marks", units: [""], kept: null,
      keep: (number) => this.#keepCount(number),
    });
    this.#undo = button({ key: "bolt-undo", label: t("bolts.undo"), kind: "quiet narrow",
      onPress: () => this.#back() });
    this.element = element("div", { class: "bolt-mode stack" }, this.#head, this.#target, this.#soon, this.#foot);
    this.update(row);
  }

  update(row) {
    this.#row = row;
    this.#show();
  }

  /** Before the first bolt the caution is read; then the whole target is in sight. */
  reveal() {
    if (this.#target.hidden) return;
    this.#target.focus({ preventScroll: true });
    if (this.#done.length > 0) this.#bringWhole();
  }

  #bringWhole() {
    if (this.#target.isConnected) this.#context.screen.show(this.#target, "start");
  }

  get #torque() {
    return torqueOf(this.#context.job.fold);
  }

  get #steps() {
    const { job, typing } = this.#context;
    return tighteningSteps(job.fold, this.#row.wheel, typing.at(this.#countKey));
  }

  get #done() {
    const done = this.#context.typing.at(this.#key) ?? [];
    const steps = this.#steps;
    return steps ? done.slice(0, touchesSoFar(steps, done)) : [];
  }

  #show() {
    const { t } = this.#context;
    const torque = this.#torque;
    const steps = this.#steps;
    const isDone = this.#row.state === "done";
    this.#target.hidden = isDone || !torque || !steps || this.#row.state === "locked";
    this.#soon.hidden = this.#target.hidden;
    if (isDone) {
      this.#forget(); // taken back later, it begins anew
      return this.#showRecord();
    }
    if (!torque) {
      fill(this.#foot);
      return fill(this.#head, remark({ name: "open", text: t("bolts.no-torque"), key: "bolts-no-torque" }),
        button({ key: "to-torque", label: t("bolts.to-torque"), onPress: () => this.#context.goTo("fit.torque") }));
    }
    if (!steps) {
      fill(this.#foot);
      return fill(this.#head, element("p", { text: t("bolts.how-many") }), this.#count.element);
    }
    const at = this.#done.length;
    const step = steps[at] ?? steps.at(-1);
    const { bolt, stage, stages } = step;
    const unnamed = unitNotNamed(t, torque);
    fill(this.#head, element("p", { key: "typed-torque", text: typedTorqueWords(t, torque) }),
      unnamed && remark({ name: "warning", text: unnamed, key: "unit-not-named" }));
    say(this.#stages, t("bolts.of-stages", { stage: stage + 1, stages }));
    say(this.#share, this.#stageWords(step));
    this.#face.update({ side: this.#row.wheel, order: steps.slice(0, steps.length / stages).map((each) => each.bolt),
      places: this.#places(steps), at: at % (steps.length / stages) });
    say(this.#next, at < steps.length ? t("bolts.next", { number: bolt }) : t("bolts.not-saved"));
    say(this.#press, t("bolts.press", { done: at, of: steps.length }));
    fill(this.#target, this.#stageLine, this.#next, this.#face.element, this.#press, this.#seen);
    const count = steps.length / stages;
    const mayRecount = this.#context.typing.at(this.#countKey) !== null && !this.#isPlaced
      && at <= steps.length - count;
    return fill(this.#foot, at > 0 && this.#undo,
      mayRecount && button({ key: "bolt-recount", label: t("bolts.not-so-many", { count }), kind: "quiet narrow",
        onPress: () => this.#recount() }));
  }

  /** The stage in figures: a share of the typed torque is said to be about that. */
  #stageWords({ torque, unit, angle_deg, stage, stages }) {
    const { t } = this.#context;
    if (torque === null) return t("fitting.torque.angle", { degrees: angle_deg });
    const figure = `${t.number(torque, 0, 3)} ${unit === "N·m" ? "N m" : "lbf ft"}`;
    const isTyped = stage === stages - (this.#torque.angle_deg === null ? 1 : 2);
    return t(isTyped ? "bolts.full" : "bolts.about", { torque: figure });
  }

  /** Where it was typed how the bolts sit, nobody is asked how many there are. */
  get #isPlaced() {
    return Boolean(boltsOf(this.#context.job.fold, this.#row.wheel)?.at);
  }

  /** Where nobody typed how the bolts sit, they stand evenly, from the top. */
  #places(steps) {
    const at = boltsOf(this.#context.job.fold, this.#row.wheel)?.at;
    const count = steps.length / steps[0].stages;
    return at ?? Array.from({ length: count }, (_, k) => [50, (k * 360) / count]);
  }

  /** What the entry says of it: who, in which order, to which torque. */
  #showRecord() {
    const { t, job } = this.#context;
    const [entry] = job.live(this.#row.slot);
    const record = entry?.body.bolts ?? null;
    fill(this.#foot);
    return fill(this.#head, remark({ name: "done",
      text: t("bolts.tightened", { by: entry?.by ?? "", touches: record?.length ?? 0 }), key: "bolts-tightened" }),
      takeBackButton(this.#context, this.#row));
  }

  async #touch() {
    const { t, typing } = this.#context;
    const now = performance.now();
    if (now - this.#touched < LEAST_BETWEEN_TOUCHES_MS) {
      this.#sayTooSoon(t("bolts.too-soon"));
      return;
    }
    this.#touched = now;
    this.#sayTooSoon("");
    const steps = this.#steps;
    const before = this.#done;
    const done = before.length < steps.length ? [...before, touchOf(steps[before.length])] : before;
    typing.write(this.#key, done);
    if (done.length < steps.length) {
      this.#show();
      if (before.length === 0) afterPaint(() => this.#bringWhole());
      return undefined;
    }
    if (!(await this.#context.save(this.#row, { body: tighteningRecord(done, this.#torque) }))) return this.#show();
    return this.#forget();
  }

  /** It stands for as long as a touch would still be too soon. */
  #sayTooSoon(words) {
    clearTimeout(this.#seenUntil);
    this.#soon.textContent = words;
    this.#seen.textContent = words;
    this.#seen.hidden = !words;
    this.#target.classList.toggle("too-soon", words !== "");
    if (words) this.#seenUntil = setTimeout(() => this.#sayTooSoon(""), LEAST_BETWEEN_TOUCHES_MS);
  }

  /** The number of bolts goes with the touches: with another number the order is another. */
  async #forget() {
    await this.#context.typing.drop(this.#key);
    await this.#context.typing.drop(this.#countKey);
    this.#count.update(null);
  }

  async #recount() {
    await this.#forget();
    this.#touched = -Infinity;
    this.#show();
    this.#count.input.focus({ preventScroll: true });
  }

  #back() {
    this.#context.typing.write(this.#key, this.#done.slice(0, -1));
    this.#touched = -Infinity;
    this.#show();
  }

  async #keepCount(number) {
    if (number && (number.number < COUNT[0] || number.number > COUNT[1])) return false;
    this.#context.typing.write(this.#countKey, number?.number ?? null);
    this.#show();
    return true;
  }
}
