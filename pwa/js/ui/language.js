/** Which language the screens speak: the one chosen in the settings, else the phone's, else English. */

export const LANGUAGES = ["en", "es"];

/** The phone's own variety of the language, for numbers and dates: en-GB, es-MX. */
export function localeFor(language, wanted) {
  return wanted.find((tag) => tag.slice(0, 2).toLowerCase() === language) ?? language;
}

/** @param {string} chosen "" where none was; @param {readonly string[]} wanted the phone's languages, best first */
export function chosenLanguage(chosen, wanted) {
  if (LANGUAGES.includes(chosen)) return chosen;
  return wanted.map((tag) => tag.slice(0, 2).toLowerCase()).find((tag) => LANGUAGES.includes(tag)) ?? LANGUAGES[0];
}
