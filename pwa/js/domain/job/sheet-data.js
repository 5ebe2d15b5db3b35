// The sheets' data (pwa/checklist.json) made ready to be expanded often: every row with its defaults, where it stands,
// and its slots. Pure. It knows nothing of answers or holds.

const templates = new WeakMap();

/**
 * @param {object} checklist parsed checklist.json
 * @returns {{sheets: object[], places: Map<string, object>}} sheets as in the data, each with `pauses` [{id, goingIn,
 *   rows: places}], `when`, `rounds` and `needsPlan`. A place is {row, before, first, isPerWheel, isInRounds, isNew,
 *   isOfPair, slots}: `before`: the row as jobs have it that were begun before it was `required_from`; `isNew`: the
 *   checklist before the sheets had no such row; `isOfPair`: what is said there is said of the
 *   rings that were planned when it was said. Rows of earlier programs that a row stands for (`also`) have a place
 *   beside it
 */
export function templateOf(checklist) {
  if (!templates.has(checklist)) templates.set(checklist, makeTemplate(checklist));
  return templates.get(checklist);
}

/** @throws {Error} for a row that the data do not have: they are ours, so that is a bug */
export function placeOf(template, id) {
  const place = template.places.get(id);
  if (!place) throw new Error(`checklist.json: expected a row ${JSON.stringify(id)}, there is none`);
  return place;
}

/** @returns {object} the row as it is asked in a job that was begun with that checklist */
export function dataOf({ row, before }, begunWith) {
  return row.required_from > begunWith ? before : row;
}

/**
 * The slot of a row: its own `slot` where the data give one, else its id, with the side put in after its first part at
 * a wheel, and from round 2 on, and in round 0, the round in front where that part belongs to the rounds.
 * @param {object} place of the template
 * @param {{round: number, wheel: string|null}} at
 */
export function slotOf(place, { round, wheel }) {
  const name = `${round} ${wheel}`;
  if (!place.slots.has(name)) place.slots.set(name, makeSlot(place, round, place.isPerWheel ? wheel : null));
  return place.slots.get(name);
}

function makeSlot({ row, isInRounds }, round, wheel) {
  if (row.slot) return row.slot.replace("{round}", round).replace("{side}", wheel);
  return (isInRounds && round !== 1 ? `round.${round}.` : "") + (wheel ? row.id.replace(".", `.${wheel}.`) : row.id);
}

function makeTemplate({ sheets, in_rounds: inRounds, option_sets: optionSets, not_in_checklist_1: newRows = [] }) {
  const places = new Map();
  const facts = { inRounds, optionSets, newRows: new Set(newRows) };
  const made = sheets.map((sheet) => ({
    ...sheet,
    when: sheet.when ?? [],
    rounds: sheet.rounds ?? false,
    needsPlan: (sheet.when ?? []).some(({ plan }) => plan),
    pauses: (sheet.pauses ?? [{ id: null, rows: sheet.rows }]).map(({ id, going_in: goingIn = [], rows }, at) => ({
      id,
      goingIn,
      rows: rows.map((row) => {
        const place = placeFrom(sheet, at, row, facts);
        places.set(row.id, place);
        return place;
      }),
    })),
  }));
  const Row = rowClass([...places.values()].map(({ row }) => row));
  for (const place of [...places.values()]) {
    for (const id of place.row.also.filter((each) => !places.has(each))) {
      places.set(id, { ...place, row: { ...place.row, id, slot: undefined }, slots: new Map() });
    }
  }
  return { sheets: made, places, Row };
}

/**
 * Rows are made anew after every entry, some 150 at a time: they hold what may differ and read the rest from their
 * data. A row of forty fields of its own costs four times as much.
 */
function rowClass(all) {
  class Row {
    constructor(data, slot, sheet, pause, place) {
      this.data = data;
      this.key = slot;
      this.slot = slot;
      this.sheet = sheet;
      this.pause = pause;
      this.place = place;
      this.order = 0;
      this.wheel = null;
      this.round = null;
      this.params = null;
      this.alsoSlots = null;
      this.isOfPair = false;
      this.done = false;
      this.overridden = false;
      this.conflict = false;
      this.value = null;
      this.entry = null;
      this.refusal = null;
      this.warning = null;
      this.state = "open";
      this.lockedBy = null;
      this.lockedFor = null;
      this.canPass = false;
      this.unusual = false;
      this.stamp = "";
    }
  }
  for (const name of new Set(all.flatMap(Object.keys))) {
    if (name === "slot") continue; // of the data it may have holes: a row has its own
    Object.defineProperty(Row.prototype, name, { get() { return this.data[name]; } });
  }
  return Row;
}

function placeFrom(sheet, pauseAt, row, { inRounds, optionSets, newRows }) {
  const first = row.id.split(".", 1)[0];
  const data = {
    hold: false, passable: true, press: Boolean(row.hold) && row.type === "tick", gate: false, required: true,
    remembered: false, more: false, caution: null, card: null, table: null, format: null, units: null, items: null,
    shows: null, stays: null, torques: [], usual: undefined,
    ...row,
    options: row.options ? optionSets[row.options] : null,
    when: row.when ?? [],
    closesAll: [row.closes ?? []].flat(),
    also: row.also ?? [],
    optionSet: row.options ?? null,
    sheetId: sheet.id,
    // what only shows something is not gone to
    isAsked: row.type !== "card" || ((row.required ?? true) && row.card !== "verdict"),
  };
  return {
    row: data,
    before: row.required_from ? { ...data, required: false, isAsked: row.type !== "card" } : null,
    first,
    isPerWheel: sheet.per === "wheel" || row.per === "wheel",
    isInRounds: inRounds.includes(first),
    isNew: newRows.has(row.id),
    isOfPair: sheet.id === "bench" || (sheet.id === "wheel" && pauseAt > 0) || namesRings(row.when ?? []),
    slots: new Map(),
  };
}

/** Whether a row is there for the rings that go in. */
function namesRings(conditions) {
  return conditions.some(({ plan, any }) => ["rings", "same-pair", "new-pair"].includes(plan) || namesRings(any ?? []));
}
