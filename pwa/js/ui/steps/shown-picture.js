/** What a step asks for under its title: the ring pair as the person at that wheel sees it, the order of the bolts, or rings of an earlier job. */

import { currentRound, planOf } from "../../domain/job/checklist-slots.js";
import { earlierRings } from "../../domain/job/earlier-rings.js";
import { CLEARANCE_MM } from "../../domain/rings/cutting.js";
import { tighteningOrder } from "../../domain/fit/tightening.js";
import { boltsOf, torqueOf } from "../../domain/job/fit-request.js";
import { BoltOrder } from "../drawings/bolt-order.js";
import { keptJobs } from "../kept-jobs.js";
import { Draft } from "../parts/draft.js";
import { element } from "../parts/element.js";
import { RingDrawing } from "../drawings/ring-drawing.js";
import { stagesWords, typedTorqueWords } from "../panels/fit/torque-words.js";
import { remark } from "../parts/signal.js";
import { dateAndTime } from "../words/when.js";

/**
 * @returns {Promise<{picture: HTMLElement, more: HTMLElement|null, isFirst: boolean}|null>} `more` belongs under the answer; `isFirst`: it is what is
 *   confirmed, so it comes before anything else that is said; null where the step shows nothing, or what it would show is not known
 */
export async function shownPicture(context) {
  if (context.step.shows === "earlier-rings") return earlierPairs(context);
  if (!context.step.wheel) return null;
  if (context.step.shows === "ring-drawing") return ringPicture(context);
  return context.step.shows === "tightening-order" ? boltPicture(context) : null;
}

/** What this phone's own record says of the vehicle, beside the question whether rings are fitted. */
async function earlierPairs({ app, job }) {
  const { t, phone, locale } = app;
  const earlier = earlierRings(await keptJobs(phone), job.registration, job.id);
  if (!earlier) return null;
  const said = (side) => {
    const [inner, outer] = earlier[side]?.pair ?? [];
    return earlier[side] ? t("ui.pair", { set: job.names[earlier[side].ring_set] ?? earlier[side].ring_set, inner, outer }) : t("ui.pair.none");
  };
  const text = t("ui.earlier-rings", { date: dateAndTime(earlier.at, locale), left: said("left"), right: said("right") });
  return { picture: remark({ name: "warning", text, key: "earlier-rings" }), more: null, isFirst: false };
}

async function ringPicture({ app, job, step }) {
  const body = planOf(job.fold, currentRound(job.fold));
  const fitted = body?.plan[step.wheel];
  const ringSet = fitted && (await ringSetOf(app, body, fitted));
  if (!ringSet) return null;
  const bolts = boltsOf(job.fold, step.wheel);
  const drawing = new RingDrawing({ t: app.t, isFolded: true });
  drawing.update({
    side: step.wheel, ringSet, pair: fitted.pair, bolts: bolts?.at ?? [],
    clearance_mm: bolts?.thread ? CLEARANCE_MM[bolts.thread.diameter_mm] : null,
  });
  return { picture: drawing.element, more: drawing.more, isFirst: true };
}

/** The typed torque with its source, then bolt by bolt in stages up to it; how far one has come is a draft, so that a killed page goes on there. */
async function boltPicture({ app, job, step }) {
  const bolts = boltsOf(job.fold, step.wheel);
  const torque = torqueOf(job.fold);
  if (!torque) return null;
  const typed = element("p", { key: "typed-torque", class: "detail-text", text: typedTorqueWords(app.t, torque) });
  if (!bolts) return { picture: typed, more: null, isFirst: false };
  const draft = new Draft(app.phone, `tightened.${job.id}.${step.slot}`);
  const order = new BoltOrder({ t: app.t, onTightened: (count) => draft.write(count) });
  order.update({
    side: step.wheel, bolts: bolts.at, order: tighteningOrder(bolts.at),
    stages: stagesWords(app.t, torque), tightened: (await draft.read()) ?? 0,
  });
  return { picture: element("div", { class: "stack" }, typed, order.element), more: null, isFirst: false };
}

/** The ring set of the very table that the plan named: it may have been changed since. */
export async function ringSetOf(app, body, fitted) {
  const name = body.tables?.[fitted.ring_set];
  const table = name ? await app.phone.table(name) : null;
  return table?.ring_set ?? (await app.phone.ringSets()).find(({ id }) => id === fitted.ring_set)?.table.ring_set ?? null;
}
