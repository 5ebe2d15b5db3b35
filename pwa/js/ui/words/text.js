// Turns message keys into words, and writes the numbers among them. It holds no words itself: they come from the files
// of pwa/text.

const PLACEHOLDER = /\{(\w+|\d+\.\d+)\}/g;
// They turn the order of whatever follows round until their line ends: an angle behind such a name would be read
// backwards.
const TURNS = /[\u202a-\u202e\u2066-\u2069]/g;
const PLURAL_SUFFIXES = ["zero", "one", "two", "few", "many", "other"];

/** Leaves out what would turn the order of a line; letters that run from right to left stay as they are. */
export function inOrder(text) {
  return String(text).replace(TURNS, "");
}

/**
 * Makes the function that every screen uses for its words.
 * @param {Object<string, string>} messages flat keys; `{name}` stands for a parameter, `{0.33}` for that number
 * @param {string} locale BCP 47 with the phone's own region: es-MX writes 2.4 where es writes 2,4
 * @returns {(key: string, params?: object) => string} `t`. A number in `params.count` chooses between `key.one`,
 *   `key.other`, ... A key that does not exist is shown as itself in brackets, so that it is seen and never blank.
 *   `t.number(2.4, 2)` writes a number with two decimals, `t.number(2.4, 0, 2)` with two at most.
 */
export function makeText(messages, locale) {
  let plurals = null; // made when first wanted: their data are slow to come on a cold start
  const numbers = new Map(); // and so are these

  function number(value, least, most = least) {
    const key = `${least}-${most}`;
    if (!numbers.has(key)) {
      numbers.set(key, new Intl.NumberFormat(locale,
        { minimumFractionDigits: least, maximumFractionDigits: most, useGrouping: false }));
    }
    return numbers.get(key).format(value);
  }

  function spoken(value) {
    const isPlain = typeof value !== "number" || (Number.isInteger(value) && value >= 0);
    return isPlain ? inOrder(value) : number(value, 0, 20);
  }

  function t(key, params = {}) {
    const text = messages[wordingOf(key, params.count)];
    if (text === undefined) return `[${key}]`;
    return text.replace(PLACEHOLDER,
      (whole, name) => (name in params ? spoken(params[name]) : /^\d/.test(name) ? spoken(Number(name)) : whole));
  }

  function wordingOf(key, count) {
    if (typeof count !== "number") return key;
    plurals ??= new Intl.PluralRules(locale);
    const chosen = `${key}.${plurals.select(count)}`;
    return [chosen, `${key}.other`, key].find((candidate) => candidate in messages) ?? key;
  }

  t.number = number;
  t.has = (key) => key in messages || PLURAL_SUFFIXES.some((suffix) => `${key}.${suffix}` in messages);
  return t;
}
