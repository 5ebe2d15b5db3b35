// Runs in the page (Playwright's evaluate): saves a job through the product's own store, answering one step after the
// other with what lets the work go on, until the step with slot `until` is the next one (null: to the end).
async ({ until, by }) => {
  const { openPhone } = await import("/js/store/phone.js");
  const { sha256Hex } = await import("/js/store/photos.js");
  const { KIND } = await import("/js/domain/entry.js");
  const { fold, liveIds } = await import("/js/domain/fold.js");
  const { nextStep } = await import("/js/domain/checklist.js");
  const { choose } = await import("/js/domain/choose.js");
  const { makeAngle } = await import("/js/domain/angle.js");
  const { chooseInputOf } = await import("/js/domain/job.js");
  const { loadChecklist } = await import("/js/sync/shell-files.js");

  const phone = await openPhone();
  const checklist = await loadChecklist();
  const job = phone.newJob();
  const entries = [];
  const angle = (quantity, text, way) => makeAngle({ quantity, text, way, unit: "deg" });
  const field = (slot, value) => ({ kind: KIND.FIELD_SET, slot, body: { value } });
  const reading = (slot, camber, toe) => ({
    kind: KIND.READING_TAKEN, slot, body: { camber: angle("camber", camber, "top-in"), toe: angle("toe", toe, "in") },
  });
  const limits = (quantity, low, high) => ({ low: angle(quantity, ...low), high: angle(quantity, ...high) });

  async function photo(about) {
    const canvas = Object.assign(document.createElement("canvas"), { width: 64, height: 48 });
    const pen = canvas.getContext("2d");
    pen.fillStyle = "rgb(200, 40, 30)";
    pen.fillRect(0, 0, 30, 48);
    const bytes = await (await new Promise((done) => canvas.toBlob(done, "image/jpeg"))).arrayBuffer();
    const sha256 = await sha256Hex(bytes);
    const body = { sha256, mime: "image/jpeg", bytes: bytes.byteLength, width: 64, height: 48, about, caption: "" };
    return { kind: KIND.PHOTO_ATTACHED, slot: null, body, photo: { bytes, mime: "image/jpeg", sha256 } };
  }

  async function plan(step, folded) {
    const sets = await phone.ringSets();
    const { input } = chooseInputOf(folded, 1, sets.map(({ id }) => id));
    const { plans, advice } = choose(input, sets.map(({ table }) => table));
    const tables = Object.fromEntries(sets.map(({ id, sha256 }) => [id, sha256]));
    const both = plans.find(({ pairs }) => pairs === 2);
    return { kind: KIND.PLAN_CHOSEN, slot: step.slot, body: { plan: both, input, tables, advice, recommended: both === plans[0] } };
  }

  const panels = {
    "readings": () => [reading("base.left.1", "1.64", "0.42"), reading("base.right.1", "1.12", "0.06")],
    "windows": () => [
      field("window.source", "Data sheet 12, edition 2026-03"),
      ...["left", "right"].flatMap((side) => [
        field(`window.${side}.camber`, limits("camber", ["1.50", "top-in"], ["0.50", "top-in"])),
        field(`window.${side}.toe`, limits("toe", ["0", null], ["0.20", "in"])),
      ]),
      field("window.total-toe", limits("total-toe", ["0.05", "in"], ["0.35", "in"])),
      field("window.thrust", limits("thrust", ["0.10", "left"], ["0.10", "right"])),
      field("window.cross-camber", null),
    ],
    "plan": async (step, folded) => [await plan(step, folded)],
    "consent": (step) => [{ kind: KIND.CONSENT_RECORDED, slot: step.slot, body: {
      findings: "Rear toe out of window", work: "Ring pairs", price: "280 to 420", risks_told: true, customer: "A. Brandt", how: "signed" } }],
    "single-use-list": (step) => [field(step.slot, Object.fromEntries(step.items.map((item) => [item, "at-hand"])))],
    "torque": (step) => [field(step.slot, { value_nm: 68, text: "68", unit: "nm", source: "Manual 4.2, page 118", angle_deg: null })],
    "check-readings": () => [reading("round.1.check.left.1", "1.02", "0.11"), reading("round.1.check.right.1", "1.05", "0.09")],
    "sign": () => [{ kind: KIND.JOB_SIGNED, slot: null, body: { covers: liveIds(entries) } }],
  };
  const answers = {
    tick: (step) => [{ kind: KIND.STEP_DONE, slot: step.slot, body: { hold: step.hold } }],
    choice: (step) => [field(step.slot, step.options.find(({ refuse }) => !refuse).id)],
    text: (step) => [field(step.slot, step.format === "registration" ? "TM 4711" : "As found")],
    number: (step) => [field(step.slot, { text: "62", number: 62, unit: step.units[0] })],
    photo: async (step) => [await photo(step.slot)],
    panel: (step, folded) => panels[step.panel](step, folded),
  };

  async function save(content) {
    const live = content.slot ? fold(entries).slots[content.slot] ?? [] : [];
    entries.push(await phone.save({ job, by, after: live.map(({ id }) => id), ...content }));
  }

  await save({ kind: KIND.JOB_OPENED, slot: null, body: { checklist: checklist.format } });
  for (;;) {
    const folded = fold(entries);
    const step = nextStep(checklist, folded);
    if (!step || step.slot === until) return { job, next: step?.slot ?? null };
    for (const content of await answers[step.type](step, folded)) await save(content);
  }
}
