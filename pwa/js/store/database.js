// Runs transactions on a connection that heals itself. It knows nothing of what is stored.
// Phones kill connections in the background; a dead one that stays in use makes every later save fail.

import { openConnection } from "./connection.js";
import { DATABASE_NAME } from "./names.js";
import { StoreError } from "./store-error.js";

const ATTEMPTS = 3;
/** Errors of a connection or a transaction that died under us: the whole transaction may be run again. */
const PASSING_ERRORS = new Set(["InvalidStateError", "UnknownError", "AbortError", "TimeoutError"]);
const CODE_OF_MODE = Object.freeze({ readonly: "store-cannot-read", readwrite: "store-cannot-write" });
const LIMITS = Object.freeze({ openMs: 3000, transactionMs: 5000 });

export class Database {
  #factory;
  #name;
  #limits;
  #connection = null; // promise of an IDBDatabase

  /** @param {{factory?: IDBFactory, name?: string, limits?: {openMs: number, transactionMs: number}}} options */
  constructor({ factory = globalThis.indexedDB, name = DATABASE_NAME, limits = LIMITS } = {}) {
    this.#factory = factory;
    this.#name = name;
    this.#limits = limits;
  }

  /** Runs `body(transaction)` on these stores, reading only. Resolves with what the body gives. */
  read(stores, body) {
    return this.#run(stores, "readonly", body);
  }

  /**
   * Runs `body(transaction)` and resolves after the browser says that it is on the disk ('strict').
   * The body may be run again from its start, so it must decide everything from what it reads inside, and it
   * must await nothing but the transaction's own reads.
   */
  write(stores, body) {
    return this.#run(stores, "readwrite", body);
  }

  /** Closes the connection; the next transaction opens a new one. */
  close() {
    this.#drop(this.#connection);
  }

  async #run(stores, mode, body) {
    for (let attempt = 1; ; attempt += 1) {
      const connection = this.#current();
      const open = await connection;
      try {
        return await runTransaction(open, stores, mode, body, this.#limits.transactionMs);
      } catch (error) {
        if (!PASSING_ERRORS.has(error?.name)) throw error;
        this.#drop(connection);
        if (attempt === ATTEMPTS) throw new StoreError(CODE_OF_MODE[mode], error);
      }
    }
  }

  #current() {
    if (this.#connection) return this.#connection;
    const connection = openConnection({
      factory: this.#factory, name: this.#name, limitMs: this.#limits.openMs, onLost: () => this.#forget(connection),
    });
    connection.catch(() => this.#forget(connection)); // a failed open must not be kept for the session
    this.#connection = connection;
    return connection;
  }

  /** Only the connection that failed: another transaction may have opened a sound one meanwhile. */
  #drop(connection) {
    this.#forget(connection);
    connection?.then((open) => open.close(), () => {});
  }

  #forget(connection) {
    if (this.#connection === connection) this.#connection = null;
  }
}

/** What a body may do inside its transaction. Writes give nothing back: their failure aborts the whole. */
class Transaction {
  #transaction;

  constructor(transaction) {
    this.#transaction = transaction;
  }

  get(store, key) {
    return answerOf(this.#store(store).get(key));
  }

  all(store) {
    return answerOf(this.#store(store).getAll());
  }

  allByIndex(store, index, key) {
    return answerOf(this.#store(store).index(index).getAll(key));
  }

  count(store) {
    return answerOf(this.#store(store).count());
  }

  put(store, record) {
    this.#store(store).put(record);
  }

  delete(store, key) {
    this.#store(store).delete(key);
  }

  #store(name) {
    return this.#transaction.objectStore(name);
  }
}

function answerOf(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function runTransaction(connection, stores, mode, body, limitMs) {
  return new Promise((resolve, reject) => {
    const transaction = connection.transaction(stores, mode, { durability: "strict" });
    let outcome = null; // {result} or {error}, once the body is done
    const end = (settle, value) => {
      clearTimeout(timer);
      settle(value);
    };
    const fail = (error) => {
      outcome = { error };
      try {
        transaction.abort();
      } catch {
        end(reject, transaction.error ?? error); // it is ending already, perhaps for a better reason
      }
    };
    const timer = setTimeout(() => {
      const error = new DOMException(`no answer from storage in ${limitMs} ms`, "TimeoutError");
      fail(error);
      end(reject, error); // a dead transaction does not even answer its abort
    }, limitMs);
    transaction.onabort = () => {
      end(reject, transaction.error ?? outcome?.error ?? new DOMException("aborted by the browser", "AbortError"));
    };
    transaction.oncomplete = () => {
      if (outcome && "result" in outcome) end(resolve, outcome.result);
      else end(reject, outcome?.error ?? new Error("the transaction ended before its body: something foreign was awaited"));
    };
    Promise.resolve(new Transaction(transaction)).then(body).then((result) => { outcome = { result }; }, fail);
  });
}
