/**
 * Which widget serves which type of row, and which card which `card` of pwa/checklist.json. Each comes when it is first
 * wanted: a phone that is opened in the middle of a job waits for one sheet alone. A card that is not written yet shows
 * its title.
 */

const TYPES = {
  tick: async (row) => (row.hold && row.press !== false ? (await import("./hold-card.js")).HoldCard
    : (await import("./tick-row.js")).TickRow),
  choice: async () => (await import("./choice-row.js")).ChoiceRow,
  text: async () => (await import("./text-row.js")).TextRow,
  number: async () => (await import("./number-table.js")).NumberTable,
  photo: async () => (await import("./photo-row.js")).PhotoRow,
  torque: async () => (await import("../torque-table.js")).TorqueTable,
};

/** A form of several fields, as a card. */
const form = (bring, name) => async () => {
  const [{ formCard }, module] = await Promise.all([import("../form-card.js"), bring()]);
  FORMS[name] ??= formCard(module[name]);
  return FORMS[name];
};
const FORMS = {};

/** name of the card -> what brings its class */
const CARDS = {
  "windows-table": async () => (await import("../windows-table.js")).WindowsTable,
  "readings-table": async () => (await import("../readings-table.js")).ReadingsTable,
  "reading-maps": async () => (await import("../reading-maps.js")).ReadingMaps,
  "evidence": async () => (await import("../evidence-card.js")).EvidenceCard,
  "askew": async () => (await import("../askew-card.js")).AskewCard,
  "swapped": async () => (await import("../swapped-card.js")).SwappedCard,
  "as-found": async () => (await import("../as-found-card.js")).AsFoundCard,
  "old-rings": async () => (await import("../old-rings-card.js")).OldRingsCard,
  "verdict": async () => (await import("../verdict-card.js")).VerdictCard,
  "bolts": async () => (await import("../bolts-card.js")).BoltsCard,
  "bracket-lugs": form(() => import("../bracket-panel.js"), "BracketPanel"),
  "pressures": form(() => import("../pressures-panel.js"), "PressuresPanel"),
  "advice": async () => (await import("../advice-card.js")).AdviceCard,
  "plan": async () => (await import("../plan-table.js")).PlanCard,
  "plan-maps": async () => (await import("../plan-maps-card.js")).PlanMapsCard,
  "other-plans": async () => (await import("../other-plans-card.js")).OtherPlansCard,
  "consent": async () => (await import("../consent-card.js")).ConsentCard,
  "parts": async () => (await import("../parts-card.js")).PartsCard,
  "bench-rings": async () => (await import("../bench-rings.js")).BenchRings,
  "fitting-needs": form(() => import("../fitting-aids-panel.js"), "FittingAidsPanel"),
  "read-back": async () => (await import("../read-back.js")).ReadBack,
  "bolt-mode": async () => (await import("../bolt-mode.js")).BoltMode,
  "bolt-length": async () => (await import("../bolt-length-card.js")).BoltLengthCard,
  "spacers": async () => (await import("../spacers-card.js")).SpacersCard,
  "sign": async () => (await import("../sign-card.js")).SignCard,
  "plan-stands": async () => (await import("../plan-and-parts-holds.js")).PlanStands,
  "parts-missing": async () => (await import("../plan-and-parts-holds.js")).PartsMissing,
  "vehicle-history": async () => (await import("../vehicle-history-card.js")).VehicleHistoryCard,
  "front-readings": async () => (await import("../front-readings.js")).FrontReadings,
  "parts-used": async () => (await import("../parts-used-card.js")).PartsUsedCard,
  "recheck": async () => (await import("../recheck-card.js")).RecheckCard,
  "level": form(() => import("../level-panel.js"), "LevelPanel"),
  "vehicle-type": async () => (await import("../vehicle-type-card.js")).VehicleTypeCard,
  "type-group": async () => (await import("../type-group-card.js")).TypeGroupCard,
  "keep-type": async () => (await import("../keep-type-card.js")).KeepTypeCard,
  "result": async () => (await import("../result-card.js")).ResultCard,
};

/** @returns {Promise<Function>} the class of a row's widget */
export function widgetFor(row) {
  const bring = row.type === "card" ? CARDS[row.card] : TYPES[row.type];
  return bring(row);
}

/** Brings every widget, so that no later sheet waits for its own. */
export function bringWidgets() {
  const widgets = [...Object.values(TYPES), ...Object.values(CARDS)]
    .flatMap((bring) => [bring({}), bring({ hold: true })]);
  return Promise.all([...widgets, import("../type-notice.js")]);
}
