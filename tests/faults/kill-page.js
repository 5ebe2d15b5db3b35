// Saves one entry after the other without end, and tells the test of each one that is saved; at the start it tells what is
// stored. The test kills the whole browser in between.

import { openPhone } from "/js/store/phone.js";

const JOB = "11111111-1111-4111-8111-111111111111";

async function tell(path, what) {
  await fetch(path, { method: "POST", body: JSON.stringify(what) });
}

const phone = await openPhone();
const entries = await phone.entries(JOB);
await tell("/stored", { health: phone.health, lost: phone.lost, unsent: (await phone.unsent()).entries, entries });
for (let k = entries.length; ; k += 1) {
  const content = { job: JOB, kind: "field-set", slot: `window.source-${k}`, after: [], body: { value: k }, by: "Ada Lind" };
  await tell("/saved", await phone.save(content));
}
