/**
 * Starts Tapermark on the phone: opens the store, reads texts and checklist of the shell, wires the screens, and brings
 * all that the first screen can do without when that one stands. It holds no logic of its own.
 */

import { makeText } from "./ui/words/text.js";
import { checking, loadingSettings, phone, settings } from "./preload.js";
import { bringStyles, expectedLanguage, opensInJob, reading, readingLater } from "./read-shell.js";
import { isMixed } from "./sync/one-build.js";
import { FIRST_TEXTS, LATER_TEXTS, loadText } from "./sync/shell-files.js";
import { App } from "./ui/app.js";
import { makeKeptTap } from "./ui/start-snapshot.js";
import { Installing } from "./ui/installing.js";
import { chosenLanguage, LANGUAGES, localeFor } from "./ui/language.js";
import { showTheme } from "./ui/settings.js";

/**
 * Screen -> what brings its class. The first one comes with the program, for the page asks for it early; the others
 * when that stands.
 */
const SCREENS = {
  start: async () => (await import("./ui/screens/start-screen.js")).StartScreen,
  name: async () => (await import("./ui/screens/name-screen.js")).NameScreen,
  pair: async () => (await import("./ui/screens/pairing-screen.js")).PairingScreen,
  settings: async () => (await import("./ui/screens/settings-screen.js")).SettingsScreen,
  new: async () => (await import("./ui/screens/new-job-screen.js")).NewJobScreen,
  find: async () => (await import("./ui/screens/find-screen.js")).FindScreen,
  line: async () => (await import("./ui/screens/line-screen.js")).LineScreen,
  rechecks: async () => (await import("./ui/screens/rechecks-screen.js")).RechecksScreen,
  "find-pair": async () => (await import("./ui/sheets/find-pair-screen.js")).FindPairScreen,
  sheet: async () => (await import("./ui/sheets/sheet-screen.js")).SheetScreen,
  stop: async () => (await import("./ui/sheets/stop-screen.js")).StopScreen,
  report: async () => (await import("./ui/report/report-screen.js")).ReportScreen,
};

const bringJob = async () => (await import("./domain/job/living-job.js")).Job;

if (opensInJob) for (const bring of [bringJob, SCREENS.sheet]) bring().catch(() => {}); // who needs it hears of it

async function start() {
  const installing = new Installing(); // first of all: the browser's question comes early and once
  await loadingSettings;
  const language = chosenLanguage(settings.get("language"), navigator.languages);
  const locale = localeFor(language, navigator.languages);
  const [early, checklist] = await reading;
  if (isMixed()) throw new Error("expected files of one build, got those of two");
  const messages = language === expectedLanguage ? early : await loadText(language, FIRST_TEXTS);
  document.documentElement.lang = language;
  showTheme(settings.get("theme"));
  const bring = screensWith(() => Promise.all([
    (language === expectedLanguage && readingLater ? readingLater : loadText(language, LATER_TEXTS))
      .then((more) => Object.assign(messages, more)),
    bringStyles(),
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
    makeJob: async (parts) => new (await bringJob())({ ...parts, checklist }),
    screens: bring,
    roots: { top: document.getElementById("top"), main: document.getElementById("main"),
      bar: document.getElementById("bar") },
  });
  if (!location.hash) history.replaceState(null, "", settings.get("place"));
  const lookAgain = () => phone.check().then(() => settings.isRead || app.render());
  // it can die in the background
  for (const event of ["visibilitychange", "pageshow"]) addEventListener(event, lookAgain);
  const keepOnceInstalled = () => { if (installing.way === "installed") phone.askToKeep(); };
  installing.onChange(keepOnceInstalled);
  keepOnceInstalled();
  await app.start();
  makeKeptTap();
  phone.openReserve(); // not awaited, as a tap that saves would
  inIdleTime(() => import("./sheet-modules.js").catch(() => {})); // a tap that opens a job waits for less
  await checking;
  const network = await import("./sync/network.js"); // it comes after the first screen
  app.attach(network.start(phone, () => app.quiet()));
  await app.quiet(); // whoever has tapped by now waits for one screen only
  // early: a tap never waits, and another tab's update mixes no builds
  await Promise.all([phone.bringRest(), bringJob(), ...Object.keys(SCREENS).map(bring)]);
  await (await import("./ui/sheets/rows/rows.js")).bringWidgets();
  performance.mark("whole-program-here");
  if (isMixed()) app.updates.tellMixed(); // a worker that came meanwhile, or a server renewed
  await app.quiet();
  network.watchReady(phone, (state) => app.setReady(state));
  await phone.keepReserve();
}

/** @returns {function(string): Promise<Function>} gives a screen's class once the words that it may need are there */
function screensWith(bringWords) {
  let words = null;
  return async (name) => {
    const [Screen] = await Promise.all([SCREENS[name](), name !== "start" && (words ??= bringWords())]);
    return Screen;
  };
}

function inIdleTime(act) {
  (globalThis.requestIdleCallback ?? setTimeout)(() => act()); // WebKit knows no idle time
}

start().catch(reportError); // draw-start-snapshot.js has the words
