// Settings of this phone (technician, language, units, reference diameters, theme, last place). Nothing of a job.

import { STORE } from "./names.js";

/** Setting with the id of the place whose ring sets are at hand here. */
export const RINGS_PLACE = "rings_place";

/** Returns the setting, or undefined where it was never set. */
export async function settingOf(database, name) {
  return (await database.read([STORE.SETTINGS], (t) => t.get(STORE.SETTINGS, name)))?.value;
}

/** Keeps a setting. */
export function setSetting(database, name, value) {
  return database.write([STORE.SETTINGS], (t) => t.put(STORE.SETTINGS, { name, value }));
}
