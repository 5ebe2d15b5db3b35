// What the server refused is said by step and job, with the reason in the phone's language and what to do; never as bare code.

import { makeText } from "/js/ui/words/text.js";
import { RefusedList } from "/js/ui/screens/refused-list.js";
import { equal, ok, test } from "./harness.js";

const JOB = "11111111-1111-4111-8111-111111111111";
const FILES = ["checklist", "phone", "ui"];
const messages = Object.assign({}, ...await Promise.all(FILES.map(async (file) => (await fetch(`/text/es/${file}.json`)).json())));
const t = makeText(messages, "es");

const entry = (kind, slot, body) => ({ format: 1, id: JOB, job: JOB, device: JOB, n: 1, at: "", by: "x", kind, slot, after: [], body });

async function listed(phone) {
  const none = { refused: async () => [], refusedPhotos: async () => [], entries: async () => [] };
  const list = new RefusedList({ t, phone: { ...none, ...phone } });
  await list.update();
  return list.element;
}

test("a refused entry: its step, its job, why and what to do; what was sent behind a tap", async () => {
  const registration = entry("field-set", "vehicle.registration", { value: "QX 41 LTM" });
  const sent = entry("field-set", "vehicle.odometer", { value: "x".repeat(10) });
  const element = await listed({
    refused: async () => [{ entry: sent, reason: "bad-field", text: "The entry has a field that is not what it must be." }],
    entries: async () => [registration],
  });
  const [said, why] = [...element.querySelectorAll(".sheet > p")].map(({ textContent }) => textContent);
  equal(said, t("ui.refused.what", { place: t("step.vehicle.odometer.title"), registration: "QX 41 LTM" }));
  equal(why, t("ui.refused.why.bad-field"));
  ok(!element.querySelector("details").open);
  ok(element.querySelector("details").textContent.includes("xxxxxxxxxx"));
});

test("a refused photo has no content to show; a reason that is not known is shown as the server said it", async () => {
  const element = await listed({ refusedPhotos: async () => [{ sha256: "0", job: JOB, reason: "photo-format" }, { sha256: "1", job: JOB, reason: "of-a-later-server" }] });
  const said = [...element.querySelectorAll(".sheet > p")].map(({ textContent }) => textContent);
  equal(said[0], t("ui.refused.what", { place: t("ui.refused.photo"), registration: t("ui.refused.no-registration") }));
  equal(said[1], t("ui.refused.why.photo-format"));
  equal(said[3], t("ui.refused.why", { reason: "of-a-later-server" }));
  equal(element.querySelector("details"), null);
});

test("nothing refused shows nothing", async () => {
  equal((await listed({})).textContent, "");
});
