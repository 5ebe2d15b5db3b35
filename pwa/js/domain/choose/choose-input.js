// The input of choosing, checked and completed: the twin of calc/choose/choose_input.py, with the same field paths.
// It decides nothing. All angles are whole mdeg; standard deviations may be any number.

import {
  BAND_CAMBER_MDEG, BAND_MDEG_HIGH, BAND_TOE_MDEG, CAMBER_SD_MDEG, CHOOSE_KEYS, CHOOSE_KEYS_OPTIONAL, CLOCK_SD_DEG,
  CLOCK_SD_DEG_HIGH, DOUBTS_HIGH, DOUBT_CODE_LENGTH_HIGH, MARK_SD_STEPS, MARK_SD_STEPS_HIGH, READING_LIMIT_MDEG,
  RING_SETS_HIGH, SD_MDEG_HIGH, SEAT_SD_MDEG, THRUST_SD_MDEG, TOE_SD_MDEG, WANTS_RINGS,
} from "../constants.js";
import { checkChoice, checkInteger, checkKeys, checkList, checkNumber, checkSame,
  checkText } from "../numbers/checks.js";
import { InputError } from "../numbers/input-error.js";
import { WHEEL_ANGLES } from "../numbers/quantities.js";
import { SIDES } from "../numbers/sides.js";
import { edgesOf } from "../numbers/window.js";

const DEFAULT_BAND = { camber: BAND_CAMBER_MDEG, toe: BAND_TOE_MDEG };
const DEFAULT_READING_SD = { camber_sd: CAMBER_SD_MDEG, toe_sd: TOE_SD_MDEG };
// name -> [default, highest]
const OTHER_SPREADS = {
  thrust_sd: [THRUST_SD_MDEG, SD_MDEG_HIGH],
  clock_sd_deg: [CLOCK_SD_DEG, CLOCK_SD_DEG_HIGH],
  mark_sd_steps: [MARK_SD_STEPS, MARK_SD_STEPS_HIGH],
  seat_sd: [SEAT_SD_MDEG, SD_MDEG_HIGH],
};

/**
 * @param {object} input choose's input; `ring_sets` may hold ids or whole ring sets
 * @param {object[]} tables the parsed tables that the phone holds
 * @returns {{tables: object[], doubts: object, wheels: object, windows: object, axle: object, band: object, spread:
 *   object}} complete: `tables` are those of the ring sets that may be chosen from, in their order, an untrusted one
 *   only where it was put in, with its `doubts`; an edge that a window has not lies at infinity
 * @throws {InputError} naming the field
 */
export function checkedInput(input, tables) {
  checkKeys(input, "", CHOOSE_KEYS, CHOOSE_KEYS_OPTIONAL);
  checkKeys(input.wheels, "wheels", SIDES);
  checkKeys(input.windows, "windows", SIDES);
  const named = tablesOf(input.ring_sets, tables);
  const doubts = checkedDoubts("untrusted" in input ? input.untrusted : {}, named);
  checkPutIn("put_in" in input ? input.put_in : [], named);
  for (const side of SIDES) {
    checkReading(input.wheels[side], `wheels.${side}`);
    checkWindows(input.windows[side], `windows.${side}`);
  }
  checkAxle(input.axle);
  return {
    tables: named.filter(({ ring_set: { id } }) => mayBeChosen(input, id)),
    doubts: Object.fromEntries(Object.entries(doubts).filter(([id]) => mayBeChosen(input, id))),
    wheels: input.wheels,
    windows: { left: withEdges(input.windows.left), right: withEdges(input.windows.right) },
    axle: Object.fromEntries(Object.entries(input.axle).map(([name, window]) => [name, edgesOf(window)])),
    band: completeBand("band" in input ? input.band : {}),
    spread: completeSpread("spread" in input ? input.spread : {}),
  };
}

/**
 * @param {{untrusted?: object, put_in?: string[]}} input of choosing
 * @param {string} id of one of its ring sets
 * @returns {boolean} an untrusted set may be chosen only where a person has put it in
 */
export function mayBeChosen({ untrusted = {}, put_in: putIn = [] }, id) {
  return !Object.hasOwn(untrusted, id) || putIn.includes(id);
}

function checkedDoubts(untrusted, tables) {
  checkKeys(untrusted, "untrusted", [], idsOf(tables));
  for (const [id, codes] of Object.entries(untrusted)) {
    checkList(codes, `untrusted.${id}`, 1, DOUBTS_HIGH);
    codes.forEach((code, place) => checkText(code, `untrusted.${id}[${place}]`, DOUBT_CODE_LENGTH_HIGH));
  }
  return untrusted;
}

function checkPutIn(putIn, tables) {
  checkList(putIn, "put_in", 0, RING_SETS_HIGH);
  putIn.forEach((id, place) => {
    checkChoice(id, `put_in[${place}]`, idsOf(tables));
    if (putIn.indexOf(id) < place) throw new InputError("bad-input", `put_in[${place}]`, "an id of its own", id);
  });
}

function idsOf(tables) {
  return tables.map(({ ring_set: { id } }) => id);
}

function tablesOf(ringSets, tables) {
  checkList(ringSets, "ring_sets", 0, RING_SETS_HIGH);
  const chosen = ringSets.map((ringSet, place) => tableOf(ringSet, tables, `ring_sets[${place}]`));
  const twice = chosen.findIndex((table, place) => chosen.indexOf(table) < place);
  if (twice >= 0) {
    throw new InputError("bad-input", `ring_sets[${twice}].id`, "an id of its own", chosen[twice].ring_set.id);
  }
  return chosen;
}

// Python built the table from the ring set, so a ring set that equals its table's is a checked one.
function tableOf(ringSet, tables, field) {
  const isId = typeof ringSet === "string";
  if (!isId) checkKeys(ringSet, field, ["id"], Object.keys(ringSet ?? {}));
  const id = isId ? ringSet : ringSet.id;
  const table = tables.find((each) => each.ring_set.id === id);
  if (!table) throw new InputError("bad-input", isId ? field : `${field}.id`, "a ring set whose table is here", id);
  if (!isId) checkSame(ringSet, table.ring_set, field);
  return table;
}

function checkReading(reading, field) {
  checkKeys(reading, field, ["camber", "toe", "rings"]);
  checkInteger(reading.camber, `${field}.camber`, -READING_LIMIT_MDEG, READING_LIMIT_MDEG);
  checkInteger(reading.toe, `${field}.toe`, -READING_LIMIT_MDEG, READING_LIMIT_MDEG);
  checkChoice(reading.rings, `${field}.rings`, WANTS_RINGS);
}

function checkWindows(windows, field) {
  checkKeys(windows, field, ["camber", "toe", "aim"]);
  checkWindow(windows.camber, `${field}.camber`, READING_LIMIT_MDEG);
  checkWindow(windows.toe, `${field}.toe`, READING_LIMIT_MDEG);
  if (windows.aim === null) return;
  checkList(windows.aim, `${field}.aim`, 2, 2);
  WHEEL_ANGLES.forEach((angle, at) => {
    checkInteger(windows.aim[at], `${field}.aim.${angle}`, -READING_LIMIT_MDEG, READING_LIMIT_MDEG);
  });
}

function withEdges({ camber, toe, aim }) {
  return { camber: edgesOf(camber), toe: edgesOf(toe), aim };
}

function checkAxle(axle) {
  checkKeys(axle, "axle", ["total_toe", "thrust", "cross_camber"]);
  checkWindow(axle.total_toe, "axle.total_toe", 2 * READING_LIMIT_MDEG);
  checkWindow(axle.thrust, "axle.thrust", READING_LIMIT_MDEG);
  checkWindow(axle.cross_camber, "axle.cross_camber", 2 * READING_LIMIT_MDEG);
}

function checkWindow(window, field, limit) {
  if (window === null) return;
  checkList(window, field, 2, 2);
  if (window.every((edge) => edge === null)) {
    throw new InputError("bad-input", field, "[low, high] with one edge at least, or null for no window", window);
  }
  window.forEach((edge, place) => edge === null || checkInteger(edge, `${field}[${place}]`, -limit, limit));
  const [low, high] = edgesOf(window);
  if (low > high) throw new InputError("bad-input", field, "[low, high] with low not above high", window);
}

function completeBand(band) {
  checkKeys(band, "band", [], Object.keys(DEFAULT_BAND));
  const complete = { ...DEFAULT_BAND, ...band };
  for (const angle of Object.keys(complete)) checkInteger(complete[angle], `band.${angle}`, 1, BAND_MDEG_HIGH);
  return complete;
}

/** @returns {object} the standard deviations of choosing; whatever is left out is the default */
export function completeSpread(spread) {
  checkKeys(spread, "spread", [], [...Object.keys(DEFAULT_READING_SD), ...Object.keys(OTHER_SPREADS)]);
  const complete = {};
  for (const [name, usual] of Object.entries(DEFAULT_READING_SD)) {
    complete[name] = completeReadingSd(name in spread ? spread[name] : {}, `spread.${name}`, usual);
  }
  for (const [name, [usual, high]] of Object.entries(OTHER_SPREADS)) {
    complete[name] = checkNumber(name in spread ? spread[name] : usual, `spread.${name}`, 0, high);
  }
  return complete;
}

function completeReadingSd(given, field, usual) {
  checkKeys(given, field, [], SIDES);
  const complete = { left: usual, right: usual, ...given };
  for (const side of SIDES) checkNumber(complete[side], `${field}.${side}`, 0, SD_MDEG_HIGH);
  return complete;
}
