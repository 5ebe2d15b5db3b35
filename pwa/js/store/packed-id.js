// Ids and digests as bytes, where there are many of them: a browser writes each character of a key in two bytes, and a
// key of an index twice. 20,000 fittings took 18 MB under their texts, and take 7 so.

const HEX = /^[0-9a-f]{32}$/;
const UUID = /^([0-9a-f]{8})-([0-9a-f]{4})-([0-9a-f]{4})-([0-9a-f]{4})-([0-9a-f]{12})$/;

/** @param {string} id a UUID or 32 hex digits, in lower case; anything else stays a text */
export function packedId(id) {
  const hex = HEX.test(id) ? id : UUID.exec(id)?.slice(1).join("");
  return hex ? Uint8Array.from(hex.match(/../g), (byte) => parseInt(byte, 16)) : id;
}

/** @returns {string} the UUID that was packed, or the text that stayed one */
export function unpackedId(packed) {
  if (typeof packed === "string") return packed;
  const hex = Array.from(new Uint8Array(packed.buffer ?? packed), (byte) => byte.toString(16).padStart(2, "0"))
    .join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}
