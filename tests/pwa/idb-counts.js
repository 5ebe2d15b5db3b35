// Counts what a page asks of IndexedDB: put over the browser's own prototypes, it changes no answer. Loaded as a module
// by tests, and as an init script by the bench; both read `globalThis.idbCounts`.

globalThis.idbCounts = (() => {
  const counts = { transactions: 0, writes: 0, requests: 0, records: 0, entries: 0, entryPuts: 0 };
  const wrap = (type, name, before) => {
    const real = type.prototype[name];
    type.prototype[name] = function counted(...args) {
      const request = real.apply(this, args);
      before(this, request, args);
      return request;
    };
  };
  wrap(IDBDatabase, "transaction", (_database, _transaction, [, mode]) => {
    counts.transactions += 1;
    if (mode === "readwrite") counts.writes += 1;
  });
  const isOfEntries = (source) => (source.objectStore ?? source).name === "entries";
  const read = (source, request, howMany) => {
    counts.requests += 1;
    request.addEventListener("success", () => {
      const found = howMany(request.result);
      counts.records += found;
      if (isOfEntries(source)) counts.entries += found;
    });
  };
  for (const type of [IDBObjectStore, IDBIndex]) {
    wrap(type, "get", (source, request) => read(source, request, (found) => (found === undefined ? 0 : 1)));
    wrap(type, "getAll", (source, request) => read(source, request, (found) => found.length));
    wrap(type, "openCursor", (source, request) => read(source, request, (cursor) => (cursor ? 1 : 0)));
    for (const name of ["getKey", "getAllKeys", "count", "openKeyCursor"])
      wrap(type, name, () => { counts.requests += 1; });
  }
  for (const name of ["put", "add"])
    wrap(IDBObjectStore, name, (store) => { if (isOfEntries(store)) counts.entryPuts += 1; });
  return {
    /** {transactions, writes: those that may write, requests: reads asked for, records: values that they gave, entries:
     * those
     *  of them that are entries, entryPuts} since the page began or since `last`. */
    now: () => ({ ...counts }),
    since: (last) => Object.fromEntries(Object.entries(counts).map(([name, count]) => [name, count - last[name]])),
  };
})();
