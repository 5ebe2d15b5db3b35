/**
 * The settings of this phone, read once at the start so that screens need not wait for them.
 * Theme and language are mirrored in localStorage, because they are wanted before the store is open.
 */

const DEFAULTS = {
  technician: "",
  people: [], // the shop's people, where it has told any; see domain/job/people.js
  language: "",
  theme: "system",
  units: { camber: "deg", toe: "deg", "window-camber": "deg", "window-toe": "deg" },
  diameter_mm: "",
  window_diameter_mm: "",
  rings_place: "", // id of the place whose ring sets are at hand here; "" where nobody has chosen one
  place: "#/",
  remembered: {},
  show_how: {}, // name of the technician -> whether what folds stands open
  install_hint: "", // "later": the person wants it no more among the jobs
};

const THEME_KEY = "tapermark.theme";
const LANGUAGE_KEY = "tapermark.language";

export class Settings {
  /** Until then each setting is its default, for a store that cannot be read is no reason to show nothing. */
  isRead = false;
  #phone;
  #kept = new Map(Object.entries({ ...DEFAULTS, language: rememberedLanguage(), theme: rememberedTheme() }));

  constructor(phone) {
    this.#phone = phone;
  }

  /** Rejects StoreError where the store cannot be read. */
  async load() {
    await Promise.all(Object.entries(DEFAULTS).map(async ([name, fallback]) => {
      this.#kept.set(name, (await this.#phone.setting(name)) ?? fallback);
    }));
    this.isRead = true;
    localStorage.setItem(LANGUAGE_KEY, this.get("language"));
    return this;
  }

  get(name) {
    return this.#kept.get(name);
  }

  /** Reads again what the sync may have changed. */
  async renew(name) {
    this.#kept.set(name, (await this.#phone.setting(name)) ?? DEFAULTS[name]);
    return this.get(name);
  }

  /** Keeps a setting; a store that fails costs no more than the setting. */
  async set(name, chosen) {
    this.#kept.set(name, chosen);
    if (name === "theme") showTheme(chosen);
    await this.#phone.setSetting(name, chosen).catch(() => {});
  }

  /** The unit last used for a quantity; `purpose` is "" for readings or "window". */
  unit(quantity, purpose = "") {
    return this.get("units")[unitName(quantity, purpose)] ?? "deg";
  }

  /** What was last typed in a step that belongs to this phone rather than to the vehicle, such as the torque wrench. */
  remembered(step) {
    return this.get("remembered")[step] ?? "";
  }

  remember(step, text) {
    return this.set("remembered", { ...this.get("remembered"), [step]: text });
  }

  setUnit(quantity, purpose, unit) {
    return this.set("units", { ...this.get("units"), [unitName(quantity, purpose)]: unit });
  }
}

/** Puts a theme on the page and mirrors it for the next start. */
export function showTheme(theme) {
  document.documentElement.dataset.theme = theme;
  localStorage.setItem(THEME_KEY, theme);
}

/** The theme of the last start, before the store can be asked. */
export function rememberedTheme() {
  return localStorage.getItem(THEME_KEY) ?? "system";
}

/** The language chosen at the last start, "" where none was; the store has the last word. */
export function rememberedLanguage() {
  return localStorage.getItem(LANGUAGE_KEY) ?? "";
}

function unitName(quantity, purpose) {
  const family = quantity.includes("camber") ? "camber" : quantity === "thrust" ? "camber" : "toe";
  return purpose ? `${purpose}-${family}` : family;
}
