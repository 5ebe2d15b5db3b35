// The input of choosing, checked and completed: the twin of calc/choose/choose_input.py, with the same field paths.
// It decides nothing. All angles are whole mdeg; standard deviations may be any number.

import { checkChoice, checkInteger, checkKeys, checkList, checkNumber, checkSame } from "../numbers/checks.js";
import { InputError } from "../numbers/input-error.js";
import { PARTS } from "../numbers/quantities.js";
import { SIDES } from "../numbers/sides.js";
import { READING_LIMIT_MDEG } from "../numbers/units.js";

const RINGS = ["auto", "yes", "no"];
const RING_SETS_HIGH = 50;
const BAND_MDEG_HIGH = 5000;
const SD_MDEG_HIGH = 5000;

const DEFAULT_BAND = { camber: 50, toe: 30 };
const DEFAULT_READING_SD = { camber_sd: 50, toe_sd: 30 };
// name -> [default, highest]
const OTHER_SPREADS = {
  thrust_sd: [15, SD_MDEG_HIGH],
  clock_sd_deg: [2.0, 45],
  mark_sd_steps: [0.15, 10],
  seat_sd: [20, SD_MDEG_HIGH],
};

/**
 * @param {object} input choose's input; `ring_sets` may hold ids or whole ring sets
 * @param {object[]} tables the parsed tables that the phone holds
 * @returns {{tables: object[], wheels: object, windows: object, axle: object, band: object, spread: object}} complete:
 *   `tables` are those of the ring sets, in their order
 * @throws {InputError} naming the field
 */
export function checkedInput(input, tables) {
  checkKeys(input, "", ["ring_sets", "wheels", "windows", "axle"], ["band", "spread"]);
  checkKeys(input.wheels, "wheels", SIDES);
  checkKeys(input.windows, "windows", SIDES);
  const chosen = tablesOf(input.ring_sets, tables);
  for (const side of SIDES) {
    checkReading(input.wheels[side], `wheels.${side}`);
    checkWindows(input.windows[side], `windows.${side}`);
  }
  checkAxle(input.axle);
  return {
    tables: chosen,
    wheels: input.wheels,
    windows: input.windows,
    axle: input.axle,
    band: completeBand("band" in input ? input.band : {}),
    spread: completeSpread("spread" in input ? input.spread : {}),
  };
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
  checkChoice(reading.rings, `${field}.rings`, RINGS);
}

function checkWindows(windows, field) {
  checkKeys(windows, field, ["camber", "toe", "aim"]);
  checkWindow(windows.camber, `${field}.camber`, READING_LIMIT_MDEG);
  checkWindow(windows.toe, `${field}.toe`, READING_LIMIT_MDEG);
  if (windows.aim === null) return;
  checkList(windows.aim, `${field}.aim`, 2, 2);
  PARTS.forEach((angle, at) => {
    checkInteger(windows.aim[at], `${field}.aim.${angle}`, -READING_LIMIT_MDEG, READING_LIMIT_MDEG);
  });
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
  window.forEach((edge, place) => checkInteger(edge, `${field}[${place}]`, -limit, limit));
  if (window[0] > window[1]) throw new InputError("bad-input", field, "[low, high] with low not above high", window);
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
