/** Says moments and ages in the person's language. The phone's clock is only shown, never decided by. */

const STEPS = [["day", 86_400_000], ["hour", 3_600_000], ["minute", 60_000]];

/** @returns {string} such as "2 hours ago"; under a minute says "now" in the language's own way */
export function ago(ms, now, locale) {
  const words = new Intl.RelativeTimeFormat(locale, { numeric: "auto" });
  const [unit, size] = STEPS.find(([, step]) => now - ms >= step) ?? ["second", Infinity];
  return words.format(unit === "second" ? 0 : -Math.floor((now - ms) / size), unit);
}

/** @returns {string} such as "2 hours", in the largest unit that fits; at least a minute */
export function span(ms, locale) {
  const [unit, size] = STEPS.find(([, step]) => ms >= step) ?? STEPS.at(-1);
  return new Intl.NumberFormat(locale, { style: "unit", unit, unitDisplay: "long" })
    .format(Math.max(1, Math.floor(ms / size)));
}

/** @returns {string} date and time of day, short; an unreadable moment is shown as it came */
export function dateAndTime(moment, locale) {
  const date = new Date(moment);
  if (Number.isNaN(date.getTime())) return String(moment);
  return new Intl.DateTimeFormat(locale, { dateStyle: "medium", timeStyle: "short" }).format(date);
}
