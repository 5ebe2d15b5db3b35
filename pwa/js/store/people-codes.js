// Whether a short code is a person's: the twin of code_digest in server/people.py.

import { shortDigest } from "./photos.js";

/** @param {{id: string, code: string|null}} person as the shop told it */
export async function isCodeOf({ id, code }, typed) {
  return (await shortDigest(`${id}:${typed}`)) === code;
}
