/**
 * The camera within the program, with a guide for the photo of the fitted rings. A sharp picture is handed on at once;
 * blur and glare are said before, and the person keeps it all the same or takes it again. The camera runs only
 * while this is open and in front.
 */

import { glareShare, sharpness } from "../../domain/picture/quality.js";
import { LEAST_SHARPNESS, MOST_GLARE, WORKING_PX } from "../../domain/picture/picture-limits.js";
import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { svg } from "../parts/svg.js";
import { LONG_SIDE_PX } from "./photo-shrink.js";

/** As the camera itself gives it: a browser that fits the picture to a size cuts its edges off. */
const WANTED = {
  audio: false,
  video: {
    facingMode: { ideal: "environment" }, width: { ideal: 1920 }, height: { ideal: 1440 },
    resizeMode: { ideal: "none" },
  },
};
/** The guide's circle: its radius as a share of the picture's shorter side. */
const GUIDE_SHARE = 0.33;
const JPEG_QUALITY = 0.9; // kept smaller afterwards, as every photo is

/** Once refused, a page is refused until it is loaded anew: the phone's own camera opens by the first tap then. */
let isRefused = false;

/** @returns {Promise<boolean>} whether there is a camera that this page may ask for */
export async function hasCamera() {
  const devices = navigator.mediaDevices;
  if (isRefused || !devices?.getUserMedia || !devices.enumerateDevices) return false;
  const found = await devices.enumerateDevices().catch(() => []);
  return found.some(({ kind }) => kind === "videoinput");
}

export class WitnessCamera {
  #t;
  #onPicture;
  #onOwnCamera;
  #stream = null;
  #still = null;
  #video;
  #guide = svg("svg", { "class": "camera-guide", "aria-hidden": "true" });
  #said = element("div", { class: "stack camera-said", role: "status", key: "camera-said" });
  #buttons = element("div", { class: "row camera-buttons" });
  #stop = () => this.close();
  /** A picture that is taken and not decided on is kept: a phone that is locked may not come back. */
  #hide = () => {
    if (document.visibilityState !== "hidden") return;
    if (this.#still) this.#keep();
    else this.close();
  };

  /** @param {{t: function, onPicture: function(Blob): void, onOwnCamera: function(): void}} options */
  constructor({ t, onPicture, onOwnCamera }) {
    this.#t = t;
    this.#onPicture = onPicture;
    this.#onOwnCamera = onOwnCamera;
    this.#video = element("video", { playsinline: true, muted: true, key: "camera-video" });
    this.#video.muted = true; // the attribute alone does not, and with sound nothing plays by itself
    this.#video.addEventListener("loadedmetadata", () => this.#drawGuide());
    this.element = element("dialog",
      { class: "camera-dialog", key: "witness-camera", "aria-label": t("picture.camera.title") },
      element("p", { class: "camera-words", text: t("picture.camera.guide") }),
      element("div", { class: "camera-view" }, this.#video, this.#guide), this.#said, this.#buttons);
    this.element.addEventListener("close", () => this.#closed());
  }

  async open() {
    document.body.append(this.element);
    this.element.showModal();
    document.addEventListener("visibilitychange", this.#hide);
    for (const event of ["hashchange", "pagehide"]) window.addEventListener(event, this.#stop);
    this.#say(this.#t("picture.camera.waiting"));
    this.#offer();
    try {
      const stream = await navigator.mediaDevices.getUserMedia(WANTED);
      if (!this.element.open) return stopTracks(stream); // closed while the phone asked
      this.#stream = stream;
      this.#video.srcObject = stream;
      await this.#video.play();
      fill(this.#said);
      this.#offer();
    } catch (error) {
      if (!this.element.open) return undefined;
      isRefused ||= error.name === "NotAllowedError" || error.name === "SecurityError";
      this.#say(this.#t(isRefused ? "picture.camera.refused" : "picture.camera.failed"), "refused");
      this.#offer();
    }
    return undefined;
  }

  /** At once, for the phone's own camera may open next: the browser tells of a closed dialog only later. */
  close() {
    if (!this.element.open) return;
    this.element.close();
    this.#closed();
  }

  /** What may be tapped now: with a picture in the camera, with one that has a flaw, or without a camera. */
  #offer(hasFlaw = false) {
    const t = this.#t;
    const close = button({ key: "camera-close", label: t("picture.camera.close"), onPress: () => this.close() });
    const own = button({ key: "camera-own", label: t("picture.camera.own"), onPress: () => this.#leaveToOwn() });
    const take = button(
      { key: "camera-take", label: t("picture.camera.take"), kind: "primary", onPress: () => this.#take() });
    const keep = button({ key: "camera-keep", label: t("picture.keep"), onPress: () => this.#keep() });
    const again = button(
      { key: "camera-again", label: t("picture.again"), kind: "primary", onPress: () => this.#again() });
    fill(this.#buttons, hasFlaw ? [keep, again] : [close, own, this.#video.srcObject && take]);
  }

  #leaveToOwn() {
    this.close();
    this.#onOwnCamera();
  }

  async #take() {
    const { videoWidth, videoHeight } = this.#video;
    if (!videoWidth) return;
    const scale = Math.min(1, LONG_SIDE_PX / Math.max(videoWidth, videoHeight));
    const [width, height] = [videoWidth, videoHeight].map((side) => Math.round(side * scale));
    this.#still = Object.assign(element("canvas", { class: "camera-still" }), { width, height });
    this.#still.getContext("2d").drawImage(this.#video, 0, 0, width, height);
    this.#video.pause();
    const { blurred, glare } = flawsOf(this.#still);
    if (!blurred && !glare) return this.#keep();
    const flaws = [blurred && "blurred", glare && "glare"].filter(Boolean);
    fill(this.#said, flaws.map((flaw) =>
      remark({ name: "warning", text: this.#t(`picture.${flaw}`), key: `flaw-${flaw}` })));
    return this.#offer(true);
  }

  async #keep() {
    const still = this.#still;
    const picture = await new Promise((resolve) => still.toBlob(resolve, "image/jpeg", JPEG_QUALITY));
    if (!this.element.open) return;
    if (!picture) return this.#say(this.#t("picture.camera.failed"), "refused");
    this.close();
    this.#onPicture(picture);
  }

  async #again() {
    this.#dropStill();
    fill(this.#said);
    this.#offer();
    await this.#video.play().catch(() => this.#say(this.#t("picture.camera.failed"), "refused"));
  }

  /** The rim belongs on the circle. The line is painted, so no place of it is the top: the hub hangs turned. */
  #drawGuide() {
    const { videoWidth: width, videoHeight: height } = this.#video;
    this.#guide.setAttribute("viewBox", `0 0 ${width} ${height}`);
    const at = { cx: width / 2, cy: height / 2, r: GUIDE_SHARE * Math.min(width, height), fill: "none" };
    fill(this.#guide, svg("circle", { class: "guide-under", ...at }), svg("circle", { class: "guide-over", ...at }));
  }

  #say(text, shape = null) {
    fill(this.#said, shape ? remark({ name: shape, text, key: "camera-refused" }) : element("p", { text }));
  }

  #closed() {
    document.removeEventListener("visibilitychange", this.#hide);
    for (const event of ["hashchange", "pagehide"]) window.removeEventListener(event, this.#stop);
    if (this.#stream) stopTracks(this.#stream);
    this.#stream = null;
    this.#video.srcObject = null;
    this.#dropStill();
    this.element.remove();
  }

  /** A canvas without a size gives its memory back at once, which matters on small phones. */
  #dropStill() {
    if (this.#still) Object.assign(this.#still, { width: 0, height: 0 });
    this.#still = null;
  }
}

function stopTracks(stream) {
  for (const track of stream.getTracks()) track.stop();
}

/**
 * What a still is worth before it is kept: whether the rim in it is sharp and free of glare.
 * @param {HTMLCanvasElement} still
 * @returns {{blurred: boolean, glare: boolean}} as seen round the guide's circle
 */
function flawsOf(still) {
  const scale = Math.min(1, WORKING_PX / Math.max(still.width, still.height));
  const [width, height] = [still.width, still.height].map((side) => Math.max(1, Math.round(side * scale)));
  const small = Object.assign(document.createElement("canvas"), { width, height });
  const pen = small.getContext("2d", { willReadFrequently: true });
  pen.imageSmoothingQuality = "high";
  pen.drawImage(still, 0, 0, width, height);
  const values = luminanceOf(pen.getImageData(0, 0, width, height).data);
  small.width = 0; // its memory goes at once
  const picture = { values, width, height, rim: [width / 2, height / 2, GUIDE_SHARE * Math.min(width, height)] };
  return { blurred: sharpness(picture) < LEAST_SHARPNESS, glare: glareShare(picture) > MOST_GLARE };
}

/** ITU-R BT.601 in whole numbers. */
function luminanceOf(pixels) {
  const values = new Uint8Array(pixels.length / 4);
  for (let at = 0; at < values.length; at += 1) {
    values[at] = (77 * pixels[4 * at] + 150 * pixels[4 * at + 1] + 29 * pixels[4 * at + 2]) >> 8;
  }
  return values;
}
