/**
 * Starts Tapermark on the phone: opens the store, reads texts and checklist of the shell, wires the screens, and brings
 * all that the first screen can do without when that one stands. It holds no logic of its own.
 */

import { makeText } from "./ui/words/text.js";
import { checking, expectedLanguage, loadingSettings, phone, reading } from "./early.js";
import { FIRST_TEXTS, LATER_TEXTS, loadText } from "./sync/shell-files.js";
import { App } from "./ui/app.js";
import { makeKeptTap } from "./ui/first-look.js";
import { Installing } from "./ui/installing.js";
import { chosenLanguage, LANGUAGES, localeFor } from "./ui/language.js";
import { showTheme } from "./ui/settings.js";
import { StartScreen } from "./ui/screens/start-screen.js";

/** Screen -> what brings its class. Only the first one comes with the program; the others when the first stands. */
const SCREENS = {
  start: async () => StartScreen,
  name: async () => (await import("./ui/screens/name-screen.js")).NameScreen,
  pair: async () => (await import("./ui/screens/pairing-screen.js")).PairingScreen,
  settings: async () => (await import("./ui/screens/settings-screen.js")).SettingsScreen,
  job: async () => (await import("./ui/screens/job-screen.js")).JobScreen,
  step: async () => (await import("./ui/steps/step-screen.js")).StepScreen,
  steps: async () => (await import("./ui/steps/steps-screen.js")).StepsScreen,
  new: async () => (await import("./ui/screens/new-job-screen.js")).NewJobScreen,
  find: async () => (await import("./ui/screens/find-screen.js")).FindScreen,
  sheet: async () => (await import("./ui/report/report-screen.js")).ReportScreen,
};

/** Styles that no part of the first screen wants. */
const LATER_STYLES = ["drawings", "fitting", "report"];

async function start() {
  const installing = new Installing(); // first of all: the browser's question comes early and once
  const settings = await loadingSettings;
  const language = chosenLanguage(settings.get("language"), navigator.languages);
  const locale = localeFor(language, navigator.languages);
  const [early, checklist] = await reading;
  const messages = language === expectedLanguage ? early : await loadText(language, FIRST_TEXTS);
  document.documentElement.lang = language;
  showTheme(settings.get("theme"));
  const bring = screensWith(() => Promise.all([
    loadText(language, LATER_TEXTS).then((more) => Object.assign(messages, more)),
    ...LATER_STYLES.map(bringStyle),
    app.bringAngleWords(),
  ]));
  const app = new App({
    phone,
    settings,
    checklist,
    language,
    locale,
    languages: LANGUAGES,
    t: makeText(messages, locale),
    installing,
    screens: bring,
    roots: { top: document.getElementById("top"), main: document.getElementById("main"), bar: document.getElementById("bar") },
  });
  if (!location.hash) history.replaceState(null, "", settings.get("place"));
  for (const event of ["visibilitychange", "pageshow"]) addEventListener(event, () => phone.check()); // it can die in the background
  await app.start();
  makeKeptTap();
  await checking;
  const network = await import("./sync/network.js"); // it comes after the first screen
  app.attach(network.start(phone));
  await Promise.all(Object.keys(SCREENS).map(bring)); // early: a tap never waits, and another tab's update mixes no builds
  await (await import("./ui/steps/step-widgets.js")).bringWidgets();
  performance.mark("whole-program-here");
  network.watchReady(phone, (state) => app.setReady(state));
}

/** @returns {function(string): Promise<Function>} gives a screen's class once the words that it may need are there */
function screensWith(bringWords) {
  let words = null;
  return async (name) => {
    if (name !== "start") await (words ??= bringWords());
    return SCREENS[name]();
  };
}

/** Resolves once the style holds; without it a screen is plain and still works. */
function bringStyle(name) {
  const link = Object.assign(document.createElement("link"), { rel: "stylesheet", href: `/css/${name}.css` });
  return new Promise((resolve) => {
    link.onload = link.onerror = resolve;
    document.head.append(link);
  });
}

start().catch((error) => {
  const words = document.getElementById("cannot-start"); // gone once a screen stands
  if (words) words.hidden = false;
  reportError(error);
});
