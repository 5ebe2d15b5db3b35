/** What a VIN's characters and its check digit say, in words. A VIN is optional, so nothing here refuses it. */

import { readVin } from "../../domain/job/vin.js";
import { errorText } from "../parts/error-text.js";

/** @returns {{shape: string, text: string}|null} null for an empty field */
export function vinRemark(t, typed) {
  if (typed.trim() === "") return null;
  try {
    const { checkDigit } = readVin(typed);
    return { shape: { right: "done", wrong: "warning", none: "open" }[checkDigit], text: t(`ui.vin.${checkDigit}`) };
  } catch (error) {
    return { shape: "warning", text: errorText(t, error) };
  }
}
