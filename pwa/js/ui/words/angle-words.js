/**
 * Angles in words: the number without a sign, then which way. One line has one unit, the technician's own: the angle,
 * what it lacks and how far it is outside. What was typed is said as it was typed, and the echo in degrees, so that
 * nobody has to believe a conversion. Rounding is the domain's; nothing here computes.
 */

import { angleWords } from "../../domain/numbers/angle.js";
import { beyond } from "../../domain/numbers/window.js";
import { decimalMark, minutesTyped, textFromMdeg } from "../../domain/numbers/units.js";
import { isLength, signWordOf } from "../../domain/numbers/quantities.js";

const DEGREES = { unit: "deg", diameterMm: null };
const LEAST_SHOWN = { "deg": "0.001", "deg-min": "0°01'", "mm": "0.01", "inch": "0.001" };

export class AngleWords {
  #t;
  #locale;
  #displayOf;

  /**
   * @param {{t: function, locale: string, displayOf: function(string): {unit: string, diameterMm: number|null}}}
   *   options displayOf gives the unit in which a quantity is to be shown
   */
  constructor({ t, locale, displayOf }) {
    this.#t = t;
    this.#locale = locale;
    this.#displayOf = displayOf;
  }

  /** "0.33° toe‑in", "1.64° top in", "0.18° to the right"; zero goes no way. Hundredths, but never a false zero. */
  say(quantity, mdeg) {
    return this.#said(quantity, mdeg, readable, this.#displayOf(quantity));
  }

  #said(quantity, mdeg, sized, display) {
    const number = this.#number(mdeg, sized, display);
    return mdeg === 0 ? number : this.#t("ui.angle", { number, way: this.#way(quantity, mdeg) });
  }

  /**
   * What is made of a typed angle, before it is kept, in degrees: "0.42 degrees in, typed as 25.2 minutes: outside by
   * 0.22°, ...".
   * @param {[number, number]|null} limits to judge by
   */
  echo(quantity, { mdeg, text, unit, diameter_mm: diameter }, limits) {
    const { key, params } = angleWords(mdeg, quantity, this.#locale);
    const degrees = this.#t(key, params);
    const spelled = unit === "deg-min" ? this.#t("ui.echo.typed", { spelled: degrees, typed: this.#minutes(text) })
      : diameter ? this.#t("ui.echo.length", { spelled: degrees, diameter }) : degrees;
    const judged = this.judge(quantity, mdeg, limits, DEGREES);
    return judged ? this.#t("ui.echo.judged", { spelled, judged }) : spelled;
  }

  /** Degrees and minutes in words, as they were taken: "1 degree 5 minutes", "25.2 minutes". */
  #minutes(text) {
    const parts = minutesTyped(text);
    const said = (name) => parts[name]
      && this.#t(`ui.echo.${name}`, { count: Number(parts[name].replace(",", ".")), number: parts[name] });
    return [said("degrees"), said("minutes")].filter(Boolean).join(" ");
  }

  /** @returns {string|null} where toe is shown as a length: at which diameter, without which no length says anything */
  lengthNote() {
    const { unit, diameterMm } = this.#displayOf("toe");
    return isLength(unit) ? this.#t("ui.lengths-at", { diameter: diameterMm }) : null;
  }

  /** A size without a way: "0.08°". */
  size(quantity, mdeg, display = this.#displayOf(quantity)) {
    return this.#number(mdeg, readable, display);
  }

  /** "1.50° top in, or further top out": the one edge of a window that is open on the other side. */
  #openWindow(quantity, isOpenUpwards, edge) {
    return this.#t("ui.window.open-side", { edge, way: this.#way(quantity, isOpenUpwards ? 1 : -1) });
  }

  /**
   * A window from low to high, as exact as it was given, the way said once where it is the same: "0.50° to 1.50° top
   * in".
   */
  window(quantity, [low, high], display = this.#displayOf(quantity)) {
    if (low === null || high === null)
      return this.#openWindow(quantity, high === null, this.#said(quantity, low ?? high, exact, display));
    if (low === high) return this.#said(quantity, low, exact, display);
    const smallFirst = low < 0 && high <= 0 ? [high, low] : [low, high];
    const sameWay = low * high > 0 || low === 0 || high === 0;
    if (!sameWay) return this.#t("ui.window.between",
      { low: this.#said(quantity, low, exact, display), high: this.#said(quantity, high, exact, display) });
    const way = this.#way(quantity, low < 0 || high < 0 ? -1 : 1);
    const [from, to] = smallFirst.map((mdeg) => this.#number(mdeg, exact, display));
    return this.#t("ui.window.one-way", { low: from, high: to, way });
  }

  /**
   * An angle as it was typed, in its own unit and at its own diameter, with degrees beside where it was not typed in
   * degrees.
   */
  typed(quantity, angle) {
    const typed = this.#asTyped(quantity, angle);
    return angle.unit === "deg" ? typed
      : this.#t("ui.window.typed", { typed, degrees: this.#number(angle.mdeg, exact, DEGREES) });
  }

  /**
   * A window as the maker gives it: each edge as it was typed, in its own unit and at its own diameter, with degrees
   * beside where it was not typed in degrees: "1.0 mm in to 2.5 mm in, across 381 mm (0.15° to 0.376° in)".
   */
  typedWindow(quantity, { low, high }) {
    if (!low || !high) {
      const edge = low ?? high;
      return this.#openWindow(quantity, !high, edge.unit === "deg" ? this.#said(quantity, edge.mdeg, exact, DEGREES)
        : this.typed(quantity, edge));
    }
    const degrees = this.window(quantity, [low.mdeg, high.mdeg], DEGREES);
    if (low.unit === "deg" && high.unit === "deg") return degrees;
    const isSingle = low.mdeg === high.mdeg && low.text === high.text;
    const typed = isSingle ? this.#asTyped(quantity, high)
      : this.#t("ui.window.between", { low: this.#asTyped(quantity, low, high), high: this.#asTyped(quantity, high) });
    return this.#t("ui.window.typed", { typed, degrees });
  }

  /** The diameter is said once where the other edge, said after it, has the same. */
  #asTyped(quantity, { text, unit, mdeg, diameter_mm: diameter }, other = null) {
    const number = unit === "deg-min" ? withMinuteSigns(text) : withSymbol(plainEnding(text, unit), unit);
    const said = mdeg === 0 ? number : this.#t("ui.angle", { number, way: this.#way(quantity, mdeg) });
    return diameter && diameter !== other?.diameter_mm ? this.#t("ui.window.across", { said, diameter }) : said;
  }

  /** "inside" or "outside by 0.12°, too far out"; "" where the maker gives no window. */
  judge(quantity, mdeg, window, display = this.#displayOf(quantity)) {
    if (!window) return "";
    const excess = beyond(mdeg, window);
    if (excess === 0) return this.#t("ui.inside");
    return this.#t("ui.outside", { by: this.size(quantity, excess, display), way: this.#way(quantity, excess) });
  }

  #number(mdeg, sized, display) {
    const { unit, diameterMm } = display ?? DEGREES;
    const size = unit === "deg" ? sized(mdeg) : exact(mdeg);
    const text = textFromMdeg(size, unit, diameterMm, this.#locale);
    if (size !== 0 && !/[1-9]/.test(text))
      return this.#t("ui.angle.below", { least: withSymbol(this.#local(LEAST_SHOWN[unit]), unit) });
    return withSymbol(text, unit);
  }

  #local(number) {
    return number.replace(".", decimalMark(this.#locale));
  }

  #way(quantity, mdeg) {
    return this.#t(`ui.said.${signWordOf(quantity, mdeg)}`);
  }
}

/**
 * @returns {function(string): Object} which unit a quantity is shown in: a length only at a known diameter, else
 *   degrees
 */
export function displayIn(settings) {
  return (quantity) => {
    const unit = settings.unit(quantity);
    const diameterMm = Number(String(settings.get("diameter_mm")).replace(",", ".")) || null;
    return isLength(unit) && !diameterMm ? null : { unit, diameterMm };
  };
}

/** Thrust may end in half a millidegree; halves go away from zero. */
function exact(mdeg) {
  return Math.floor(Math.abs(mdeg) + 0.5);
}

/** Hundredths of a degree, halves away from zero; below half a hundredth the thousandths are kept. */
function readable(mdeg) {
  const size = Math.abs(mdeg);
  return size < 5 ? exact(mdeg) : Math.floor(size / 10 + 0.5) * 10;
}

function withSymbol(number, unit) {
  return { "deg": `${number}°`, "deg-min": number, "mm": `${number} mm`, "inch": `${number}″` }[unit];
}

/** What somebody typed with its unit, without it. */
function plainEnding(text, unit) {
  return text.replace({ "deg": /\s*[°º]$/, "mm": /\s*mm$/, "inch": /\s*(?:″|"|in)$/ }[unit], "");
}

/** "25.2" was taken for minutes and says so; "0 20" gets its two signs. */
function withMinuteSigns(text) {
  const { degrees, minutes } = minutesTyped(text) ?? {};
  if (!degrees && !minutes) return text;
  return `${degrees ? `${degrees}°` : ""}${minutes ? `${minutes}'` : ""}`;
}
