// Runs transactions on a connection that heals itself. It knows nothing of what is stored.
// Phones kill connections in the background; a dead one that stays in use makes every later save fail.

import { openConnection } from "./connection.js";
import { DATABASE_NAME } from "./names.js";
import { StoreError } from "./store-error.js";
import { diskFailure, isDiskFailure } from "./torn-log.js";

const ATTEMPTS = 3;
/** Errors of a connection or a transaction that died under us: the whole transaction may be run again. */
const PASSING_ERRORS = new Set(["InvalidStateError", "UnknownError", "AbortError", "TimeoutError"]);
const CODE_OF_MODE = Object.freeze({ readonly: "store-cannot-read", readwrite: "store-cannot-write" });
const LIMITS = Object.freeze({ openMs: 3000, transactionMs: 5000 });

export class Database {
  /** Fills a database that had to be made, in the transaction that makes it; `filled` once that is on the disk. */
  onCreated = { fill: () => {}, filled: () => {} };
  /** What is known of the browser's log: a TornLog, or null. */
  tornLog = null;
  /** Runs `write` where the disk has room for it and for these bytes beside its records; else rejects store-full. */
  withRoom = (_bytes, write) => write();
  /** Resolves whether there is room for a new log, and gives the reserve up for it. `isInside` of withRoom. */
  findRoom = async (_isInside = false) => true;
  #factory;
  #name;
  #limits;
  #schema;
  #connection = null; // promise of an IDBDatabase

  /**
   * @param {{factory?: IDBFactory, name?: string, limits?: {openMs: number, transactionMs: number},
   *   schema?: {version: number, upgrade: function}}} options
   */
  constructor({ factory = globalThis.indexedDB, name = DATABASE_NAME, limits = LIMITS, schema = undefined } = {}) {
    this.#factory = factory;
    this.#name = name;
    this.#limits = limits;
    this.#schema = schema;
  }

  /** Runs `body(transaction)` on these stores, reading only. Resolves with what the body gives. */
  read(stores, body) {
    return this.#run(stores, "readonly", body);
  }

  /**
   * Runs `body(transaction)` and resolves after the browser says that it is on the disk ('strict').
   * The body may be run again from its start, so it must decide everything from what it reads inside, and it
   * must await nothing but the transaction's own reads. Where the disk has no room nothing is tried: a write that it
   * breaks off may cost the whole database (torn-log.js).
   * @param {number} [bytes] that are put beside records, as photos are
   */
  write(stores, body, bytes = 0) {
    return this.withRoom(bytes, async () => {
      try {
        return await this.#writeOnce(stores, body);
      } catch (error) {
        if (!isDiskFailure(error)) throw error;
        return this.#writeOnce(stores, body); // where room is found
      }
    });
  }

  /** Drops the whole database; the next transaction makes it anew. It is a write like any other. */
  dropAll() {
    return this.withRoom(0, () => {
      this.close();
      return new Promise((resolve, reject) => {
        const timer = setTimeout(() => reject(new StoreError("store-cannot-write")), this.#limits.transactionMs);
        const request = this.#factory.deleteDatabase(this.#name);
        // blocked: it goes when the last tab lets go
        request.onsuccess = request.onblocked = () => { clearTimeout(timer); resolve(); };
        request.onerror = () => { clearTimeout(timer); reject(request.error); };
      });
    });
  }

  /** Makes the browser begin a new log where there is room for one; for whoever is inside of `withRoom`. */
  async beginNewLog() {
    if (!(await this.findRoom(true))) throw new StoreError("store-full");
    await this.tornLog.mend((stores, body) => this.#run(stores, "readwrite", body));
  }

  /** Closes the connection; the next transaction opens a new one. */
  close() {
    this.#drop(this.#connection);
  }

  async #writeOnce(stores, body) {
    if (this.tornLog?.isTorn) await this.beginNewLog();
    return this.#run(stores, "readwrite", body);
  }

  async #run(stores, mode, body) {
    for (let attempt = 1; ; attempt += 1) {
      const isShut = mode === "readonly" && this.tornLog?.isTorn && !this.#connection;
      if (isShut && !(await this.findRoom())) throw new StoreError("store-full");
      const connection = this.#current();
      const open = await connection.catch((error) => this.#failed(error, error.cause, error.code));
      try {
        return await runTransaction(open, stores, mode, body, this.#limits.transactionMs);
      } catch (error) {
        if (!PASSING_ERRORS.has(error?.name)) throw error;
        this.#drop(connection);
        this.#failed(null, error, CODE_OF_MODE[mode]);
        if (attempt === ATTEMPTS) throw new StoreError(CODE_OF_MODE[mode], error);
      }
    }
  }

  /** A disk that fails is not tried again at once. Throws; where the disk is not to blame, `error`, if there is one. */
  #failed(error, cause, code) {
    const failure = isDiskFailure(cause) ? diskFailure(cause, code) : error;
    if (failure && failure !== error) this.tornLog?.note();
    if (failure) throw failure;
  }

  #current() {
    if (this.#connection) return this.#connection;
    const connection = openConnection({
      factory: this.#factory, name: this.#name, limitMs: this.#limits.openMs, onLost: () => this.#forget(connection),
      schema: this.#schema,
      onCreated: (transaction) => {
        transaction.addEventListener("complete", () => this.onCreated.filled());
        this.onCreated.fill(new Transaction(transaction));
      },
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

  /** The keys alone: what is stored under them is not read. */
  keys(store) {
    return answerOf(this.#store(store).getAllKeys());
  }

  keysByIndex(store, index, key) {
    return answerOf(this.#store(store).index(index).getAllKeys(key));
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

  /** Puts a record unless its key is there already; that one then stays as it is. */
  add(store, record) {
    this.#store(store).add(record).onerror = (event) => {
      if (event.target.error.name !== "ConstraintError") return; // any other failure aborts the whole
      event.preventDefault();
      event.stopPropagation();
    };
  }

  delete(store, key) {
    this.#store(store).delete(key);
  }

  clear(store) {
    this.#store(store).clear();
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
      else end(reject, outcome?.error
        ?? new Error("the transaction ended before its body: something foreign was awaited"));
    };
    Promise.resolve(new Transaction(transaction)).then(body).then((result) => { outcome = { result }; }, fail);
  });
}
