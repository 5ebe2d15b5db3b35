/**
 * Starts what takes its time (the store, words and checklist of the first screen) before the rest of the program is
 * there: index.html asks for this module first. main.js takes over what it started.
 */

import { Phone } from "./store/phone.js";
import { FIRST_TEXTS, loadChecklist, loadText } from "./sync/shell-files.js";
import { chosenLanguage } from "./ui/language.js";
import { rememberedLanguage, rememberedTheme, Settings, showTheme } from "./ui/settings.js";

showTheme(rememberedTheme());

export const phone = new Phone();
export const checking = phone.check();
export const loadingSettings = new Settings(phone).load();
/** The language of the last start, which the settings confirm. */
export const expectedLanguage = chosenLanguage(rememberedLanguage(), navigator.languages);
export const reading = Promise.all([loadText(expectedLanguage, FIRST_TEXTS), loadChecklist()]);
