// What the server refused is said by step and job, with the reason in the phone's language and what to do; never as
// bare code.

import { Job } from "/js/domain/job/living-job.js";
import { makeText } from "/js/ui/words/text.js";
import { RefusedList } from "/js/ui/screens/refused-list.js";
import { equal, ok, test } from "./harness.js";

const JOB = "11111111-1111-4111-8111-111111111111";
const CHECKLIST = await (await fetch("/checklist.json")).json();
const FILES = ["shop", "checklist", "phone", "sheets", "titles", "ui"];
const messages = Object.assign({},
  ...await Promise.all(FILES.map(async (file) => (await fetch(`/text/es/${file}.json`)).json())));
const t = makeText(messages, "es");

const entry = (kind, slot, body) =>
  ({ format: 1, id: JOB, job: JOB, device: JOB, n: 1, at: "", by: "x", kind, slot, after: [], body });

async function listed({ refused = [], refusedPhotos = [], entries = [] }) {
  const phone = { refused: async () => refused, refusedPhotos: async () => refusedPhotos };
  const list = new RefusedList({ t, phone, job: async (id) => new Job({ id, entries, checklist: CHECKLIST }) });
  await list.update();
  return list.element;
}

const saidOf = (element) => [...element.querySelectorAll(".sheet > p")].map(({ textContent }) => textContent);

test("a refused entry: its step, its job, why and what to do; what was sent behind a tap", async () => {
  const registration = entry("field-set", "vehicle.registration", { value: "QX 41 LTM" });
  const sent = entry("field-set", "vehicle.odometer", { value: "x".repeat(10) });
  const element = await listed({
    refused: [{ entry: sent, reason: "bad-field", text: "The entry has a field that is not what it must be." }],
    entries: [registration],
  });
  const [said, why] = saidOf(element);
  equal(said, t("refused.what", { place: t("row.vehicle.odometer.title"), registration: "QX 41 LTM" }));
  equal(why, t("refused.why.bad-field"));
  ok(!element.querySelector("details").open);
  ok(element.querySelector("details").textContent.includes("xxxxxxxxxx"));
});

test("a refused photo has no content to show; a reason that is not known is shown as the server said it", async () => {
  const element = await listed({ refusedPhotos: [{ sha256: "0", job: JOB, reason: "photo-format" },
    { sha256: "1", job: JOB, reason: "of-a-later-server" }] });
  const said = saidOf(element);
  equal(said[0], t("refused.what", { place: t("refused.photo-attached"), registration: t("refused.no-registration") }));
  equal(said[1], t("refused.why.photo-format"));
  equal(said[3], t("refused.why", { reason: "of-a-later-server" }));
  equal(element.querySelector("details"), null);
});

test("every kind of entry, also of a slot without a step of its own, is said in words", async () => {
  const slots = {
    "field-set": ["base.equipment", "window.left.toe", "aim.left", "rings.right", "prepare.left.ring-lot"],
    "reading-taken": ["base.left.1", "round.1.check.right.2", "front.before.left"],
    "plan-chosen": ["round.1.plan"], "consent-recorded": ["consent"],
    "step-done": ["fit.left.hub-bolts", "prepare.left.right-set", "prepare.right.marks-meet", "round.3.fit.lowered"],
    "step-undone": ["fit.chocked"], "hold-overridden": ["fit.supported"],
  };
  const own = ["photo-attached", "note-written", "job-opened", "job-stopped", "job-signed", "job-reopened"]
    .map((kind) => entry(kind, JOB, {}));
  const sent = [...own, ...Object.entries(slots)
    .flatMap(([kind, names]) => names.map((slot) => entry(kind, slot, {})))];
  const element = await listed({ refused: sent.map((each) => ({ entry: each, reason: "bad-field", text: null })) });
  const said = saidOf(element).filter((text, at) => at % 2 === 0);
  equal(said.length, sent.length);
  for (const [at, text] of said.entries()) ok(!/[{}[\]]|[0-9a-f]{8}-|\w\.\w/.test(text), `${sent[at].slot}: ${text}`);
});

test("nothing refused shows nothing", async () => {
  equal((await listed({})).textContent, "");
});
