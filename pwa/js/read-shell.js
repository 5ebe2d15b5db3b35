/**
 * Starts reading the words and the checklist of the first screen: index.html asks for this module first, and it needs
 * but few others. main.js takes over what it started.
 */

import { FIRST_TEXTS, LATER_TEXTS, loadChecklist, loadText } from "./sync/shell-files.js";
import { chosenLanguage } from "./ui/language.js";
import { rememberedLanguage, rememberedTheme, showTheme } from "./ui/settings.js";
import { rememberedPlace } from "./ui/start-snapshot.js";

let bringingStyles = null;

showTheme(rememberedTheme());

/** The language of the last start, which the settings confirm. */
export const expectedLanguage = chosenLanguage(rememberedLanguage(), navigator.languages);
export const reading = Promise.all([loadText(expectedLanguage, FIRST_TEXTS), loadChecklist()]);
reading.catch(() => {}); // who waits for it hears of it
/** A phone that was left in a job opens at its sheet, which wants all words. */
export const opensInJob = (location.hash || rememberedPlace()).startsWith("#/job/");
export const readingLater = opensInJob ? loadText(expectedLanguage, LATER_TEXTS) : null;
readingLater?.catch(() => {});

/** The styles that the list of jobs does without. Resolves once all hold; without one a screen is plain, and works. */
export function bringStyles() {
  if (!document.head.querySelector('link[href="/css/sheets.css"]'))
    document.head.append(document.getElementById("later-styles").content.cloneNode(true));
  bringingStyles ??= Promise.all([...document.head.querySelectorAll('link[rel="stylesheet"]')].map(whenThere));
  return bringingStyles;
}

function whenThere(link) {
  return link.sheet ?? new Promise((resolve) => {
    link.addEventListener("load", resolve);
    link.addEventListener("error", resolve);
  });
}
