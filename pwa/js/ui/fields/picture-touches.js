/**
 * Touches on a picture: a finger sets a cross, slides it slowly with what lies under it magnified, and lets go. One
 * touch after the other, each asked for by a line of words above; a keyboard moves the cross by its arrows. It knows no
 * rings.
 */

import { button, element, fill, say } from "../parts/element.js";
import { svg } from "../parts/svg.js";

/** The glass magnifies what is shown; the cross moves slower than the finger, which is wider than a mark. */
const GLASS = 5;
const GLASS_PX = 132;
const GLASS_SIDE = 2 * GLASS_PX; // fine enough for dense screens
const SLOWER = 4;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const FAST = 10; // with Shift
/** A picture that came under the finger just now takes no touch: it was meant for what stood there before. */
const SETTLED_MS = 700;

export class PictureTouches {
  #t;
  #image;
  #ask;
  #onTouch;
  #onBack;
  #onSkip;
  #onClose;
  #at = null; // [x, y] of the cross in pixels of the picture
  #finger = null;
  #isSettled = false;
  #marks = svg("svg", { "class": "touch-marks", "aria-hidden": "true" });
  #glass = element("canvas", { class: "touch-glass", hidden: true, width: GLASS_SIDE, height: GLASS_SIDE });
  #pane;
  #how;
  #asked = element("p", { class: "touch-asked", role: "status", key: "touch-asked" });
  #buttons = element("div", { class: "row touch-buttons" });

  /**
   * @param {{t: function, url: string, onTouch: function(number[]): void, onBack: function(): void,
   *   onSkip: function(): void, onClose: function(): void}} options onTouch gets [x, y] in pixels of the picture
   */
  constructor({ t, url, onTouch, onBack, onSkip, onClose }) {
    this.#t = t;
    this.#onTouch = onTouch;
    this.#onBack = onBack;
    this.#onSkip = onSkip;
    this.#onClose = onClose;
    this.#image = element("img",
      { class: "touch-picture", src: url, alt: "", draggable: "false", key: "touch-picture" });
    this.#pane = element("div", {
      "class": "touch-pane", "key": "touch-pane", "tabindex": "0", "role": "application",
      "aria-label": t("picture.touch.keys"),
      "on": {
        pointerdown: (event) => this.#down(event),
        pointermove: (event) => this.#move(event),
        pointerup: (event) => this.#up(event),
        pointercancel: () => this.#letGo(),
        keydown: (event) => this.#key(event),
      },
    }, this.#image, this.#marks, this.#glass);
    this.#how = element("p", { class: "row-method", text: t("picture.touch.how") });
    this.element = element("div", { class: "stack picture-touches" },
      this.#asked, this.#how, this.#pane, this.#buttons);
    this.#image.addEventListener("load", () => this.#draw(this.#ask?.touched ?? []));
    setTimeout(() => {
      this.#isSettled = true;
      this.#pane.classList.add("settled");
    }, SETTLED_MS);
  }

  /** @returns {Promise<number[]>} [width, height] of the picture */
  async size() {
    await this.#image.decode();
    return [this.#image.naturalWidth, this.#image.naturalHeight];
  }

  /**
   * @param {{words: string, touched: number[][], skip: string|null}} ask what to touch next, what was touched, the
   *   label of "not in view"
   */
  ask(ask) {
    this.#ask = ask;
    say(this.#asked, ask.words);
    this.#how.hidden = ask.touched.length > 1; // known by now
    fill(this.#buttons,
      ask.skip && button({ key: "touch-skip", label: ask.skip, onPress: () => this.#onSkip() }),
      ask.touched.length > 0
        && button({ key: "touch-back", label: this.#t("picture.back"), onPress: () => this.#onBack() }),
      button({ key: "touch-close", label: this.#t("picture.close"), kind: "quiet", onPress: () => this.#onClose() }));
    this.#draw(ask.touched);
  }

  focus() {
    this.#pane.focus({ preventScroll: true });
  }

  #down(event) {
    if (!event.isPrimary || event.button > 0 || !this.#isSettled) return;
    event.preventDefault(); // neither scrolling nor a drag of the picture
    this.#pane.setPointerCapture(event.pointerId);
    this.#pane.focus({ preventScroll: true });
    this.#finger = [event.clientX, event.clientY];
    this.#put(this.#under(event));
  }

  #move(event) {
    if (!this.#finger) return;
    const moved = [event.clientX - this.#finger[0], event.clientY - this.#finger[1]];
    this.#finger = [event.clientX, event.clientY];
    this.#put(this.#at.map((at, axis) => at + (moved[axis] / SLOWER) * this.#perPixel));
  }

  #up(event) {
    if (!this.#finger) return;
    this.#move(event);
    this.#set();
  }

  #key(event) {
    const way = ARROWS[event.key];
    if (way) {
      const step = this.#perPixel * (event.shiftKey ? FAST : 1);
      const from = this.#at ?? [this.#image.naturalWidth / 2, this.#image.naturalHeight / 2];
      this.#put(from.map((at, axis) => at + way[axis] * step));
    } else if (event.key === "Enter" && this.#at) {
      this.#set();
    } else {
      return;
    }
    event.preventDefault();
  }

  #set() {
    const at = this.#at.map((part) => Math.round(part * 10) / 10);
    this.#letGo();
    this.#onTouch(at);
  }

  #letGo() {
    this.#finger = null;
    this.#at = null;
    this.#glass.hidden = true;
    this.#draw(this.#ask?.touched ?? []);
  }

  /** Pixels of the picture that one of the screen is wide. */
  get #perPixel() {
    return this.#image.naturalWidth / Math.max(1, this.#image.clientWidth);
  }

  #under({ clientX, clientY }) {
    const box = this.#image.getBoundingClientRect();
    return [(clientX - box.left) * this.#perPixel, (clientY - box.top) * this.#perPixel];
  }

  #put([x, y]) {
    const { naturalWidth: width, naturalHeight: height } = this.#image;
    this.#at = [Math.min(Math.max(x, 0), width), Math.min(Math.max(y, 0), height)];
    this.#magnify();
    this.#draw(this.#ask?.touched ?? []);
  }

  /** The glass stands in the corner that is farthest from the finger. */
  #magnify() {
    const [x, y] = this.#at;
    const pen = this.#glass.getContext("2d");
    const side = this.#glass.width;
    const seen = (GLASS_PX / GLASS) * this.#perPixel;
    pen.fillStyle = "#000";
    pen.fillRect(0, 0, side, side);
    pen.drawImage(this.#image, x - seen / 2, y - seen / 2, seen, seen, 0, 0, side, side);
    for (const [colour, wide] of [["#000", 6], ["#fff", 2]]) cross(pen, side, colour, wide);
    this.#glass.hidden = false;
    this.#glass.classList.toggle("at-right", x < this.#image.naturalWidth / 2);
    this.#glass.classList.toggle("at-bottom", y < this.#image.naturalHeight / 2);
  }

  #draw(touched) {
    const { naturalWidth: width, naturalHeight: height } = this.#image;
    if (!width) return;
    const unit = this.#perPixel;
    this.#marks.setAttribute("viewBox", `0 0 ${width} ${height}`);
    const twice = (tag, shape) => ["touch-under", "touch-over"].map((name) => svg(tag, { class: name, ...shape }));
    const ring = ([x, y]) => twice("circle", { cx: x, cy: y, r: 7 * unit, fill: "none" });
    const arm = 12 * unit;
    const crossed = this.#at && twice("path",
      { d: `M${this.#at[0] - arm} ${this.#at[1]}h${2 * arm}M${this.#at[0]} ${this.#at[1] - arm}v${2 * arm}` });
    fill(this.#marks, touched.map(ring), crossed);
  }
}

function cross(pen, side, colour, wide) {
  const [middle, gap] = [side / 2, 7];
  pen.strokeStyle = colour;
  pen.lineWidth = wide;
  pen.beginPath();
  for (const [from, to] of [[0, middle - gap], [middle + gap, side]]) {
    pen.moveTo(from, middle);
    pen.lineTo(to, middle);
    pen.moveTo(middle, from);
    pen.lineTo(middle, to);
  }
  pen.stroke();
}
