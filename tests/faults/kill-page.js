// Tells the test what is stored, then saves as many entries as its address asks for, and tells of each one that is
// saved. The test kills the whole browser right after the last; nothing is being written then (test_kill.py says why).

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
  const field = { kind: "field-set", slot: `window.source-${k}`, body: { value: k } };
  const begins = { kind: "job-opened", slot: null, body: { checklist: 2 } };
  const content = { job: JOB, after: [], by: "Ada Lind", ...(k === 0 ? begins : field) };
  const entry = await phone.save(content);
  await tell("/saved", entry);
}
