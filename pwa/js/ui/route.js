/**
 * Where the person is, kept in the address after `#`, so that the phone's own back gesture works and
 * leaving and returning lands on the same step. Pure: no DOM beyond `location.hash`.
 *
 *   #/                     the jobs of this phone
 *   #/settings  #/name
 *   #/find                 job sheets that this phone does not hold
 *   #/new                  a new job, opened at once
 *   #/pair  #/pair/<code>  pairing this phone; the desk's square brings the code
 *   #/job/<job>            the job, at the step where it was left
 *   #/job/<job>/step/<slot>
 *   #/job/<job>/steps  #/job/<job>/stop  #/job/<job>/sheet
 */

/**
 * @param {string} hash such as "#/job/1234/step/base.left.1"
 * @returns {{screen: string, job?: string, slot?: string, code?: string}} an unknown address gives the start screen
 */
export function routeFromHash(hash) {
  const parts = hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
  if (parts[0] === "job" && parts[1]) {
    if (parts[2] === "step" && parts[3]) return { screen: "step", job: parts[1], slot: parts[3] };
    if (["steps", "stop", "sheet"].includes(parts[2])) return { screen: parts[2], job: parts[1] };
    return { screen: "job", job: parts[1] };
  }
  if (parts[0] === "pair") return { screen: "pair", code: parts[1] ?? "" };
  return { screen: ["settings", "name", "new", "find"].includes(parts[0]) ? parts[0] : "start" };
}

/** The address of a route; the inverse of routeFromHash. */
export function hashFromRoute({ screen, job, slot, code }) {
  if (code) return `#/pair/${encodeURIComponent(code)}`;
  if (screen === "step") return `#/job/${encodeURIComponent(job)}/step/${encodeURIComponent(slot)}`;
  if (screen === "job") return `#/job/${encodeURIComponent(job)}`;
  if (job) return `#/job/${encodeURIComponent(job)}/${screen}`;
  return screen === "start" ? "#/" : `#/${screen}`;
}
