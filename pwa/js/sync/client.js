// One request to the shop's server, within a time limit. It decides only whether an answer is the server's own: a
// network that wants a sign-in answers 200 too. It keeps nothing and retries nothing.

/** Why a request did not bring what it should. `code` decides what is said and whether to try again. */
export class SyncTrouble extends Error {
  name = "SyncTrouble";

  /**
   * @param {"offline"|"not-our-server"|"not-paired"|"server-trouble"|"refused"} code
   * @param {{status?: number, problem?: string, cause?: Error}} detail `problem`: the server's own code for a refusal
   */
  constructor(code, { status = 0, problem = "", cause = undefined } = {}) {
    super(`${code} ${status || ""} ${problem || cause?.message || ""}`.trim(), { cause });
    this.code = code;
    this.status = status;
    this.problem = problem;
  }
}

/** Whether nothing else can be asked for either: the way is broken, or the shop does not know this phone. */
export function endsAsking({ code }) {
  return code === "offline" || code === "not-our-server" || code === "not-paired";
}

const OWN_HEADER = "X-Tapermark";
const NOT_PAIRED = new Set(["not-paired", "pairing-ended"]);

/**
 * Asks the server. An answer counts only with the server's header, and as what it was asked for.
 * @param {typeof fetch} fetch
 * @param {string} path
 * @param {{method?: string, headers?: object, body?: BodyInit, limitMs: number, bytes?: boolean, tag?: string|null}}
 *   options `bytes`: the answer is no JSON but bytes; `tag`: the ETag of what is here already, null where nothing is
 * @returns {Promise<object|ArrayBuffer>} rejects SyncTrouble. With `tag`: {tag, answer}, or null where what is here is
 *   the newest
 */
export async function ask(fetch, path, { limitMs, bytes = false, tag, ...init }) {
  if (tag) init.headers = { ...init.headers, "If-None-Match": tag };
  const response = await reached(() => fetch(path, {
    ...init, cache: "no-store", redirect: "manual", signal: AbortSignal.timeout(limitMs),
  }));
  const { status } = response;
  if (!response.headers.get(OWN_HEADER)) throw new SyncTrouble("not-our-server", { status });
  if (status === 304 && tag) return null;
  if (status === 200 || status === 201) {
    const answer = await reached(() => (bytes ? response.arrayBuffer() : response.json()));
    return tag === undefined ? answer : { tag: response.headers.get("ETag"), answer };
  }
  const problem = await problemOf(response);
  if (NOT_PAIRED.has(problem)) throw new SyncTrouble("not-paired", { status, problem });
  throw new SyncTrouble(status >= 500 ? "server-trouble" : "refused", { status, problem });
}

/** Everything that fails on the way, a body that ends early included, means: not reached. */
async function reached(step) {
  try {
    return await step();
  } catch (cause) {
    throw new SyncTrouble("offline", { cause });
  }
}

async function problemOf(response) {
  try {
    return String((await response.json()).error.code);
  } catch {
    return "";
  }
}
