/**
 * The report of a job as one element, with its maps and photos: the same on a phone and at the desk, which differ only
 * in where ring sets and pictures come from.
 */

import { windowsAt } from "../../domain/job/job.js";
import { isOfPlanNow, readingOf } from "../../domain/job/picture-reading.js";
import { reportOf } from "../../domain/job/report.js";
import { lastCheck } from "../../domain/job/rounds.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { tiltMapModel } from "../drawings/tilt-map-model.js";
import { TiltMap } from "../drawings/tilt-map.js";
import { element } from "../parts/element.js";
import { pictureWords } from "../words/picture-words.js";
import { aboutWords } from "../words/row-words.js";
import { fittedSets } from "./fitted-sets.js";
import { reportPage } from "./report-page.js";

/**
 * @param {{app: {t, locale, words}, job: Job, sets: {ringSets: function, table: function}, shop: Object|string,
 *   pictureOf: function(Entry): Promise<{url: string|null, away: string}>}} options `sets` as a phone has
 *   them; `shop` as reportPage takes it; `away` says why there is no picture
 * @returns {Promise<HTMLElement>}
 */
export async function wholeReport({ app, job, sets, shop, pictureOf }) {
  const report = reportOf(job);
  const setOf = await fittedSets(sets, report.fitted);
  const nameOf = ({ body }) => aboutWords(app.t, job, body.about);
  const pictures = async (entries) => {
    const shown = [];
    for (const entry of entries) {
      const { caption } = entry.body;
      const about = [nameOf(entry), caption].filter(Boolean).join(": ");
      shown.push({ about, read: readWords(app.t, job.fold, entry), ...await pictureOf(entry) });
    }
    return shown;
  };
  const photos = await pictures(report.photos);
  const earlier = [];
  for (const each of report.earlier) earlier.push({ round: each.round, photos: await pictures(each.photos) });
  const further = [...new Set(report.further.map(nameOf))];
  return reportPage({ app, report, setOf, shop, maps: mapsOf(app.t, job, report, setOf), photos, earlier, further });
}

/** What was read off a photo, held against the plan that holds now. */
function readWords(t, fold, photo) {
  const reading = readingOf(fold, photo);
  if (!reading) return [];
  return isOfPlanNow(fold, photo, reading) ? pictureWords(t, reading) : [t("picture.earlier-plan")];
}

/**
 * The plot alone, from the first base reading to the last check: on paper there is nothing to tap, so no dots either.
 */
function mapsOf(t, { fold }, { rounds, fitted: now }, setOf) {
  if (rounds.length === 0) return [];
  const after = lastCheck(fold);
  const [{ base }] = rounds;
  return SIDES.map((side) => {
    const { body } = rounds.find((each) => each.round === now[side]?.round) ?? rounds.at(-1);
    const fitted = body.plan[side];
    const set = fitted && setOf({ ...fitted, table: body.tables?.[fitted.ring_set] });
    const map = new TiltMap({ t });
    map.update(tiltMapModel({
      side, base: [base[side].camber, base[side].toe], window: windowsAt(fold, side), plan: body.plan,
      spread: body.input.spread, ringSetOf: () => set?.ring_set, tables: [],
      check: after && [after[side].camber, after[side].toe],
    }));
    return element("figure", {}, map.element.querySelector(".tilt-map"),
      element("figcaption", { text: t("map.title", { side: t(`drawing.side.${side}`) }) }));
  });
}
