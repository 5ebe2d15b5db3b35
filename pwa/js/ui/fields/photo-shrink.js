/**
 * Makes a phone's picture small enough to keep and send, decoding straight to the target size, because a full-size
 * canvas silently comes out black on some phones. Whatever goes wrong, the original bytes are kept instead. It also
 * tells a picture from any other file, by its first bytes.
 */

export const LONG_SIDE_PX = 1600;
const JPEG_QUALITY = 0.8;
/** Below this difference between the brightest and darkest channel value the picture holds nothing. */
const FLAT_SPREAD = 3;
/**
 * ITU-T T.81 (start of image, then a marker); PNG specification 5.2; ISO/IEC 23008-12 (brands of HEIF with HEVC
 * pictures).
 */
const JPEG_START = "\xff\xd8\xff";
const PNG_START = "\x89PNG\r\n\x1a\n";
const HEIC_BRANDS = ["heic", "heix", "heim", "heis", "hevc", "hevx", "hevm", "hevs", "mif1", "msf1"];

/**
 * @param {ArrayBuffer} bytes the file as it came
 * @param {string} mime as the phone says, may be empty
 * @returns {Promise<{bytes: ArrayBuffer, mime: string, width: number, height: number, original: boolean}>}
 *   width and height are 0 where the picture could not be decoded here
 */
export async function shrinkPhoto(bytes, mime) {
  const blob = new Blob([bytes], { type: mime });
  let size = { width: 0, height: 0 };
  try {
    const image = await imageOf(blob);
    size = { width: image.naturalWidth, height: image.naturalHeight };
    const small = await drawnSmall(blob, image, fitted(size));
    return { ...small, original: false };
  } catch {
    return { bytes, mime: pictureType(bytes) ?? mime, ...size, original: true };
  }
}

/** The picture with its size, turned as its file says; it is not decoded yet. */
async function imageOf(blob) {
  const url = URL.createObjectURL(blob);
  try {
    const image = new Image();
    await new Promise((resolve, reject) => Object.assign(image, { onload: resolve, onerror: reject, src: url }));
    return image;
  } finally {
    URL.revokeObjectURL(url); // what is loaded stays
  }
}

/** Draws by the decoder's own resize, or else by the canvas. A canvas that holds nothing is not believed. */
async function drawnSmall(blob, image, { width, height }) {
  const options = { imageOrientation: "from-image", resizeWidth: width, resizeHeight: height, resizeQuality: "high" };
  for (const source of [() => createImageBitmap(blob, options), () => image]) {
    const picture = await Promise.resolve().then(source).catch(() => null);
    const canvas = picture && drawn(picture, width, height);
    if (canvas) return { bytes: await jpegOf(canvas), mime: "image/jpeg", width, height };
  }
  throw new Error("drawn empty");
}

function drawn(picture, width, height) {
  const canvas = Object.assign(document.createElement("canvas"), { width, height });
  const pen = canvas.getContext("2d");
  pen.imageSmoothingQuality = "high";
  pen.drawImage(picture, 0, 0, width, height);
  return isFlat(pen.getImageData(0, 0, width, height).data) ? null : canvas;
}

async function jpegOf(canvas) {
  const small = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", JPEG_QUALITY));
  if (!small || small.size === 0) throw new Error("encoded to nothing");
  return small.arrayBuffer();
}

function isFlat(pixels) {
  let low = 255;
  let high = 0;
  for (let at = 0; at < pixels.length; at += 1) {
    if (at % 4 === 3) continue;
    low = Math.min(low, pixels[at]);
    high = Math.max(high, pixels[at]);
  }
  return high - low < FLAT_SPREAD;
}

function fitted({ width, height }) {
  const scale = Math.min(1, LONG_SIDE_PX / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

/**
 * What a file is by its first bytes: a phone may say nothing, and a name or a said type may be wrong.
 * @param {ArrayBuffer} bytes
 * @returns {"image/jpeg"|"image/png"|"image/heic"|null} null: none of the three
 */
export function pictureType(bytes) {
  const head = String.fromCharCode(...new Uint8Array(bytes.slice(0, 12)));
  if (head.startsWith(JPEG_START)) return "image/jpeg";
  if (head.startsWith(PNG_START)) return "image/png";
  return head.slice(4, 8) === "ftyp" && HEIC_BRANDS.includes(head.slice(8, 12)) ? "image/heic" : null;
}
