// Puts ring sets and the plainest beginning of a job into the phone's own store, for browser tests that are about what comes
// later. It writes entries only through the store, as the screens do; it registers no test.

import { nextStep } from "/js/domain/checklist.js";
import { choose } from "/js/domain/choose.js";
import { fold } from "/js/domain/fold.js";
import { chooseInputOf } from "/js/domain/job.js";
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

/** Does step after step in the plainest way until the step `until` is next; answers: {slot: value of a field}. */
export async function workUntil(job, until, answers = {}) {
  const phone = await openPhone();
  const entries = await phone.entries(job);
  for (let count = 0; count < MOST_STEPS; count += 1) {
    const folded = fold(entries);
    const step = nextStep(checklist, folded);
    if (step === null || step.slot === until) return step?.slot ?? null;
    entries.push(await confirm(phone, job, folded, step, answers));
  }
  throw new Error("nextStep never came to an end");
}

/** Bodies of the entries of a kind, the newest last. */
export async function bodiesOf(job, kind) {
  const phone = await openPhone();
  return (await phone.entries(job)).filter((entry) => entry.kind === kind).map(({ slot, body }) => ({ slot, body }));
}

async function confirm(phone, job, folded, step, answers) {
  const { slot, type, panel } = step;
  const save = (kind, body) => phone.save({ job, kind, slot, after: (folded.slots[slot] ?? []).map(({ id }) => id), body, by: BY });
  if (slot in answers) return save("field-set", { value: answers[slot] });
  if (type === "tick") return save("step-done", { hold: step.hold });
  if (type === "choice") return save("field-set", { value: step.options.find(({ refuse, warn }) => !refuse && !warn).id });
  if (type === "text") return save("field-set", { value: "As asked" });
  if (type === "number") return save("field-set", { value: { text: "62", number: 62, unit: step.units[0] } });
  if (type === "photo") return takePhoto(phone, job, slot);
  return PANELS[panel](save, { phone, folded, step });
}

const PANELS = {
  plan: async (save, { phone, folded, step }) => {
    const sets = await phone.ringSets();
    const round = Number(/^round\.(\d+)/.exec(step.slot)[1]);
    const { input } = chooseInputOf(folded, round, sets.map(({ id }) => id));
    const { plans, advice } = choose(input, sets.map(({ table }) => table));
    const tables = Object.fromEntries(sets.map(({ id, sha256 }) => [id, sha256]));
    return save("plan-chosen", { plan: plans[0], input, tables, advice, recommended: true });
  },
  consent: (save) => save("consent-recorded", { findings: "Left rear wheel leans in", work: "Rings", price: "200", risks_told: true, customer: "A. Person", how: "signed" }),
  "single-use-list": (save, { step }) => save("field-set", { value: Object.fromEntries(step.items.map((item) => [item, item === "bearing" ? "not-needed" : "at-hand"])) }),
  torque: (save) => save("field-set", { value: { value_nm: 70, text: "70", unit: "nm", source: "Service information, page 12", angle_deg: null } }),
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
