// Makes the random names of entries, jobs and devices. Randomness is handed in, so that tests can repeat it.

const UUID4 = /^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;

/** Gives `count` random bytes from the browser. */
export function randomBytes(count) {
  return crypto.getRandomValues(new Uint8Array(count));
}

/** Returns a random UUID (RFC 9562 version 4). `random(count)` gives that many random bytes. */
export function uuid4(random = randomBytes) {
  const bytes = Uint8Array.from(random(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** Tells whether the text is a UUID of version 4 in lower case. */
export function isUuid4(text) {
  return typeof text === "string" && UUID4.test(text);
}
