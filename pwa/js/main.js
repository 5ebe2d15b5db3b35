/**
 * Starts Tapermark on the phone: opens the store, reads texts and checklist of the shell, wires the screens, starts
 * sync and the service worker. It holds no logic of its own.
 */

import { makeText } from "./domain/text.js";
import { openPhone } from "./store/phone.js";
import { checkReady, onReadyChange } from "./sync/ready.js";
import { FIRST_TEXTS, LATER_TEXTS, loadChangelog, loadChecklist, loadText } from "./sync/shell-files.js";
import { Sync } from "./sync/sync.js";
import { Updates } from "./sync/update.js";
import { App } from "./ui/app.js";
import { Installing } from "./ui/installing.js";
import { chosenLanguage, LANGUAGES, localeFor } from "./ui/language.js";
import { rememberedLanguage, rememberedTheme, Settings, showTheme } from "./ui/settings.js";
import { StartScreen } from "./ui/start-screen.js";

/** Screen -> what brings its class. Only the first one comes with the program; the others when the first stands. */
const SCREENS = {
  start: async () => StartScreen,
  name: async () => (await import("./ui/name-screen.js")).NameScreen,
  pair: async () => (await import("./ui/pairing-screen.js")).PairingScreen,
  settings: async () => (await import("./ui/settings-screen.js")).SettingsScreen,
  job: async () => (await import("./ui/job-screen.js")).JobScreen,
  step: async () => (await import("./ui/step-screen.js")).StepScreen,
  steps: async () => (await import("./ui/steps-screen.js")).StepsScreen,
  new: async () => (await import("./ui/new-job-screen.js")).NewJobScreen,
  find: async () => (await import("./ui/find-screen.js")).FindScreen,
  sheet: async () => (await import("./ui/report-screen.js")).ReportScreen,
};

async function start() {
  const installing = new Installing(); // first of all: the browser's question comes early and once
  showTheme(rememberedTheme());
  const expected = chosenLanguage(rememberedLanguage(), navigator.languages);
  const reading = Promise.all([loadText(expected, FIRST_TEXTS), loadChecklist()]); // while the store opens
  const phone = await openPhone();
  const settings = await new Settings(phone).load();
  const language = chosenLanguage(settings.get("language"), navigator.languages);
  const [early, checklist] = await reading;
  const messages = language === expected ? early : await loadText(language, FIRST_TEXTS);
  const bringTexts = () => loadText(language, LATER_TEXTS).then((more) => Object.assign(messages, more));
  const bring = screensWith(() => Promise.all([bringTexts(), app.bringAngleWords()]));
  document.documentElement.lang = language;
  showTheme(settings.get("theme"));
  const sync = new Sync(phone, { version: loadChangelog().then(([newest]) => newest.version, () => null) });
  const updates = new Updates();
  const app = new App({
    phone,
    settings,
    checklist,
    language,
    locale: localeFor(language, navigator.languages),
    languages: LANGUAGES,
    t: makeText(messages, language),
    sync,
    updates,
    installing,
    screens: bring,
    roots: { top: document.getElementById("top"), main: document.getElementById("main"), bar: document.getElementById("bar") },
  });
  const lookWhetherReady = async () => app.setReady(await checkReady(phone));
  onReadyChange(lookWhetherReady);
  phone.onChange(({ job }) => { if (job === null) lookWhetherReady(); }); // a ring table may have come
  if (!location.hash) history.replaceState(null, "", settings.get("place"));
  for (const event of ["visibilitychange", "pageshow"]) addEventListener(event, () => phone.check()); // it can die in the background
  await app.start();
  updates.start(); // the network comes after the first screen
  sync.start();
  await Promise.all(Object.keys(SCREENS).map(bring)); // early: a tap never waits, and another tab's update mixes no builds
  await lookWhetherReady();
}

/** @returns {function(string): Promise<Function>} gives a screen's class once the words that it may need are there */
function screensWith(bringWords) {
  let words = null;
  return async (name) => {
    if (name !== "start") await (words ??= bringWords());
    return SCREENS[name]();
  };
}

start().catch((error) => {
  document.getElementById("cannot-start").hidden = false;
  reportError(error);
});
