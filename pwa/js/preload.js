/**
 * Opens the store before the rest of the program is there; main.js takes over what it started.
 */

import { Phone } from "./store/phone.js";
import { Settings } from "./ui/settings.js";

export const phone = new Phone();
export const checking = phone.check();
export const settings = new Settings(phone);
export const loadingSettings = settings.load().catch(() => {}); // the first screen tries again, and says what is wrong
