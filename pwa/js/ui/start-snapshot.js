/**
 * Remembers how the list of jobs looks, and the sheet that is open, for js/draw-start-snapshot.js, which draws it again
 * at the next start before the program itself is there. On a slow phone that is half a second and more in which a
 * person can already read, and tap what leads on.
 * It is a picture of what was said, never a source: nothing reads a value from it, and the program draws over it. How
 * the store and the shop stand is known to nobody before the program has looked: such a line has other words until then
 * (data-until-known), and a list without a job is not drawn. Of a sheet nothing can be answered before the program is
 * there.
 */

const START = "#/";
const PLACE_KEY = "tapermark.place";
const LIST_KEY = "tapermark.look";
const SHEET_KEY = "tapermark.sheet-look";
/** A sheet that has just changed is about to change again. */
const SHEET_STILL_MS = 1500;
/** Some sheets are long; beyond this the picture would crowd out the copies of what waits. */
const MOST_CHARACTERS = 200_000;

/** What the program and its tests go by belongs to the real screen; a key names what was tapped. */
const isKept = ({ name }) => name !== "disabled" && (name === "data-key" || !name.startsWith("data-"));

let waiting = null; // {timer, act}: a picture that is still to be taken

/** Remembers where the phone is, and the look when that is the list of jobs. A full storage costs only the look. */
export function rememberStartSnapshot(place, roots) {
  try {
    localStorage.setItem(PLACE_KEY, place);
    if (!place.startsWith("#/job/")) localStorage.removeItem(SHEET_KEY); // of a job that may leave this phone
    if (place !== START || isAlarmed(roots)) return;
    if (roots.some((root) => root.querySelector(".job-card")))
      localStorage.setItem(LIST_KEY, JSON.stringify(lookOf(roots)));
    else localStorage.removeItem(LIST_KEY);
  } catch {
    localStorage.removeItem(LIST_KEY);
  }
}

/** The sheet at `place` has changed: its picture is taken when it stands still, or when the person goes elsewhere. */
export function rememberSheet(place, roots) {
  clearTimeout(waiting?.timer);
  const act = () => {
    waiting = null;
    keepSheet(place, roots);
  };
  waiting = { timer: setTimeout(() => (globalThis.requestIdleCallback ?? setTimeout)(() => waiting?.act()),
    SHEET_STILL_MS), act };
}

globalThis.document?.addEventListener("visibilitychange",
  () => { if (document.visibilityState === "hidden") waiting?.act(); });

function keepSheet(place, roots) {
  // another screen stands there by now
  if (roots.some((root) => root.id === "main" && root.dataset.place !== place)) return;
  try {
    const text = JSON.stringify({ place, look: lookOf(roots) });
    if (isAlarmed(roots) || text.length > MOST_CHARACTERS) localStorage.removeItem(SHEET_KEY);
    else localStorage.setItem(SHEET_KEY, text);
  } catch {
    localStorage.removeItem(SHEET_KEY);
  }
}

/** Said by what fails, not by a picture. */
function isAlarmed(roots) {
  return roots.some((root) => root.querySelector('[role="alert"]:not(:empty)'));
}

function lookOf(roots) {
  return roots.map((root) => [root.id,
    [...root.childNodes].map((node) => described(node, root.id === "main" && root.dataset.place !== START))]);
}

/** @returns {string} where the phone was left, before the settings can say it; "" where that is not known */
export function rememberedPlace() {
  try {
    return localStorage.getItem(PLACE_KEY) ?? "";
  } catch {
    return "";
  }
}

/** Makes the tap that came before the program did. */
export function makeKeptTap() {
  const { tapped } = document.documentElement.dataset;
  delete document.documentElement.dataset.tapped;
  if (tapped) document.querySelector(`[data-key="${CSS.escape(tapped)}"]`)?.click();
}

/** `isBare`: without the names by which it is found, for nothing in it can be used yet. */
function described(node, isBare) {
  if (node.nodeType === Node.TEXT_NODE) return node.data;
  const { untilKnown } = node.dataset;
  const attributes = [...node.attributes].filter((each) => isKept(each) && !(isBare && each.name === "data-key")
    && !each.value.startsWith("blob:"));
  const inside = untilKnown ? [untilKnown] : [...node.childNodes].map((child) => described(child, isBare));
  return [node.localName, [...attributes.map(({ name, value }) => [name, value]), ...stateOf(node)], inside];
}

/** What stands in a field, which no attribute tells. */
function stateOf(node) {
  if (node.localName === "input") return [["value", node.value], ...(node.checked ? [["checked", ""]] : [])];
  return node.localName === "option" && node.selected ? [["selected", ""]] : [];
}
