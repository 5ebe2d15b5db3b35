"""Listens to every transaction of a page: what writes readings or outbox must ask for strict durability.

A killed process cannot test that, only a power cut could.
"""

SPY = """() => {
    const begin = IDBDatabase.prototype.transaction;
    globalThis.transactionsHeard = [];
    const heard = new WeakMap();
    IDBDatabase.prototype.transaction = function transaction(stores, mode = "readonly", options = {}) {
        const begun = begin.call(this, stores, mode, options);
        const told = { stores: [stores].flat(), mode, durability: begun.durability, entries: 0 };
        transactionsHeard.push(told);
        heard.set(begun, told);
        return begun;
    };
    for (const way of ["add", "put"]) {
        const write = IDBObjectStore.prototype[way];
        IDBObjectStore.prototype[way] = function written(...what) {
            const told = heard.get(this.transaction); // none for an upgrade, which the browser begins
            if (told && this.name === "entries") told.entries += 1;
            return write.apply(this, what);
        };
    }
}"""
READINGS, OUTBOXES = "entries", {"outbox", "photo_outbox"}


def spy_on(context) -> None:
    """Listen in every page of the context that is opened from now on."""
    context.add_init_script(f"({SPY})()")


ENTRIES = "async (job) => (await (await (await import('/js/store/phone.js')).openPhone()).entries(job)).length"


def check_durability(page, job: str) -> None:
    """Each entry of the job was written while it was heard, and every transaction that wrote was strict."""
    least = page.evaluate(ENTRIES, job)
    assert least > 50, "a whole job has more entries"
    heard = page.evaluate("() => transactionsHeard")
    assert {transaction["mode"] for transaction in heard} == {"readonly", "readwrite"}
    assert sum(transaction["entries"] for transaction in heard) >= least
    writes = [(set(each["stores"]), each["durability"]) for each in heard if each["mode"] == "readwrite"]
    assert [stores for stores, durability in writes if durability != "strict"] == []
    assert all(OUTBOXES & stores for stores, _ in writes if READINGS in stores), "a reading without its outbox row"
