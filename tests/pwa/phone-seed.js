// Equips a phone and works a job in its own store in the plainest way, with plans that choosing really makes, for
// browser tests that are about what comes later. It writes entries only through the store, as the screens do; it
// registers no test.

import { choose } from "/js/domain/choose/choose.js";
import { chooseInputOf } from "/js/domain/job/job.js";
import { makeAngle } from "/js/domain/numbers/angle.js";
import { openPhone } from "/js/store/phone.js";
import { sha256Hex } from "/js/store/photos.js";
import { checklist, SheetsJob } from "/tests/sheets-job.js";

const BY = "Iris Vance";
const MOST_ROWS = 400;

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
  const opened = { kind: "job-opened", slot: null, body: { checklist: checklist.checklist } };
  const contents = [opened, ...facts.map(([slot, kind, body]) => ({ kind, slot, body }))];
  await phone.saveTogether(contents.map((content) => ({ job, after: [], by: BY, ...content })));
  return job;
}

/**
 * Does row after row in the plainest way until the row `until` is next (null: as far as it goes).
 * @param {{answers?: Object, pairs?: number|null, rows?: number}} wish {slot: value of a field}; how many pairs the
 *   plan has, else the recommended one; at most so many rows
 * @returns {Promise<string|null>} the slot that is next
 */
export async function workUntil(job, until, { answers = {}, pairs = null, rows = Infinity } = {}) {
  const phone = await openPhone();
  const sets = await phone.ringSets();
  const entries = await phone.entries(job);
  const made = new SheetsJob(entries);
  const photos = new Map();
  for (let count = 0; count < MOST_ROWS; count += 1) {
    const row = made.nextOpen();
    if (row === null || row.slot === until || count === rows) {
      await saveAll(phone, job, made.entries.slice(entries.length), photos);
      return row?.slot ?? null;
    }
    if (row.slot in answers) made.set(row.slot, answers[row.slot]);
    else if (row.card === "advice")
      made.set(row.slot, Object.fromEntries(chosenIn(made, sets)
        .advice.map((code) => [code, { answer: "looked", text: "Looked: sound" }])));
    else if (row.card === "plan") takePlan(made, row, sets, pairs);
    else if (row.card === "windows-table") giveWindows(made);
    else if (row.card === "readings-table") read(made, row);
    else if (row.type === "photo") photos.set(made.photo(row.slot).entries.at(-1).id, await photo(row.slot));
    else made.confirm(row);
    const after = made.row(row.slot);
    if (made.nextOpen()?.slot === row.slot) throw new Error(`stuck at ${row.slot}: ${after?.state}`);
  }
  throw new Error(`${until} was never next`);
}

/** Bodies of the entries of a kind, the newest last. */
export async function bodiesOf(job, kind) {
  const phone = await openPhone();
  const entries = (await phone.entries(job)).filter((entry) => entry.kind === kind).sort((a, b) => a.n - b.n);
  return entries.map(({ slot, body }) => ({ slot, body }));
}

function chosenIn(made, sets) {
  const { input } = chooseInputOf(made.fold, made.round, sets.map(({ id }) => id), made.begun());
  return { input, ...choose(input, sets.map(({ table }) => table)) };
}

function takePlan(made, { slot }, sets, pairs) {
  const { input, plans, advice } = chosenIn(made, sets);
  const plan = plans.find((each) => pairs === null || each.pairs === pairs);
  const { open, less, bare } = made.begun();
  const tables = Object.fromEntries(sets.map(({ id, sha256 }) => [id, sha256]));
  made.add(slot, "plan-chosen", { plan, input, tables, advice, recommended: plan === plans[0],
    ...(open && { open, less }), ...(bare && { bare }) });
}

const angle = (quantity, text, way) => makeAngle({ quantity, text, way, unit: "deg" });
const READINGS = { base: { left: ["1.64", "0.42"], right: ["1.12", "0.06"] },
  check: { left: ["1.02", "0.11"], right: ["1.05", "0.09"] } };

function read(made, { id, round }) {
  const prefix = id === "check.readings" ? `round.${round}.check` : "base";
  for (const [side, [camber, toe]] of Object.entries(READINGS[id === "check.readings" ? "check" : "base"])) {
    made.add(`${prefix}.${side}.1`, "reading-taken",
      { camber: angle("camber", camber, "top-in"), toe: angle("toe", toe, "in") });
  }
}

function giveWindows(made) {
  const limits = (quantity, low, high) => ({ low: angle(quantity, ...low), high: angle(quantity, ...high) });
  for (const side of ["left", "right"]) {
    made.set(`window.${side}.camber`, limits("camber", ["1.50", "top-in"], ["0.50", "top-in"]));
    made.set(`window.${side}.toe`, limits("toe", ["0", null], ["0.20", "in"]));
  }
  made.set("window.total-toe", limits("total-toe", ["0.05", "in"], ["0.35", "in"]));
  made.set("window.thrust", limits("thrust", ["0.10", "left"], ["0.10", "right"]));
  made.set("window.cross-camber", null);
}

async function photo(about) {
  const canvas = new OffscreenCanvas(64, 48);
  const pen = canvas.getContext("2d");
  pen.fillStyle = "#888";
  pen.fillRect(0, 0, 64, 48);
  const bytes = await (await canvas.convertToBlob({ type: "image/jpeg" })).arrayBuffer();
  const sha256 = await sha256Hex(bytes);
  return { body: { sha256, mime: "image/jpeg", bytes: bytes.byteLength, width: 64, height: 48, about, caption: "" },
    photo: { bytes, mime: "image/jpeg", sha256 } };
}

/** Ids of the made-up entries become those of the store. What names none of the others is saved with them, at once. */
async function saveAll(phone, job, made, photos) {
  const ids = new Map();
  const known = (value) => JSON.parse(JSON.stringify(value), (key, inner) => ids.get(inner) ?? inner);
  let waiting = [];
  const save = async () => {
    const contents = waiting.map(({ id, kind, slot, after, body }) => ({
      job, kind, slot: slot === id ? null : slot, after: known(after), by: BY, body: known(body), ...photos.get(id),
    }));
    for (const [k, { id }] of (contents.length ? await phone.saveTogether(contents) : []).entries())
      ids.set(waiting[k].id, id);
    waiting = [];
  };
  for (const entry of made) {
    const said = JSON.stringify([entry.after, entry.body]);
    if (waiting.some(({ id }) => said.includes(id))) await save();
    waiting.push(entry);
  }
  await save();
}
