"""Makes the demo shop of fixtures/demo in an empty store, by the same way that a phone's entries and photos take.

Shop, people and vehicles are invented. It is made once; afterwards it is a store like any other.
"""

import json
from pathlib import Path

from calc.rings.rings import RingSet
from calc.rings.table import table_bytes, table_name
from server.demo.scenario import Scenario
from server.photos.keep_photo import keep_photo
from server.store import Database, rings, shops
from server.sync.take_entries import take

_FOLDER = Path(__file__).resolve().parent.parent.parent / "fixtures" / "demo"


def make_if_empty(database: Database, now_ms: int, with_jobs: bool) -> None:
    """Make the shop with its ring sets, and its job sheets where `with_jobs`; nothing where a shop is there."""
    with database.alone() as connection:
        if shops.shop_row(connection) is not None:
            return
        shop = _read(_FOLDER / "shop.json")
        shops.add_shop(connection, shop["name"], demo=True)
        for path in sorted((_FOLDER / "ring-sets").glob("*.json")):
            _add_ring_set(connection, _read(path))
        if with_jobs:
            _add_jobs(connection, shop["phones"], now_ms)


def _read(path: Path):
    return json.loads(path.read_text("utf-8"))


def _add_ring_set(connection, ring_set_json: dict) -> None:
    content = table_bytes(RingSet.from_json(ring_set_json))
    rings.add(connection, ring_set_json, table_name(content), content)


def _add_jobs(connection, phone_names: list[str], now_ms: int) -> None:
    ring_sets = {row["id"]: row for row in rings.all_sets(connection)}
    scenario = Scenario(ring_sets, now_ms)
    pairings = {name: shops.add_pairing(connection, name, now_ms) for name in phone_names}
    for path in sorted((_FOLDER / "jobs").glob("*.json")):
        for name, batch, pictures in scenario.play(_read(path)):
            _add_batch(connection, pairings[name], batch, now_ms)
            for content in pictures:
                keep_photo(connection, pairings[name], content, now_ms)


def _add_batch(connection, pairing: str, batch: list[dict], now_ms: int) -> None:
    results = take(connection, pairing, batch[0]["device"], batch, now_ms).results
    bad = [result for result in results if result["verdict"] != "accepted"]
    if bad:
        raise RuntimeError(f"the demo shop's own entries are not as they must be: {bad[0]}")
