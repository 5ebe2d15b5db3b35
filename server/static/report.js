// The customer's report at the desk. It is written by the phone's own code, so that both say the same of a job: only
// ring sets, photos and what stands of the shop come from the page's own address here.

import { Job } from "/desk/phone/js/domain/job/living-job.js";
import { FIRST_TEXTS, LATER_TEXTS, loadChecklist, loadText } from "/desk/phone/js/sync/shell-files.js";
import { localeFor } from "/desk/phone/js/ui/language.js";
import { wholeReport } from "/desk/phone/js/ui/report/whole-report.js";
import { AngleWords } from "/desk/phone/js/ui/words/angle-words.js";
import { makeText } from "/desk/phone/js/ui/words/text.js";

const place = document.getElementById("report");

/** Below /desk/ no phone's worker answers with the files of its own build. */
const here = (path) => fetch(`/desk/phone${path}`);

async function write() {
  const answer = await fetch(`${location.pathname}/facts`);
  if (!answer.ok) throw new Error(`expected the job's entries, got status ${answer.status}`);
  const { job: id, language, entries, tables, newest, names, photos, shop } = await answer.json();
  const texts = [...FIRST_TEXTS, ...LATER_TEXTS];
  const [messages, checklist] = await Promise.all([loadText(language, texts, here), loadChecklist(here)]);
  const locale = localeFor(language, navigator.languages);
  const t = makeText(messages, locale);
  const words = new AngleWords({ t, locale, displayOf: () => ({ unit: "deg", diameterMm: null }) });
  const away = (sha256) => t(photos[sha256] === "erased" ? "report.photo-away.erased" : "report.photo-away.desk");
  const job = new Job({ id, entries, checklist, names });
  const page = await wholeReport({
    app: { t, locale, words },
    job,
    sets: { table: async (sha256) => tables[sha256] ?? null, ringSets: async () => newest },
    shop: { ...shop, logo: shop.logo && `/api/shop/logo?${shop.logo.sha256}` },
    pictureOf: async ({ body: { sha256 } }) =>
      ({ url: photos[sha256] === "here" ? `/api/photos/${sha256}` : null, away: away(sha256) }),
  });
  document.documentElement.lang = language;
  document.title = t("report.file-title", { registration: job.registration, date: entries.at(-1).at.slice(0, 10) });
  document.getElementById("print").addEventListener("click", () => print());
  place.replaceChildren(page);
  await Promise.all([...page.querySelectorAll("img")].map((image) => image.decode().catch(() => {})));
  place.dataset.done = "";
}

write().catch((error) => {
  place.replaceChildren();
  document.getElementById("failed").hidden = false;
  throw error;
});
