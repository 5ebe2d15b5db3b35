/** What a still of the camera is worth before it is kept: whether the rim in it is sharp and free of glare. */

import { glareShare, sharpness } from "../../domain/picture/quality.js";
import { LEAST_SHARPNESS, MOST_GLARE, WORKING_PX } from "../../domain/picture/picture-limits.js";

/** The guide's circle: its radius as a share of the picture's shorter side. */
export const GUIDE_SHARE = 0.33;

/**
 * @param {HTMLCanvasElement} still
 * @returns {{blurred: boolean, glare: boolean}} as seen round the guide's circle
 */
export function flawsOf(still) {
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
