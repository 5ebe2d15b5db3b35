/** A photo of this row, from camera or gallery. A hold of this kind is met by the photo itself. */

import { PhotoCapture } from "../../fields/photo-capture.js";

export class PhotoRow {
  #context;
  #capture;
  #count = null;

  constructor(context, row) {
    this.#context = context;
    const onLost = () => context.screen.reveal(row.slot); // it may be folded away or out of sight
    this.#capture = new PhotoCapture({ app: context.app, job: context.job, about: row.slot, onKept: () => {}, onLost });
    this.element = this.#capture.element;
    this.update(row);
  }

  update(row) {
    const { job } = this.#context;
    const count = job.photos(row.slot).length;
    if (count === this.#count) return;
    this.#count = count;
    this.#capture.update(job);
  }

  reveal() {
    this.element.querySelector("button").focus({ preventScroll: true });
  }
}
