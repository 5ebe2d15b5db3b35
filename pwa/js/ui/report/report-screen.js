/**
 * The report of a job on the screen, as it will be on paper; shared by the phone's own share sheet, printed, or saved.
 */

import { windowsAt } from "../../domain/job/job.js";
import { reportOf } from "../../domain/job/report.js";
import { readingOf } from "../../domain/job/picture-reading.js";
import { lastCheck } from "../../domain/job/rounds.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { loadPhoto } from "../../sync/photos.js";
import { SHOP } from "../../store/names.js";
import { element, fill } from "../parts/element.js";
import { fittedSets } from "./fitted-sets.js";
import { reportFile } from "./report-file.js";
import { reportPage } from "./report-page.js";
import { pictureWords } from "../words/picture-words.js";
import { aboutWords } from "../words/row-words.js";
import { tiltMapModel } from "../drawings/tilt-map-model.js";
import { TiltMap } from "../drawings/tilt-map.js";

export class ReportScreen {
  #app;
  #route;
  #job;
  #shown = null;
  #photos = new Map();
  #file = null;

  constructor(app, route) {
    this.#app = app;
    this.#route = route;
    this.element = element("div", { class: "report-screen" });
  }

  async update() {
    const job = (this.#job = await this.#app.job(this.#route.job));
    if (this.#shown === job.entries.length) return;
    this.#shown = job.entries.length;
    for (const url of this.#photos.keys()) URL.revokeObjectURL(url);
    this.#photos.clear();
    const report = reportOf(job);
    const setOf = await fittedSets(this.#app.phone, report.fitted);
    const photos = await this.#pictures(report.photos);
    const earlier = [];
    for (const each of report.earlier) earlier.push({ round: each.round, photos: await this.#pictures(each.photos) });
    const page = reportPage({ app: this.#app, report, setOf, shop: (await this.#app.phone.setting(SHOP))?.name ?? "",
      maps: this.#maps(report, setOf), photos, earlier });
    fill(this.element, page);
    this.#file = await reportFile(page, this.#title(), this.#photos);
  }

  frame() {
    const { t } = this.#app;
    const back = () => this.#app.go({ screen: "sheet", job: this.#route.job, sheet: null });
    const print = { key: "print", label: t("report.print"), press: () => window.print() };
    const save = { key: "save-file", label: t("report.save"), press: () => this.#save() };
    const canShare = Boolean(this.#file && navigator.canShare?.({ files: [this.#file] }));
    return {
      name: this.#job?.registration || t("ui.job.no-registration"), place: t("report.title"), back,
      primary: canShare ? { key: "share", label: t("report.share"), press: () => this.#share() } : print,
      more: canShare ? [print, save] : [save],
    };
  }

  #title() {
    return this.#app.t("report.file-title",
      { registration: this.#job.registration, date: this.#job.entries.at(-1).at.slice(0, 10) });
  }

  /**
   * The plot alone, from the first base reading to the last check: on paper there is nothing to tap, so no dots either.
   */
  #maps({ rounds, fitted: now }, setOf) {
    const { fold } = this.#job;
    if (rounds.length === 0) return [];
    const after = lastCheck(fold);
    const [{ base }] = rounds;
    return SIDES.map((side) => {
      const { body } = rounds.find((each) => each.round === now[side]?.round) ?? rounds.at(-1);
      const fitted = body.plan[side];
      const set = fitted && setOf({ ...fitted, table: body.tables?.[fitted.ring_set] });
      const map = new TiltMap({ t: this.#app.t });
      map.update(tiltMapModel({
        side, base: [base[side].camber, base[side].toe], window: windowsAt(fold, side), plan: body.plan,
        spread: body.input.spread,
        ringSetOf: () => set?.ring_set, tables: [], check: after && [after[side].camber, after[side].toe],
      }));
      return element("figure", {}, map.element.querySelector(".tilt-map"),
        element("figcaption", { text: this.#app.t("map.title", { side: this.#app.t(`drawing.side.${side}`) }) }));
    });
  }

  async #pictures(entries) {
    const shown = [];
    for (const { id, body } of entries) {
      const photo = await loadPhoto(this.#app.phone, body.sha256).catch(() => null);
      const url = photo && URL.createObjectURL(new Blob([photo.bytes], { type: photo.mime }));
      if (url) this.#photos.set(url, photo);
      const { t } = this.#app;
      const read = readingOf(this.#job.fold, { id, body });
      shown.push({ url, about: aboutWords(t, this.#job, body.about), read: read ? pictureWords(t, read) : [] });
    }
    return shown;
  }

  async #share() {
    try {
      await navigator.share({ files: [this.#file], title: this.#title() });
    } catch (error) {
      if (error.name !== "AbortError") this.#app.say(this.#app.t("report.share.failed"));
    }
  }

  #save() {
    const url = URL.createObjectURL(this.#file);
    element("a", { href: url, download: this.#file.name }).click();
    setTimeout(() => URL.revokeObjectURL(url), 1000); // the download has begun by then
    this.#app.say(this.#app.t("report.saved"));
  }
}
