// Turns message keys into words. It holds no words itself: they come from the files of pwa/text.

const PLACEHOLDER = /\{(\w+)\}/g;
const PLURAL_SUFFIXES = ["zero", "one", "two", "few", "many", "other"];

/**
 * Makes the function that every screen uses for its words.
 * @param {Object<string, string>} messages flat keys; `{name}` stands for a parameter
 * @param {string} locale BCP 47, for plurals and numbers
 * @returns {(key: string, params?: object) => string} `t`. A number in `params.count` chooses between `key.one`,
 *   `key.other`, ... A key that does not exist is shown as itself in brackets, so that it is seen and never blank.
 */
export function makeText(messages, locale) {
  let plurals = null; // made when first wanted: their data are slow to come on a cold start
  let numbers = null;

  function spoken(value) {
    if (typeof value !== "number" || (Number.isInteger(value) && value >= 0)) return String(value);
    numbers ??= new Intl.NumberFormat(locale, { maximumFractionDigits: 20, useGrouping: false });
    return numbers.format(value);
  }

  function t(key, params = {}) {
    const text = messages[wordingOf(key, params.count)];
    if (text === undefined) return `[${key}]`;
    return text.replace(PLACEHOLDER, (whole, name) => (name in params ? spoken(params[name]) : whole));
  }

  function wordingOf(key, count) {
    if (typeof count !== "number") return key;
    plurals ??= new Intl.PluralRules(locale);
    const chosen = `${key}.${plurals.select(count)}`;
    return [chosen, `${key}.other`, key].find((candidate) => candidate in messages) ?? key;
  }

  t.has = (key) => key in messages || PLURAL_SUFFIXES.some((suffix) => `${key}.${suffix}` in messages);
  return t;
}
