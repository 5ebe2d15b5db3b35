// What somebody's touches on a witness photo said, as an entry holds it: a field of its own beside each photo. Pure.
// The server judges the same shape: server/records/picture_reading.py.

import { isOfSamePair } from "./agreed-plan.js";
import { isObject } from "./entry.js";

const VERDICTS = ["agrees", "differs", "cannot-tell"];
const RINGS_READ = ["inner", "outer"];
const SEEN_FROM = ["outside", "behind"];
const LOOKS = ["inboard", "outboard", null];
const FACES = ["as-planned", "other-way", null];
const LARGEST = 20_000;

/** What a photo about the fitting is about: [, round, side, name] of its slot. */
export const PHOTO_AT = /^(?:round\.(\d+)\.)?fit\.(?:(left|right)\.)?(.+)$/;

/** The slot of what was read off a photo: "fit.left.picture.<id>" for one about "fit.left.witness-line". */
export function pictureSlot(about, photoId) {
  return `${about.slice(0, about.lastIndexOf("."))}.picture.${photoId}`;
}

/**
 * @param {object} fold of the job
 * @param {{id: string, body: object}} photo a photo-attached entry
 * @returns {object|null} what was read off it; null where nothing was, people differ, or it is no reading as this
 *   program writes them
 */
export function readingOf(fold, { id, body }) {
  const live = fold.slots[pictureSlot(body.about ?? "", id)] ?? [];
  const value = live.length === 1 ? live[0].body.value : null;
  return isPictureRead(value) ? value.picture_read : null;
}

/** @returns {boolean} whether what a photo's reading was held against is the pair that is planned now */
export function isOfPlanNow(fold, { body: { about } }, { plan }) {
  const [, round = "1", side] = PHOTO_AT.exec(about) ?? [];
  return Boolean(side) && isOfSamePair(fold, Number(round), side, plan);
}

/** @returns {boolean} whether a field's value is what this program writes of a picture that was read */
export function isPictureRead(value) {
  const read = isObject(value) ? value.picture_read : null;
  if (!isObject(read) || !RINGS_READ.includes(read.ring) || !SEEN_FROM.includes(read.from)) return false;
  const isText = [read.photo, read.plan].every((id) => typeof id === "string" && id.length <= 120);
  const isTouched = isPoint(read.size) && isPoint(read.line) && isListOf(read.marks, isTouch, 3, 4);
  return isText && isTouched && isListOf(read.planned, isMark, 1, 2) && isSaid(read.said);
}

function isSaid(said) {
  if (!isObject(said) || !VERDICTS.includes(said.verdict)) return false;
  const isCode = said.why === null || (typeof said.why === "string" && said.why.length <= 40);
  const isSeen = said.face !== "other-way" || said.looks !== null;
  const isFace = isSeen && LOOKS.includes(said.looks) && FACES.includes(said.face);
  if (!isCode || !isFace || (said.verdict === "agrees" && said.mark === null)) return false;
  const isBetween = said.between === null || isListOf(said.between, isMark, 2, 2);
  const isTurn = said.turn_deg === null || isNumber(said.turn_deg);
  return isBetween && isTurn && (said.mark === null || isMark(said.mark));
}

function isTouch(touch) {
  return isListOf(touch, isNumber, 3, 3) && isMark(touch[0]);
}

function isPoint(point) {
  return isListOf(point, isNumber, 2, 2);
}

function isMark(mark) {
  return Number.isInteger(mark) && mark >= 0 && mark <= LARGEST;
}

function isNumber(number) {
  return Number.isFinite(number) && Math.abs(number) <= LARGEST;
}

function isListOf(list, holds, least, most) {
  return Array.isArray(list) && list.length >= least && list.length <= most && list.every(holds);
}
