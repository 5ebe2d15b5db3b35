/**
 * Under the photo of the fitted rings: what was read off it, and the way to read it. Where it was taken from, then five
 * touches; the last one saves. It is asked of nobody and holds nothing. What is touched does not depend on the plan,
 * which stands beside the picture.
 */

import { isOfPlanNow, pictureSlot, readingOf } from "../../domain/job/picture-reading.js";
import { VIEWS } from "../../domain/picture/picture-limits.js";
import { marksToTouch, readPicture } from "../../domain/picture/read-picture.js";
import { boltsOf } from "../../domain/job/fit-request.js";
import { patternTurns } from "../../domain/rings/bolt-pattern.js";
import { swapFreely } from "../../domain/rings/rings.js";
import { loadPhoto } from "../../sync/photos.js";
import { RingStrip } from "../drawings/ring-strip.js";
import { PictureTouches } from "../fields/picture-touches.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { pictureWords } from "../words/picture-words.js";
import { ringSetOf } from "./bench-rings.js";

const RING_SEEN = { outside: "outer", behind: "inner" }; // the nearer ring covers the other
const SHAPES = { "agrees": "suits", "differs": "warning", "cannot-tell": "unknown" };

export class PicturePanel {
  #context;
  #row;
  #open = null; // {photo, url, view, touches} of the picture that is being read
  #dialog;

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    this.element = element("div", { class: "stack picture-panel", key: "picture-panel" });
    this.#dialog = element("dialog",
      { class: "picture-dialog", key: "picture-dialog", "aria-label": context.t("picture.read") });
    this.#dialog.addEventListener("close", () => this.#shut()); // also by Escape, or the phone's own way back
  }

  update(row) {
    this.#row = row;
    this.#draw();
  }

  get #photos() {
    return this.#context.job.photos(this.#row.slot);
  }

  #draw() {
    const { t, job } = this.#context;
    const photos = this.#photos;
    fill(this.element, photos.map((photo, n) => {
      const read = readingOf(job.fold, photo);
      return element("div", { class: "stack picture-read", key: `picture-${n + 1}` },
        photos.length > 1 && element("p", { class: "soft", text: t("picture.number", { number: n + 1 }) }),
        read && this.#said(photo, read),
        element("div", { class: "row" }, button({
          key: `picture-read-${n + 1}`, label: t(read ? "picture.read.again" : "picture.read"),
          kind: read ? "quiet" : "plain", onPress: () => this.#begin(photo),
        })),
        !read && element("p", { class: "row-method", text: t("picture.read.what") }));
    }));
  }

  #said(photo, read) {
    const { t, job } = this.#context;
    if (!isOfPlanNow(job.fold, photo, read)) {
      return remark({ name: "unknown", text: t("picture.earlier-plan"), key: "picture-earlier" });
    }
    const [found, ...rest] = pictureWords(t, read);
    return element("div", { role: "status" },
      remark({ name: SHAPES[read.said.verdict], text: found, key: `picture-${read.said.verdict}` }),
      rest.map((text) => element("p", { text })));
  }

  async #begin(photo) {
    const { app, job } = this.#context;
    const body = job.planned(this.#row.round);
    const fitted = body?.plan[this.#row.wheel];
    const bytes = await loadPhoto(app.phone, photo.body.sha256).catch(() => null);
    const ringSet = fitted && (await ringSetOf(app, body, fitted));
    if (!bytes) return this.#cannot("picture.away");
    if (!ringSet) return this.#cannot("picture.no-ring-set");
    const url = URL.createObjectURL(new Blob([bytes.bytes], { type: bytes.mime }));
    this.#open = { photo, url, ringSet, pair: fitted.pair };
    document.body.append(this.#dialog);
    window.addEventListener("hashchange", this.#leave);
    this.#askView();
    return this.#dialog.showModal();
  }

  #cannot(key) {
    this.element.append(remark({ name: "unknown", text: this.#context.t(key), key: "picture-cannot" }));
  }

  #askView() {
    const { t } = this.#context;
    const options = VIEWS.map((view) => button({
      key: `view-${view}`, label: t(`picture.view.${view}`), onPress: () => this.#touch(view),
      detail: element("span", { class: "detail", text: t(`picture.view.${view}.ring`) }),
    }));
    fill(this.#dialog, element("p", { class: "touch-asked", text: t("picture.view") }),
      element("div", { class: "picture-views" }, options),
      button({ key: "touch-close", label: t("picture.close"), kind: "quiet", onPress: () => this.#dialog.close() }));
  }

  async #touch(view) {
    const { t } = this.#context;
    const open = this.#open;
    const { ringSet, pair } = open;
    const strip = new RingStrip({ t });
    strip.update({ side: this.#row.wheel, ringSet, pair });
    const quarters = marksToTouch(ringSet[RING_SEEN[view]]).filter((marks) => marks.length > 0);
    Object.assign(open, { view, line: null, quarters, done: [], skipped: quarters.map(() => 0) });
    open.touches = new PictureTouches({
      t, url: open.url, onTouch: (at) => this.#touched(at), onBack: () => this.#back(), onSkip: () => this.#skip(),
      onClose: () => this.#dialog.close(),
    });
    fill(this.#dialog, open.touches.element,
      element("div", { class: "picture-planned" }, element("p", { class: "cells-title", text: t("picture.planned") }),
        strip.element.querySelector(".rim-strip")));
    this.#ask();
    open.touches.focus();
    open.size = await open.touches.size().catch(() => null);
    if (open.size || this.#open !== open) return;
    this.#dialog.close();
    this.#cannot("picture.away");
  }

  /** The line first, then a number in each quarter of the ring; one quarter may be out of view. */
  #ask() {
    const { t } = this.#context;
    const { line, done, quarters, touches } = this.#open;
    const of = 1 + quarters.length;
    const touched = [line, ...done.map((touch) => touch && touch.slice(1))].filter(Boolean);
    if (!line) return touches.ask({ words: t("picture.touch.line", { step: 1, of }), touched, skip: null });
    const mark = this.#mark;
    const words = t("picture.touch.mark", { step: done.length + 2, of, mark });
    return touches.ask({ words, touched, skip: t("picture.not-in-view", { mark }) });
  }

  get #mark() {
    const { done, quarters, skipped } = this.#open;
    return quarters[done.length][skipped[done.length]];
  }

  #touched(at) {
    const open = this.#open;
    if (!open.size) return undefined; // the picture is not decoded yet
    if (!open.line) open.line = at;
    else open.done.push([this.#mark, ...at]);
    return this.#next();
  }

  #skip() {
    const open = this.#open;
    const quarter = open.done.length;
    open.skipped[quarter] += 1;
    if (open.skipped[quarter] < open.quarters[quarter].length) return this.#ask();
    open.done.push(null);
    return this.#next();
  }

  #back() {
    const open = this.#open;
    while (open.done.length > 0 && open.done.at(-1) === null) open.done.pop();
    if (open.done.length > 0) open.done.pop();
    else open.line = null;
    open.skipped.fill(0, open.done.length);
    this.#ask();
  }

  #next() {
    const { done, quarters } = this.#open;
    if (done.length < quarters.length) return this.#ask();
    return this.#finish();
  }

  async #finish() {
    const { job, save } = this.#context;
    const { photo, view, line, done, size, ringSet, pair } = this.#open;
    const { round, wheel } = this.#row;
    const marks = done.filter(Boolean);
    this.#dialog.close();
    if (marks.length < 3) return this.#cannot("picture.few");
    const ring = RING_SEEN[view];
    const own = pair[ring === "inner" ? 0 : 1];
    const planned = swapFreely(ringSet) ? [...new Set([own, ...pair])] : [own];
    const turns = patternTurns(boltsOf(job.fold, wheel)?.at ?? []);
    const said = readPicture({ ring: ringSet[ring], wheel, from: view, size, line, marks, planned, turns });
    const [plan] = job.live(`round.${round}.plan`);
    const read = { photo: photo.id, plan: plan?.id ?? "", ring, from: view, size, line, marks, planned, turns, said };
    const body = { value: { picture_read: read }, plan: read.plan };
    await save({ slot: pictureSlot(photo.body.about, photo.id) }, { body });
    return this.#draw();
  }

  #leave = () => this.#dialog.close();

  #shut() {
    window.removeEventListener("hashchange", this.#leave);
    if (this.#open) URL.revokeObjectURL(this.#open.url);
    this.#open = null;
    fill(this.#dialog);
    this.#dialog.remove();
  }
}
