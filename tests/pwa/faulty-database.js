// A browser database that fails where and how a test says. It patches what the real one hands out, so that everything
// that does work is the browser's own work.

/** What can go wrong. "deaf" and "lost-ack": the write does reach the disk and the page does not hear so. */
export const OPEN_FAULTS = ["open-throws", "open-error", "open-hangs"];
export const TRANSACTION_FAULTS = [
  "transaction-throws", "put-throws", "commit-aborts", "quota", "deaf", "lost-ack", "false-complete",
];

/** As Chromium says it of a full disk; its log may then end in half a record. */
export const NO_SPACE = "no-space";

export class FaultyFactory {
  /** Faults still to come: [kind or null, ...]; the first one that fits the next operation strikes. */
  faults = [];
  /** Options of every transaction that writes: [{stores, durability}]. */
  written = [];
  /** How often the database was really opened. */
  opens = 0;
  #real;
  #alive = 0; // the number of the connection that lives; older ones are dead
  #opened = 0;

  constructor(real = indexedDB) {
    this.#real = real;
  }

  open(name, version) {
    const fault = this.#take(OPEN_FAULTS);
    if (fault === "open-throws") throw new DOMException("storage is off", "SecurityError");
    if (fault === "open-hangs") return {};
    if (fault === "open-error") return failing(new DOMException("internal error", "UnknownError"));
    this.opens += 1;
    const request = this.#real.open(name, version);
    request.addEventListener("success", () => this.#patchConnection(request.result), { once: true });
    return request;
  }

  deleteDatabase(name) {
    return this.#real.deleteDatabase(name);
  }

  /** From now on every transaction on a connection opened so far throws, as on a phone that was in the background. */
  killConnections() {
    this.#alive = this.#opened + 1;
  }

  /** A null at the head of the list lets one operation pass, of whatever sort. */
  #take(kinds) {
    if (this.faults[0] === null || kinds.includes(this.faults[0])) return this.faults.shift();
    return null;
  }

  #patchConnection(connection) {
    const begin = connection.transaction.bind(connection);
    this.#opened += 1;
    const number = this.#opened;
    connection.transaction = (stores, mode, options) => {
      if (number < this.#alive) throw new DOMException("connection lost", "InvalidStateError");
      if (mode === "readwrite") this.written.push({ stores, durability: options?.durability });
      const fault = mode === "readwrite" ? this.#take([...TRANSACTION_FAULTS, NO_SPACE]) : null;
      if (fault === "transaction-throws") throw new DOMException("connection is closing", "InvalidStateError");
      const transaction = begin(stores, mode, options);
      if (fault) patchTransaction(transaction, fault);
      return transaction;
    };
  }
}

function patchTransaction(transaction, fault) {
  if (fault === "quota") define(transaction, "error", () => new DOMException("full", "QuotaExceededError"));
  if (fault === NO_SPACE) {
    define(transaction, "error", () => new DOMException("IO error: .../000003.log: FILE_ERROR_NO_SPACE (8)",
      "UnknownError"));
  }
  if (fault === "lost-ack") define(transaction, "error", () => new DOMException("connection lost", "UnknownError"));
  patchPut(transaction, fault);
  patchEvents(transaction, fault);
}

function patchPut(transaction, fault) {
  const objectStore = transaction.objectStore.bind(transaction);
  transaction.objectStore = (storeName) => {
    const store = objectStore(storeName);
    // what comes before is bookkeeping
    const isLast = storeName === "entries" || !transaction.objectStoreNames.contains("entries");
    for (const name of ["put", "add"]) {
      const real = store[name].bind(store);
      store[name] = (record) => {
        if (fault === "put-throws") throw new DOMException("connection lost", "UnknownError");
        const request = real(record);
        if (["commit-aborts", "quota", "false-complete", NO_SPACE].includes(fault) && isLast) {
          request.addEventListener("success", () => abortQuietly(transaction));
        }
        return request;
      };
    }
    return store;
  };
}

/** Decides which of the page's two handlers hears of the end. */
function patchEvents(transaction, fault) {
  const handlers = {};
  const hears = { "deaf": [null, null], "lost-ack": ["onabort", "onabort"],
    "false-complete": ["oncomplete", "oncomplete"] };
  const [onComplete, onAbort] = hears[fault] ?? ["oncomplete", "onabort"];
  for (const name of ["oncomplete", "onabort"]) {
    Object.defineProperty(transaction, name, { set: (handler) => { handlers[name] = handler; } });
  }
  transaction.addEventListener("complete", () => handlers[onComplete]?.());
  transaction.addEventListener("abort", () => handlers[onAbort]?.());
}

function abortQuietly(transaction) {
  try {
    transaction.abort();
  } catch {
    // aborted already
  }
}

function define(object, name, get) {
  Object.defineProperty(object, name, { get, configurable: true });
}

function failing(error) {
  const request = { error };
  setTimeout(() => request.onerror?.());
  return request;
}
