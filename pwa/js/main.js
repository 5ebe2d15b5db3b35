/**
 * Starts Tapermark on the phone: opens the store, reads texts and checklist of the shell, wires the screens, starts
 * sync and the service worker. It holds no logic of its own.
 */

import { makeText } from "./domain/text.js";
import { openPhone } from "./store/phone.js";
import { checkReady, onReadyChange } from "./sync/ready.js";
import { loadChecklist, loadText } from "./sync/shell-files.js";
import { startSync } from "./sync/sync.js";
import { startUpdates } from "./sync/update.js";
import { App } from "./ui/app.js";
import { JobScreen } from "./ui/job-screen.js";
import { chosenLanguage, LANGUAGES, localeFor } from "./ui/language.js";
import { NameScreen } from "./ui/name-screen.js";
import { rememberedTheme, Settings, showTheme } from "./ui/settings.js";
import { ReportScreen } from "./ui/report-screen.js";
import { SettingsScreen } from "./ui/settings-screen.js";
import { StartScreen } from "./ui/start-screen.js";
import { StepScreen } from "./ui/step-screen.js";
import { StepsScreen } from "./ui/steps-screen.js";

const SCREENS = { start: StartScreen, name: NameScreen, settings: SettingsScreen, job: JobScreen, step: StepScreen, steps: StepsScreen, sheet: ReportScreen };

async function start() {
  showTheme(rememberedTheme());
  const phone = await openPhone();
  const settings = await new Settings(phone).load();
  const language = chosenLanguage(settings.get("language"), navigator.languages);
  const [messages, checklist] = await Promise.all([loadText(language), loadChecklist()]);
  document.documentElement.lang = language;
  showTheme(settings.get("theme"));
  const app = new App({
    phone,
    settings,
    checklist,
    language,
    locale: localeFor(language, navigator.languages),
    languages: LANGUAGES,
    t: makeText(messages, language),
    sync: startSync(phone),
    updates: startUpdates(),
    screens: SCREENS,
    roots: { top: document.getElementById("top"), main: document.getElementById("main"), bar: document.getElementById("bar") },
  });
  const lookWhetherReady = async () => app.setReady(await checkReady(phone));
  onReadyChange(lookWhetherReady);
  phone.onChange(({ job }) => { if (job === null) lookWhetherReady(); }); // a ring table may have come
  if (!location.hash) history.replaceState(null, "", settings.get("place"));
  for (const event of ["visibilitychange", "pageshow"]) addEventListener(event, () => phone.check()); // it can die in the background
  await app.start();
  await lookWhetherReady();
}

start().catch((error) => {
  document.getElementById("cannot-start").hidden = false;
  reportError(error);
});
