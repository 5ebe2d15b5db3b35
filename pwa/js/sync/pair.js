// Pairs this phone with the shop, by the code that the desk shows. It keeps nothing: the server's cookie does.

import { ask } from "./client.js";

const PAIR_LIMIT_MS = 15_000;

/**
 * @param {string} typed the code, however it was typed
 * @returns {Promise<{name: string, demo: boolean}>} the shop; rejects SyncTrouble, whose `problem` says why
 */
export async function pair(typed, fetch = globalThis.fetch.bind(globalThis)) {
  const { csrf } = await ask(fetch, "/api/pair", { limitMs: PAIR_LIMIT_MS });
  const answer = await ask(fetch, "/api/pair", {
    method: "POST", limitMs: PAIR_LIMIT_MS, body: JSON.stringify({ code: typed }),
    headers: { "Content-Type": "application/json", "X-CSRFToken": csrf },
  });
  return answer.shop;
}
