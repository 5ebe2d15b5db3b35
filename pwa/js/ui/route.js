/**
 * Where the person is, kept in the address after `#`, so that the phone's own back gesture works and
 * leaving and returning lands on the same sheet. Pure: no DOM beyond `location.hash`.
 *
 *   #/                     the jobs of this phone
 *   #/settings  #/name
 *   #/rechecks             fasteners to recheck
 *   #/find                 job sheets that this phone does not hold
 *   #/new                  a new job, opened at once
 *   #/find-pair            windows and readings alone, which write no record
 *   #/pair  #/pair/<code>  pairing this phone; the desk's square brings the code
 *   #/job/<job>            the job, at the sheet where it was left
 *   #/job/<job>/sheet/<key>[/<slot>]   one sheet of the job, such as wheel.left, at a row
 *   #/job/<job>/stop  #/job/<job>/report
 * A job that is not whole here shows its line at each of its addresses.
 */

const PLAIN = ["settings", "name", "new", "find", "find-pair", "rechecks"];

/**
 * @param {string} hash such as "#/job/1234/sheet/wheel.left"
 * @returns {{screen: string, job?: string, sheet?: string|null, row?: string|null, code?: string}} an unknown address
 *   gives the start screen
 */
export function routeFromHash(hash) {
  const parts = hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
  if (parts[0] === "job" && parts[1]) {
    const [, job, part, key, row] = parts;
    if (part === "stop" || part === "report") return { screen: part, job };
    // kept by the program before the sheets
    if (part === "step") return { screen: "sheet", job, sheet: null, row: key || null };
    return { screen: "sheet", job, sheet: (part === "sheet" && key) || null, row: row || null };
  }
  if (parts[0] === "pair") return { screen: "pair", code: parts[1] ?? "" };
  return { screen: PLAIN.includes(parts[0]) ? parts[0] : "start" };
}

/** The address of a route; the inverse of routeFromHash. */
export function hashFromRoute({ screen, job, sheet, row, code }) {
  if (code) return `#/pair/${encodeURIComponent(code)}`;
  if (!job) return screen === "start" ? "#/" : `#/${screen}`;
  const parts = screen !== "sheet" ? [job, screen] : sheet ? [job, "sheet", sheet, row] : row
    ? [job, "step", row] : [job];
  return `#/job/${parts.filter(Boolean).map(encodeURIComponent).join("/")}`;
}
