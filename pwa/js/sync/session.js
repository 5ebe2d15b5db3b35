// The phone's session with the server for one sync: a fresh token first, since one from yesterday is always dead.

import { ask, SyncTrouble } from "./client.js";

const SESSION_LIMIT_MS = 15_000;
const TOKEN_HEADER = "X-CSRFToken";

export class Session {
  #fetch;
  #answer;

  /** Asks for a session. Rejects SyncTrouble. */
  static async open(fetch) {
    const session = new Session(fetch);
    await session.#refresh();
    return session;
  }

  /** @param {typeof globalThis.fetch} fetch use `Session.open` */
  constructor(fetch) {
    this.#fetch = fetch;
  }

  /** {name, demo} of the shop. */
  get shop() {
    return this.#answer.shop;
  }

  /** The server's time at the start of the session, in ms. */
  get serverTime() {
    return Date.parse(this.#answer.time);
  }

  /** How many entries the server has had from this phone's pairing. */
  get sent() {
    return this.#answer.sent ?? 0;
  }

  /** Reads. Options as in client.js. */
  get(path, options) {
    return ask(this.#fetch, path, options);
  }

  /** Writes with the token; gets a new token once if the server finds it dead. */
  async write(path, { headers = {}, ...options }) {
    const send = () => ask(this.#fetch, path,
      { ...options, headers: { ...headers, [TOKEN_HEADER]: this.#answer.csrf } });
    try {
      return await send();
    } catch (trouble) {
      if (!isDeadToken(trouble)) throw trouble;
      await this.#refresh();
      return send();
    }
  }

  async #refresh() {
    const answer = await ask(this.#fetch, "/api/session", { limitMs: SESSION_LIMIT_MS });
    if (typeof answer?.csrf !== "string" || Number.isNaN(Date.parse(answer.time))) {
      throw new SyncTrouble("server-trouble", { status: 200, problem: "a session without token or time" });
    }
    this.#answer = answer;
  }
}

function isDeadToken({ status, problem }) {
  return (status === 400 && problem === "csrf-failed") || status === 401;
}
