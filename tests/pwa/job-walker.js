// Walks a job in the phone's own store in the plainest way, for browser tests that are about what comes later. It writes
// entries only through the store, as the screens do; it registers no test.

import { makeAngle } from "/js/domain/numbers/angle.js";
import { nextStep } from "/js/domain/job/checklist.js";
import { choose } from "/js/domain/choose/choose.js";
import { fold, liveIds } from "/js/domain/job/fold.js";
import { chooseInputOf } from "/js/domain/job/job.js";
import { openPhone } from "/js/store/phone.js";
import { sha256Hex } from "/js/store/photos.js";

const BY = "Iris Vance";
const MOST_STEPS = 300;
const checklist = await (await fetch("/checklist.json")).json(); // read at once: the network may be cut later

/** Keeps ring sets: [{id, name, revision, retired, table, text}], text the table's own bytes. Sets settings. */
export async function equip({ ringSets, settings }) {
  const phone = await openPhone();
  for (const { table, text } of ringSets) await phone.keepTable(table, new TextEncoder().encode(text).buffer);
  await phone.keepRingSets(ringSets.map(({ text, ...ringSet }) => ringSet));
  for (const [name, chosen] of Object.entries({ technician: BY, ...settings })) await phone.setSetting(name, chosen);
}

/** Opens a job with facts of its own: [[slot, kind, body]]. */
export async function openJob(facts) {
  const phone = await openPhone();
  const job = phone.newJob();
  await phone.save({ job, kind: "job-opened", slot: null, after: [], body: { checklist: 1 }, by: BY });
  for (const [slot, kind, body] of facts) await phone.save({ job, kind, slot, after: [], body, by: BY });
  return job;
}

/**
 * Does step after step in the plainest way until the step `until` is next (null: to the end).
 * @param {{answers?: object, pairs?: number|null}} wish {slot: value of a field}; how many ring pairs the plan has, else the recommended one
 * @returns {Promise<string|null>} the slot that is next
 */
export async function workUntil(job, until, { answers = {}, pairs = null } = {}) {
  const phone = await openPhone();
  const entries = await phone.entries(job);
  for (let count = 0; count < MOST_STEPS; count += 1) {
    const folded = fold(entries);
    const step = nextStep(checklist, folded);
    if (step === null || step.slot === until) return step?.slot ?? null;
    entries.push(...[await confirm({ phone, job, entries, folded, step, pairs }, answers)].flat());
  }
  throw new Error("nextStep never came to an end");
}

/** Bodies of the entries of a kind, the newest last. */
export async function bodiesOf(job, kind) {
  const phone = await openPhone();
  return (await phone.entries(job)).filter((entry) => entry.kind === kind).map(({ slot, body }) => ({ slot, body }));
}

/** Saves what confirms a step; resolves with the entry, or the entries. */
function confirm(at, answers) {
  const { phone, job, folded, step } = at;
  const { slot, type, panel } = step;
  const saveIn = (own, kind, body) => phone.save({ job, kind, slot: own, after: (folded.slots[own] ?? []).map(({ id }) => id), body, by: BY });
  const save = (kind, body) => saveIn(slot, kind, body);
  if (slot in answers) return save("field-set", { value: answers[slot] });
  if (type === "tick") return save("step-done", { hold: step.hold });
  if (type === "choice") return save("field-set", { value: step.options.find(({ refuse, warn }) => !refuse && !warn).id });
  if (type === "text") return save("field-set", { value: step.format === "registration" ? "TM 4711" : "As asked" });
  if (type === "number") return save("field-set", { value: { text: "62", number: 62, unit: step.units[0] } });
  if (type === "photo") return takePhoto(phone, job, slot);
  return PANELS[panel](save, at, saveIn);
}

const angle = (quantity, text, way) => makeAngle({ quantity, text, way, unit: "deg" });

/** Saves one after the other, each {slot: body} of a kind. */
async function saveAll(saveIn, kind, bodies) {
  const saved = [];
  for (const [slot, body] of Object.entries(bodies)) saved.push(await saveIn(slot, kind, body));
  return saved;
}

function read(saveIn, prefix, wheels) {
  return saveAll(saveIn, "reading-taken", Object.fromEntries(Object.entries(wheels).map(([side, [camber, toe]]) =>
    [`${prefix}.${side}.1`, { camber: angle("camber", camber, "top-in"), toe: angle("toe", toe, "in") }])));
}

function windows() {
  const limits = (quantity, low, high) => ({ low: angle(quantity, ...low), high: angle(quantity, ...high) });
  return {
    "window.source": "Data sheet 12, edition 2026-03",
    ...Object.fromEntries(["left", "right"].flatMap((side) => [
      [`window.${side}.camber`, limits("camber", ["1.50", "top-in"], ["0.50", "top-in"])],
      [`window.${side}.toe`, limits("toe", ["0", null], ["0.20", "in"])],
    ])),
    "window.total-toe": limits("total-toe", ["0.05", "in"], ["0.35", "in"]),
    "window.thrust": limits("thrust", ["0.10", "left"], ["0.10", "right"]),
    "window.cross-camber": null,
  };
}

const PANELS = {
  readings: (save, at, saveIn) => read(saveIn, "base", { left: ["1.64", "0.42"], right: ["1.12", "0.06"] }),
  windows: (save, at, saveIn) => saveAll(saveIn, "field-set", Object.fromEntries(Object.entries(windows()).map(([slot, value]) => [slot, { value }]))),
  plan: async (save, { phone, folded, step, pairs }) => {
    const sets = await phone.ringSets();
    const round = Number(/^round\.(\d+)/.exec(step.slot)[1]);
    const { input } = chooseInputOf(folded, round, sets.map(({ id }) => id));
    const { plans, advice } = choose(input, sets.map(({ table }) => table));
    const tables = Object.fromEntries(sets.map(({ id, sha256 }) => [id, sha256]));
    const plan = plans.find((each) => pairs === null || each.pairs === pairs);
    return save("plan-chosen", { plan, input, tables, advice, recommended: plan === plans[0] });
  },
  consent: (save) => save("consent-recorded", { findings: "Left rear wheel leans in", work: "Rings", price: "200", risks_told: true, customer: "A. Person", how: "signed" }),
  "single-use-list": (save, { step }) => save("field-set", { value: Object.fromEntries(step.items.map((item) => [item, item === "bearing" ? "not-needed" : "at-hand"])) }),
  torque: (save) => save("field-set", { value: { value_nm: 70, text: "70", unit: "nm", source: "Service information, page 12", angle_deg: null } }),
  "check-readings": (save, at, saveIn) => read(saveIn, "round.1.check", { left: ["1.02", "0.11"], right: ["1.05", "0.09"] }),
  sign: (save, { phone, job, entries }) => phone.save({ job, kind: "job-signed", slot: null, after: [], body: { covers: liveIds(entries) }, by: BY }),
};

async function takePhoto(phone, job, about) {
  const canvas = new OffscreenCanvas(64, 48);
  const pen = canvas.getContext("2d");
  pen.fillStyle = "#888";
  pen.fillRect(0, 0, 64, 48);
  const bytes = await (await canvas.convertToBlob({ type: "image/jpeg" })).arrayBuffer();
  const sha256 = await sha256Hex(bytes);
  const body = { sha256, mime: "image/jpeg", bytes: bytes.byteLength, width: 64, height: 48, about, caption: "" };
  return phone.save({ job, kind: "photo-attached", slot: null, after: [], body, by: BY, photo: { bytes, mime: "image/jpeg", sha256 } });
}
