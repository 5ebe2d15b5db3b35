/**
 * Camera and gallery. A fresh input for every shot, because a used one can be dead after the camera was cancelled;
 * the marker "a photo is awaited here" is stored before the camera opens, because opening it can kill the page.
 */

import { KIND } from "../../domain/job/entry.js";
import { sha256Hex } from "../../store/photos.js";
import { loadPhoto } from "../../sync/photos.js";
import { button, element, fill } from "../parts/element.js";
import { errorText } from "../parts/error-text.js";
import { remark } from "../parts/signal.js";
import { pictureType, shrinkPhoto } from "./photo-shrink.js";

/** Names the setting that says which job and step await a photo. */
const AWAITED = "awaited-photo";

export class PhotoCapture {
  #app;
  #job;
  #about;
  #onKept;
  #onLost;
  #ownCamera;
  #state = element("div", { role: "status", class: "stack", key: "photo-state" });
  #shots = element("ul", { class: "photos" });
  #urls = [];
  #input = null;

  /**
   * @param {{app: App, job: Job, about: string, onKept: function(): void, onLost?: function(): void,
   *   ownCamera?: function(): Promise<boolean>}} options about = the slot of the row; onLost: a photo was awaited here
   *   and never came, which the page now says; ownCamera: opens a camera within the program, false where there is none
   *   and the phone's own is wanted
   */
  constructor({ app, job, about, onKept, onLost = () => {}, ownCamera = async () => false }) {
    this.#app = app;
    this.#job = job;
    this.#about = about;
    this.#onKept = onKept;
    this.#onLost = onLost;
    this.#ownCamera = ownCamera;
    const { t } = app;
    this.element = element("div", { class: "stack" },
      element("div", { class: "row" },
        button({ key: "camera", label: t("ui.photo.camera"), onPress: () => this.#askCamera() }),
        button({ key: "gallery", label: t("ui.photo.gallery"), onPress: () => this.ask(false) })),
      this.#state, this.#shots);
  }

  /** Shows the pictures kept so far, and whether one was awaited and never came. */
  async update(job) {
    this.#job = job;
    const photos = job.photos(this.#about);
    this.#urls.forEach((url) => URL.revokeObjectURL(url));
    this.#urls = [];
    fill(this.#shots, await Promise.all(photos.map((entry) => this.#shot(entry))));
    const awaited = await this.#app.phone.setting(AWAITED);
    const lost = awaited && awaited.job === job.id && awaited.about === this.#about && !this.#input;
    if (lost) {
      fill(this.#state, remark({ name: "warning", text: this.#app.t("ui.photo.did-not-arrive"), key: "photo-lost" }));
      this.#onLost();
      await this.#app.phone.setSetting(AWAITED, null);
    }
  }

  /** Takes a file of the gallery or the camera; public so that a test can hand one in. */
  async take(file) {
    const { t } = this.#app;
    try {
      const bytes = await file.arrayBuffer(); // first of all: the file can go stale after any other wait
      fill(this.#state, element("p", { text: t("ui.photo.working") }));
      if (bytes.byteLength === 0) return this.#refuse(t("error.photo-empty"));
      if (!pictureType(bytes)) return this.#refuse(t("error.photo-not-a-picture"));
      const photo = await shrinkPhoto(bytes, file.type);
      return await this.#keep(photo);
    } catch (error) {
      return this.#refuse(errorText(t, error));
    } finally {
      await this.#app.phone.setSetting(AWAITED, null).catch(() => {});
    }
  }

  async #askCamera() {
    if (!(await this.#ownCamera().catch(() => false))) await this.ask(true);
  }

  /** Opens the phone's own camera, or the gallery. */
  async ask(camera) {
    const input = element("input", {
      type: "file", accept: "image/jpeg,image/png,image/heic,image/heif", capture: camera ? "environment" : null,
      class: "hidden-text", key: "photo-file", "aria-label": this.#app.t("ui.photo.file"), tabindex: "-1",
    });
    this.#input?.remove();
    this.#input = input;
    input.addEventListener("change", () => this.#came(input));
    input.addEventListener("cancel", () => this.#cancelled(input));
    this.element.append(input);
    await this.#app.phone.setSetting(AWAITED, { job: this.#job.id, about: this.#about }).catch(() => {});
    input.click();
  }

  async #came(input) {
    const [file] = input.files;
    if (file) await this.take(file);
    this.#drop(input);
  }

  async #cancelled(input) {
    this.#drop(input);
    await this.#app.phone.setSetting(AWAITED, null).catch(() => {});
  }

  #drop(input) {
    input.remove();
    if (this.#input === input) this.#input = null;
  }

  async #keep({ bytes, mime, width, height }) {
    const sha256 = await sha256Hex(bytes);
    const photo = { sha256, mime, bytes: bytes.byteLength, width, height, about: this.#about, caption: "" };
    const row = this.#job.row?.(this.#about);
    const body = row ? this.#job.entryBody(row, KIND.PHOTO_ATTACHED, photo) : photo;
    const saved = await this.#app.save({ job: this.#job.id, kind: KIND.PHOTO_ATTACHED, slot: null, body,
      photo: { bytes, mime, sha256 } });
    fill(this.#state, saved && element("p", { text: this.#app.t("ui.photo.kept") }));
    if (saved) this.#onKept();
  }

  #refuse(message) {
    fill(this.#state, remark({ name: "refused", text: message, key: "photo-refused" }));
  }

  async #shot(entry) {
    const { t, phone } = this.#app;
    const photo = await loadPhoto(phone, entry.body.sha256);
    if (!photo) return element("li", { text: t("ui.photo.elsewhere"), class: "photo-elsewhere" });
    const url = URL.createObjectURL(new Blob([photo.bytes], { type: photo.mime }));
    this.#urls.push(url);
    return element("li", {}, element("img",
      { src: url, alt: t("ui.photo.alt", { by: entry.by }), key: `photo-${entry.body.sha256}` }));
  }
}
