"""Makes the demo shop of fixtures/demo in an empty store, by the same way that a phone's entries take."""

import json
from pathlib import Path

from calc.rings import RingSet
from calc.table import table_bytes, table_name
from server.store import Database, rings, shops

_FOLDER = Path(__file__).resolve().parent.parent / "fixtures" / "demo"


def make_if_empty(database: Database, now_ms: int, with_jobs: bool) -> None:  # noqa: ARG001
    with database.transaction() as connection:
        if shops.shop_row(connection) is not None:
            return
        shop = json.loads((_FOLDER / "shop.json").read_text("utf-8"))
        shops.add_shop(connection, shop["name"], demo=True)
        for path in sorted((_FOLDER / "ring-sets").glob("*.json")):
            add_ring_set(connection, json.loads(path.read_text("utf-8")))


def add_ring_set(connection, ring_set_json: dict) -> None:
    content = table_bytes(RingSet.from_json(ring_set_json))
    rings.add(connection, ring_set_json, table_name(content), content)
