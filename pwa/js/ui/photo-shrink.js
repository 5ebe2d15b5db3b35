/**
 * Makes a phone's picture small enough to keep and send, decoding straight to the target size, because a full-size
 * canvas silently comes out black on some phones. Whatever goes wrong, the original bytes are kept instead.
 */

const LONG_SIDE_PX = 1600;
const JPEG_QUALITY = 0.8;
const PROBE_PX = 32;
/** Below this difference between the brightest and darkest channel value the picture holds nothing. */
const FLAT_SPREAD = 3;

/**
 * @param {ArrayBuffer} bytes the file as it came
 * @param {string} mime as the phone says, may be empty
 * @returns {Promise<{bytes: ArrayBuffer, mime: string, width: number, height: number, original: boolean}>}
 *   width and height are 0 where the picture could not be decoded here
 */
export async function shrinkPhoto(bytes, mime) {
  const blob = new Blob([bytes], { type: mime });
  try {
    const small = await drawSmall(blob);
    return { ...small, original: false };
  } catch {
    const size = await sizeOf(blob).catch(() => ({ width: 0, height: 0 }));
    return { bytes, mime: mimeOf(bytes, mime), ...size, original: true };
  }
}

async function drawSmall(blob) {
  const full = await createImageBitmap(blob, { imageOrientation: "from-image" });
  const { width, height } = fitted(full.width, full.height);
  const picture = await resized(blob, full, width, height);
  const canvas = canvasOf(width, height);
  const pen = canvas.getContext("2d");
  pen.drawImage(picture, 0, 0, width, height);
  full.close();
  if (isFlat(pen.getImageData(0, 0, width, height).data) && !isFlat(await probe(blob))) throw new Error("drawn empty");
  const small = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", JPEG_QUALITY));
  const bytes = await small?.arrayBuffer();
  if (!bytes || bytes.byteLength === 0) throw new Error("encoded to nothing");
  return { bytes, mime: "image/jpeg", width, height };
}

/** The decoder's own resize where there is one; else the canvas scales. */
async function resized(blob, full, width, height) {
  if (full.width === width) return full;
  try {
    return await createImageBitmap(blob, { imageOrientation: "from-image", resizeWidth: width, resizeHeight: height, resizeQuality: "high" });
  } catch {
    return full;
  }
}

async function probe(blob) {
  const canvas = canvasOf(PROBE_PX, PROBE_PX);
  const pen = canvas.getContext("2d");
  pen.drawImage(await createImageBitmap(blob, { resizeWidth: PROBE_PX, resizeHeight: PROBE_PX }), 0, 0, PROBE_PX, PROBE_PX);
  return pen.getImageData(0, 0, PROBE_PX, PROBE_PX).data;
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

function fitted(width, height) {
  const scale = Math.min(1, LONG_SIDE_PX / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

async function sizeOf(blob) {
  const { width, height } = await createImageBitmap(blob);
  return { width, height };
}

function canvasOf(width, height) {
  return Object.assign(document.createElement("canvas"), { width, height });
}

/** The type by the first bytes, since a phone may say nothing: JPEG, PNG or HEIC. */
function mimeOf(bytes, said) {
  const head = new Uint8Array(bytes.slice(0, 12));
  if (head[0] === 0xff && head[1] === 0xd8) return "image/jpeg";
  if (head[0] === 0x89 && head[1] === 0x50) return "image/png";
  return String.fromCharCode(...head.slice(4, 8)) === "ftyp" ? "image/heic" : said;
}
