/**
 * A photo of this row, from camera or gallery. A hold of this kind is met by the photo itself. That of the fitted rings
 * has a camera of its own, with a guide, and can be read; both come when they are wanted.
 */

import { PhotoCapture } from "../../fields/photo-capture.js";
import { element } from "../../parts/element.js";

const WITNESS = "fit.witness-line";

export class PhotoRow {
  #context;
  #capture;
  #row;
  #panel = null;
  #count = null;

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const onLost = () => context.screen.reveal(row.slot); // it may be folded away or out of sight
    const ownCamera = row.id === WITNESS ? () => this.#openCamera() : undefined;
    const { app, job } = context;
    this.#capture = new PhotoCapture({ app, job, about: row.slot, onKept: () => {}, onLost, ownCamera });
    const own = this.#capture.element;
    this.element = row.id === WITNESS ? element("div", { class: "stack" }, own) : own;
    this.update(row);
  }

  update(row) {
    this.#row = row;
    const { job } = this.#context;
    const count = job.photos(row.slot).length;
    if (this.#panel) this.#panel.update(row);
    else if (row.id === WITNESS && count > 0) this.#bringPanel();
    if (count === this.#count) return;
    this.#count = count;
    this.#capture.update(job);
  }

  reveal() {
    this.element.querySelector("button").focus({ preventScroll: true });
  }

  async #bringPanel() {
    const { PicturePanel } = await import("../picture-panel.js");
    if (!this.#panel) {
      this.#panel = new PicturePanel(this.#context, this.#row);
      this.element.append(this.#panel.element);
    }
    this.#panel.update(this.#row);
  }

  async #openCamera() {
    const { WitnessCamera, hasCamera } = await import("../../fields/witness-camera.js");
    if (!(await hasCamera())) return false;
    const camera = new WitnessCamera({
      t: this.#context.t,
      onPicture: (picture) => this.#capture.take(picture),
      onOwnCamera: () => this.#capture.ask(true),
    });
    camera.open(); // what becomes of it, it says itself
    return true;
  }
}
