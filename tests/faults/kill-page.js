// Tells the test what is stored, then saves as many entries as its address asks for, and tells of each one that is saved.
// The test kills the whole browser right after the last; nothing is being written then (test_kill.py says why).

import { openPhone } from "/js/store/phone.js";

const JOB = "11111111-1111-4111-8111-111111111111";

async function tell(path, what) {
  await fetch(path, { method: "POST", body: JSON.stringify(what) });
}

const phone = await openPhone();
const entries = await phone.entries(JOB);
await tell("/stored", { health: phone.health, lost: phone.lost, unsent: (await phone.unsent()).entries, entries });
const saves = Number(new URLSearchParams(location.search).get("saves"));
for (let k = entries.length; k < entries.length + saves; k += 1) {
  const content = { job: JOB, kind: "field-set", slot: `window.source-${k}`, after: [], body: { value: k }, by: "Ada Lind" };
  const entry = await phone.save(content);
  await tell("/saved", entry);
}
