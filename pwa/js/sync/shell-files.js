// Reads the shell's own data files. The service worker answers for them, so they are there without network.

/** Files of pwa/text/<language>/; each part of the program keeps its own words. The first screen needs only these. */
export const FIRST_TEXTS = ["install", "phone", "titles", "ui"];
export const LATER_TEXTS = ["checklist", "drawings", "fitting", "on-sheet", "pairing", "picture", "proof", "report",
  "settings", "sheets", "shop", "types"];
const FALLBACK_LANGUAGE = "en";

/**
 * Messages of a language. A file that cannot be read is there in English, never blank.
 * @param {string} language such as "en"; one that we have no text for gives English
 * @param {string[]} names the files wanted
 */
export async function loadText(language, names = [...FIRST_TEXTS, ...LATER_TEXTS],
    fetch = globalThis.fetch.bind(globalThis)) {
  const parts = names.map((name) => shellJson(fetch, textPath(language, name))
    .catch(() => shellJson(fetch, textPath(FALLBACK_LANGUAGE, name))));
  return Object.assign({}, ...(await Promise.all(parts)));
}

/** The checklist as data: its sheets, their rows, slots and holds. */
export function loadChecklist(fetch = globalThis.fetch.bind(globalThis)) {
  return shellJson(fetch, "/checklist.json");
}

/** What changed from version to version. */
export function loadChangelog(fetch = globalThis.fetch.bind(globalThis)) {
  return shellJson(fetch, "/changelog.json");
}

function textPath(language, name) {
  return `/text/${language}/${name}.json`;
}

async function shellJson(fetch, path) {
  const response = await fetch(path);
  if (!response.ok) throw new Error(
    `${path}: expected the shell's file, got status ${response.status}; reload the page`);
  return response.json();
}
