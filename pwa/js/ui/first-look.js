/**
 * Remembers how the list of jobs looks, for js/first-look.js, which draws it again at the next start before the program
 * itself is there. On a slow phone that is half a second in which a person can already read and tap.
 * It is a picture of what was said, never a source: nothing reads a value from it, and the program draws over it.
 */

const START = "#/";

/** What the program and its tests go by belongs to the real screen; a key names what was tapped. */
const isKept = ({ name }) => name !== "disabled" && (name === "data-key" || !name.startsWith("data-"));

/** Remembers where the phone is, and the look when that is the list of jobs. A full storage costs only the look. */
export function rememberLook(place, roots) {
  const isAlarmed = roots.some((root) => root.querySelector('[role="alert"]')); // said by what fails, not by a picture
  try {
    localStorage.setItem("tapermark.place", place);
    if (place !== START || isAlarmed) return;
    localStorage.setItem("tapermark.look", JSON.stringify(roots.map((root) => [root.id, [...root.childNodes].map(described)])));
  } catch {
    localStorage.removeItem("tapermark.look");
  }
}

/** Makes the tap that came before the program did. */
export function makeKeptTap() {
  const { tapped } = document.documentElement.dataset;
  delete document.documentElement.dataset.tapped;
  if (tapped) document.querySelector(`[data-key="${CSS.escape(tapped)}"]`)?.click();
}

function described(node) {
  if (node.nodeType === Node.TEXT_NODE) return node.data;
  return [node.localName, [...node.attributes].filter(isKept).map(({ name, value }) => [name, value]), [...node.childNodes].map(described)];
}
