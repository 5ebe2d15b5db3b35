"""A phone whose store already holds ring sets and the beginning of a job; the rest is tapped by the test.

There is no server behind it: the shell comes from the static origin, and the network may be cut once it is loaded.
"""

import json
from pathlib import Path

from playwright.sync_api import Browser
from screen_checks import PHONE
from sheet_driver import SheetDriver
from used_phones import give_back, take_phone, workbench

from calc.rings.rings import RingSet
from calc.rings.table import table_bytes, table_name
from tests.at_once import until

ROOT = Path(__file__).resolve().parents[2]
RING_SETS = [
    json.loads((ROOT / "fixtures" / "demo" / "ring-sets" / f"demo-{marks}.json").read_text("utf-8"))
    for marks in (40, 54, 66)
]
MODULE = "/tests/phone-seed.js"
_ENTRIES = f"async ([job, slot]) => (await {PHONE}.entries(job)).filter((entry) => entry.slot === slot)"
_SAVE = f"async (content) => {PHONE}.save({{ after: [], by: 'Tom Reed', ...content }})"
SOURCE = "Maker's service information, edition 7"


def angle(mdeg: int, quantity: str) -> dict:
    """Return an angle as an entry holds it."""
    positive, negative = {
        "camber": ("top-out", "top-in"), "thrust": ("right", "left"), "cross-camber": ("more", "less"),
    }.get(quantity, ("in", "out"))  # fmt: skip
    text = f"{abs(mdeg) / 1000:g}"
    return {"mdeg": mdeg, "text": text, "unit": "deg", "way": negative if mdeg < 0 else positive, "diameter_mm": None}


def window(slot: str, quantity: str, edges) -> list:
    value = edges and {"low": angle(edges[0], quantity), "high": angle(edges[1], quantity)}
    return [slot, "field-set", {"value": value}]


def windows(camber, toe, total=None, thrust=None, cross=None) -> list[list]:
    """Return the facts of the maker's windows, the same for both wheels, edges in mdeg."""
    sides = ("left", "right")
    return [
        *(window(f"window.{side}.camber", "camber", camber) for side in sides),
        *(window(f"window.{side}.toe", "toe", toe) for side in sides),
        window("window.total-toe", "total-toe", total),
        window("window.thrust", "thrust", thrust),
        window("window.cross-camber", "cross-camber", cross),
        ["window.source", "field-set", {"value": SOURCE}],
    ]


def reading(slot: str, camber: int, toe: int) -> list:
    return [slot, "reading-taken", {"camber": angle(camber, "camber"), "toe": angle(toe, "toe")}]


def bolts(count: int = 5, circle_mm: int = 110, engaged_mm: float = 18) -> list:
    """Return the fact of evenly spaced hub bolts, M12 x 1.5 of class 10.9 in iron."""
    at = [[circle_mm / 2, k * 360 / count] for k in range(count)]
    known = {"thread": {"diameter_mm": 12, "pitch_mm": 1.5}, "class": "10.9", "metal": "iron"}
    typed = {
        "layout": "circle", "count": str(count), "circle": str(circle_mm), "thread": "12x1.5", "class": "10.9",
        "fastener": "bolt", "metal": "iron", "by": "measured", "engaged": str(engaged_mm), "hole": "through",
    }  # fmt: skip
    return [
        "vehicle.bolts",
        "field-set",
        {"value": {"typed": typed, "bolts": {"at": at, **known, "engaged_mm": engaged_mm}}},
    ]


# What the plan of most tests is made from.
DESCRIPTION = ["vehicle.description", "field-set", {"value": "Marrow Vale Estate 1.8"}]
WINDOWS = windows((-1500, -500), (0, 200), (50, 350), (-100, 100), (-500, 500))
READ = [reading("base.left.1", -1640, 420), reading("base.right.1", -1720, 310)]


class SeededPhone:
    """One phone of a test, closed by `close`; nothing that an earlier one stored is there.

    `page` stays empty until the program is shown there; what is to be stored before runs in `workbench`.
    """

    def __init__(self, browser: Browser, origin: str, width=360, height=740, theme="light", language="en",
                 ring_sets=RING_SETS, **options):  # fmt: skip
        size = {"width": width, "height": height}
        self.context, self.page = take_phone(browser, origin, viewport=size, has_touch=True, **options)
        self.errors: list[str] = self.context.page_errors
        self.origin = origin
        self.workbench = workbench(self.context, origin)
        settings = {"theme": theme, "language": language}
        self._call("equip", {"ringSets": [_kept(each) for each in ring_sets], "settings": settings})
        self.driver = SheetDriver(self.page)

    def _call(self, function: str, *arguments):
        return self.workbench.evaluate(
            "async ([module, name, args]) => (await import(module))[name](...args)", [MODULE, function, list(arguments)]
        )

    def open_job(self, facts: list) -> str:
        self.job = self._call("openJob", facts)
        return self.job

    def work_until(self, until: str | None, answers: dict | None = None, pairs: int | None = None) -> str | None:
        """Do row after row in the plainest way; the screen follows by itself where it is open."""
        return self._call("workUntil", self.job, until, {"answers": answers or {}, "pairs": pairs})

    def work_one(self) -> str | None:
        """Do the row that is next in the plainest way; return the one that is next then."""
        return self._call("workUntil", self.job, None, {"pairs": 2, "rows": 1})

    def bodies(self, kind: str) -> list[dict]:
        return self._call("bodiesOf", self.job, kind)

    def fields(self, slot: str) -> list:
        """Return every value that a field was given, in order."""
        return [each["body"]["value"] for each in self.bodies("field-set") if each["slot"] == slot]

    def live(self, slot: str) -> list:
        entries = self.workbench.evaluate(_ENTRIES, [self.job, slot])
        superseded = {each for entry in entries for each in entry["after"]}
        return [entry for entry in entries if entry["id"] not in superseded]

    def save_elsewhere(self, slot: str | None, kind: str, body: dict, *, instead: bool = False) -> None:
        """Save an entry of somebody who knew of no other answer, or who corrects the one that stands."""
        after = [entry["id"] for entry in self.live(slot)] if instead else []
        self.workbench.evaluate(_SAVE, {"job": self.job, "kind": kind, "slot": slot, "body": body, "after": after})

    def show(self, place: str = "") -> SheetDriver:
        """Open Tapermark at a place of the job: "sheet/<key>", "sheets" or "report"."""
        target = f"{self.origin}/#/job/{self.job}/{place}"
        if self.page.url.startswith(f"{self.origin}/#"):
            self.page.evaluate("hash => { location.hash = hash; }", target.split("#")[1])
        else:
            self.page.goto(target)
        self.page.wait_for_function(
            "hash => document.getElementById('main').dataset.place === hash",
            arg="#" + target.split("#")[1],
        )
        return self.driver

    def cut_network(self) -> None:
        """Let nothing through any more, once the whole program is here: no worker could bring the rest, nor may the
        HTTP cache, which may hold what an earlier phone has asked for.
        """
        self.page.wait_for_function("() => performance.getEntriesByName('whole-program-here').length")
        self._uncached = self.context.new_cdp_session(self.page)
        self._uncached.send("Network.enable")
        self._uncached.send("Network.setCacheDisabled", {"cacheDisabled": True})
        self.context.set_offline(True)

    def read(self, prefix: str, left: tuple[int, int], right: tuple[int, int], n: int = 1) -> None:
        """Type one reading of both wheels into the open table, (camber, toe) in mdeg, to hundredths."""
        for at, (part, positive, negative) in enumerate((("camber", "top-out", "top-in"), ("toe", "in", "out"))):
            for side, wheel in (("left", left), ("right", right)):
                text, way = _typed(wheel[at], positive, negative)
                self.driver.angle(f"{prefix}.{side}.{part}.{n}", text, way)
        for side, (_, toe) in (("left", left), ("right", right)):  # painted before it is saved
            slot, text = f"{prefix}.{side}.{n}", _typed(toe, "", "")[0]
            until(lambda slot=slot, text=text: self._toes(slot) == [text], f"{text} as the toe of {slot}")

    def _toes(self, slot: str) -> list[str]:
        return [(each["body"]["toe"] or {}).get("text", "").replace(",", ".") for each in self.live(slot)]

    def too_wide(self) -> int:
        """Return by how many pixels the open screen is wider than the phone."""
        return self.page.evaluate("() => document.documentElement.scrollWidth - innerWidth")

    def close(self) -> None:
        give_back(self.context)
        assert not self.errors, self.errors


def _typed(mdeg: int, positive: str, negative: str) -> tuple[str, str]:
    return f"{abs(mdeg) / 1000:.2f}", negative if mdeg < 0 else positive


def _kept(ring_set: dict) -> dict:
    data = table_bytes(RingSet.from_json(ring_set))
    return {
        "id": ring_set["id"], "name": ring_set["name"], "revision": ring_set["revision"], "retired": False,
        "table": table_name(data), "text": data.decode("ascii"), "ring_set": ring_set,
    }  # fmt: skip
