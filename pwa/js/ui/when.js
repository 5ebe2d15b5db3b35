/** Says moments and ages in the person's language. The phone's clock is only shown, never decided by. */

const STEPS = [["day", 86_400_000], ["hour", 3_600_000], ["minute", 60_000]];

/** @returns {string} such as "2 hours ago"; under a minute says "now" in the language's own way */
export function ago(ms, now, locale) {
  const words = new Intl.RelativeTimeFormat(locale, { numeric: "auto" });
  const [unit, size] = STEPS.find(([, step]) => now - ms >= step) ?? ["second", Infinity];
  return words.format(unit === "second" ? 0 : -Math.floor((now - ms) / size), unit);
}

/** @returns {string} date and time of day, short; an unreadable moment is shown as it came */
export function dateAndTime(moment, locale) {
  const date = new Date(moment);
  if (Number.isNaN(date.getTime())) return String(moment);
  return new Intl.DateTimeFormat(locale, { dateStyle: "medium", timeStyle: "short" }).format(date);
}
