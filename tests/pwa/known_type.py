"""A vehicle type that the shop knows: proposed by a signed job, accepted at the desk."""

import uuid

from seeded_phone import angle

MAKE, MODEL = "Marrow", "Vale Estate 1.8"
NAME = f"{MAKE} {MODEL}"
SOURCE = "Service information"
KEYS = {"suspension": "S1", "drive": "front", "wheels": "16 inch", "edition": "7"}
_AT = [[55, k * 72] for k in range(5)]
_BOLTS = {"at": _AT, "thread": {"diameter_mm": 12, "pitch_mm": 1.5}, "class": "10.9", "metal": "steel"}
FACTS = {
    "vehicle.mounting": "bolt-on-unit", "vehicle.axle-nut": "no", "vehicle.ring-place": "no-plate",
    "vehicle.sensor": "with-hub", "vehicle.bolts": {"bolts": _BOLTS},
}  # fmt: skip
USUAL = {"vehicle.rear-brake": "disc", "vehicle.parking-brake": "cable", "vehicle.suspension": "steel"}
_EDGES = {
    **{f"window.{side}.camber": (-1500, -500) for side in ("left", "right")},
    **{f"window.{side}.toe": (0, 200) for side in ("left", "right")}, "window.total-toe": (50, 350),
}  # fmt: skip
TORQUES = {"fit.torque": 88, "torque.caliper": 35, "torque.wheel": 120}

# As a phone of the shop's sends its entries; the browser is paired with the demo shop.
_SEND = """async (entries) => {
  const { csrf } = await (await fetch("/api/session")).json();
  const body = JSON.stringify({ device: entries[0].device, since: null, entries });
  const answer = await fetch("/api/entries", {
    method: "POST", headers: { "Content-Type": "application/json", "X-CSRFToken": csrf }, body });
  return (await answer.json()).results.map(({ verdict }) => verdict);
}"""


def window(slot: str, low: int, high: int, **changes) -> dict:
    quantity = slot.split(".")[-1]
    value = {"low": angle(low, quantity), "high": angle(high, quantity)}
    return {"slot": slot, **KEYS, "source": SOURCE, "value": value} | changes


def the_type(**changes) -> dict:
    """Return what a job proposes; `changes` replace whole lists of it."""
    torques = [
        {"slot": slot, "grade": "10.9",
         "value": {"value_nm": nm, "text": str(nm), "unit": "nm", "source": SOURCE, "angle_deg": None}}
        for slot, nm in TORQUES.items()
    ]  # fmt: skip
    windows = [window(slot, low, high) for slot, (low, high) in _EDGES.items()]
    named = {"make": MAKE, "model": MODEL, "years": [2015, None]}
    return named | {"facts": FACTS, "usual": USUAL, "windows": windows, "torques": torques} | changes


def propose(page, *, of=None, **changes) -> None:
    """Send a signed job that proposes the type, or changes of one that is known."""
    job, device = str(uuid.uuid4()), str(uuid.uuid4())
    told = [
        ("job-opened", None, {"checklist": 2}), ("field-set", "vehicle.registration", {"value": "AB 12 CDE"}),
        ("field-set", "finish.vehicle-type", {"value": {"of": of, "type": the_type(**changes)}}),
    ]  # fmt: skip
    entries = []
    for n, (kind, slot, body) in enumerate([*told, ("job-signed", None, None)], start=1):
        own = str(uuid.uuid4())
        covers = {"covers": [entry["id"] for entry in entries]}
        entries.append({
            "format": 1, "id": own, "job": job, "device": device, "n": n, "at": "2026-11-20T10:00:00+00:00",
            "by": "Tom Reed", "kind": kind, "slot": slot or own, "after": [], "body": covers if body is None else body,
        })  # fmt: skip
    assert page.evaluate(_SEND, entries) == ["accepted"] * len(entries)


def accept(context, url: str, choices: tuple[str, ...] = ()) -> None:
    """Accept what waits at the desk; `choices`: of each part that has two answers, the place of the one that holds."""
    desk = context.new_page()
    desk.goto(f"{url}/desk/types/")
    desk.locator('a[href*="/desk/types/decide"]').first.click()
    apart = desk.locator("fieldset", has=desk.locator(".flag"))
    for at, place in enumerate(choices):
        apart.nth(at).locator(f'input[value="{place}"]').check()
    desk.get_by_role("button", name="Keep").click()
    desk.wait_for_url("**/desk/types/*-*")
    desk.close()


def bring(page) -> None:
    """Start the open phone anew, which asks the server for its types, and wait until they are kept."""
    with page.expect_response("**/api/types"):
        page.reload()
    page.wait_for_timeout(500)
