"""Listens to every transaction of a page: what writes readings or outbox must ask for strict durability.

A killed process cannot test that, only a power cut could.
"""

SPY = """() => {
    const begin = IDBDatabase.prototype.transaction;
    globalThis.transactionsHeard = [];
    IDBDatabase.prototype.transaction = function transaction(stores, mode = "readonly", options = {}) {
        const begun = begin.call(this, stores, mode, options);
        transactionsHeard.push({ stores: [stores].flat(), mode, durability: begun.durability });
        return begun;
    };
}"""
READINGS, OUTBOXES = "entries", {"outbox", "photo_outbox"}


def spy_on(context) -> None:
    """Listen in every page of the context that is opened from now on."""
    context.add_init_script(f"({SPY})()")


LEAST = 50  # a whole job is saved more often


def check_durability(page) -> None:
    """Every transaction that wrote entries in a whole job was strict, and put them into the outbox too."""
    heard = page.evaluate("() => transactionsHeard")
    assert {transaction["mode"] for transaction in heard} == {"readonly", "readwrite"}
    writes = [(set(each["stores"]), each["durability"]) for each in heard if each["mode"] == "readwrite"]
    assert sum(READINGS in stores for stores, _ in writes) > LEAST
    assert [stores for stores, durability in writes if durability != "strict"] == []
    assert all(OUTBOXES & stores for stores, _ in writes if READINGS in stores), "a reading without its outbox row"
