"""Walks a whole rear-axle job on the phone, step by step as they come, by tapping and typing only.

The answers are of an invented vehicle. What is not answered here is a plain tick or a hold, and is confirmed.
"""

import re
from collections.abc import Callable
from pathlib import Path

from app_actions import AppActions

BASE = {"left": (("1.64", "top-in"), ("0.42", "in")), "right": (("1.72", "top-in"), ("0.31", "in"))}
CHECK = {"left": (("1.02", "top-in"), ("0.11", "in")), "right": (("1.01", "top-in"), ("0.09", "in"))}
REGISTRATION = "QX 41 LTM"
_MOST_STEPS = 200

TEXTS = {
    "vehicle.registration": REGISTRATION,
    "vehicle.description": "Marrow Vale Estate 1.8",
    "vehicle.vin": None,  # optional: passed over
    "vehicle.complaint": "Rear tyres wear on the inside",
    "vehicle.tyre-size": "205/55 R16",
    "vehicle.load": "Empty",
    "vehicle.tank": "Half",
    "base.equipment": "Four-head set in bay 2",
    "choose.parts-lot": "Hub bolts B-8, lot 12",
    "fit.wrench": "Wrench 3, checked in May",
}
NUMBERS = {"vehicle.odometer": "84210", "vehicle.arch-gap": "31", "vehicle.tyre-radius": "316", "fit.bolt-turns": "9"}
CHOICES = {
    "vehicle.wear-rear-left": "inner",
    "vehicle.wear-rear-right": "even",
    "vehicle.wear-front-left": "even",
    "vehicle.wear-front-right": "even",
    "vehicle.tyres": "right",
    "vehicle.ride-height": "right",
    "vehicle.bearings": "sound",
    "vehicle.bushes-springs": "sound",
    "vehicle.structure": "sound",
    "vehicle.adjusters": "none",
    "vehicle.mounting": "bolt-on-unit",
    "vehicle.ring-place": "no-plate",
    "vehicle.pilot": "centred",
    "vehicle.sensor": "with-hub",
    "vehicle.rear-brake": "disc",
    "vehicle.caliper-bracket": "moves-with-hub",
    "vehicle.parking-brake": "cable",
    "vehicle.suspension": "steel",
    "vehicle.high-voltage": "no",
    "vehicle.pair-fitted": "none",
    "base.complaint-agrees": "agrees",
    "prepare.clearances": "free",
    "prepare.whole": "whole",
    "fit.hub-free": "came",
    "fit.line": "closed",
    "fit.faces": "flat",
    "fit.touches": "nothing",
    "finish.front": "inside",
    "finish.steering-angle": "done",
    "finish.driver-assist": "not-asked",
}
PHOTOS = {"fit.witness-line", "finish.photo"}


def step_id(slot: str) -> str:
    """Return the step of a slot: without the wheel and without the round."""
    return re.sub(r"^round\.\d+\.", "", slot).replace(".left.", ".").replace(".right.", ".")


class JobWalk:
    """One job of `driver`; `photo` is the JPEG taken wherever one is asked for.

    `visit(slot)` is called before each step is answered: for screenshots, or for checks of its own.
    """

    def __init__(self, driver: AppActions, photo: Path, visit: Callable[[str], None] = lambda _slot: None):
        self.driver, self.photo, self.visit = driver, photo, visit
        self.walked: list[str] = []
        self._panels = {
            "vehicle.can-rings-go-in": driver.next,
            "base.readings": self._base_readings,
            "base.windows": self._windows,
            "round.1.plan": driver.take_recommended,
            "consent": self._consent,
            "choose.single-use": driver.single_use,
            "fit.torque": lambda: driver.torque("88", "Service information of the vehicle's maker, page 12"),
            "check.readings": self._check_readings,
            "check.result": driver.next,
            "finish.front-readings": driver.skip,
            "finish.sign": self._sign,
        }

    def until(self, last: str | None = None) -> None:
        """Answer step after step until the step of the slot `last` is open, or none is left."""
        for _ in range(_MOST_STEPS):
            slot = self.driver.slot
            if slot is None or slot == last:
                return
            self.driver.same_side()
            self.visit(slot)
            self.walked.append(slot)
            try:
                self.answer(slot)
            except Exception as error:
                error.add_note(f"at the step {slot}; the screen says:\n{self.driver.screen_text}")
                raise
            assert self.driver.slot != slot, f"{slot} stayed open"
        raise AssertionError(f"no end after {_MOST_STEPS} steps")

    def answer(self, slot: str) -> None:
        step, driver = step_id(slot), self.driver
        if slot in self._panels or step in self._panels:
            self._panels[slot if slot in self._panels else step]()
        elif TEXTS.get(step):
            driver.text(TEXTS[step])
        elif step in NUMBERS:
            driver.number(NUMBERS[step])
        elif step in CHOICES:
            driver.choose(CHOICES[step])
        elif step in PHOTOS:
            driver.photo(self.photo)
            driver.next()
        elif driver.shows("skip"):
            driver.skip()
        else:
            driver.tap_on("confirm" if driver.shows("confirm") else "done")

    def _base_readings(self) -> None:
        self.driver.read_wheels(BASE["left"], BASE["right"], camber_unit="deg", toe_unit="deg")
        self.driver.next()

    def _windows(self) -> None:
        driver = self.driver
        driver.window_source("Maker's service information, edition 7")
        driver.window("camber", ("1.5", "top-in"), ("0.5", "top-in"), unit="deg")
        driver.window("toe", ("0", "in"), ("0.2", "in"), unit="deg")
        driver.window("total-toe", ("0.05", "in"), ("0.35", "in"), unit="deg")
        for key in ("thrust", "cross-camber"):
            driver.window(key, None)
        driver.next()

    def _consent(self) -> None:
        self.driver.consent(
            findings="Left rear wheel leans in too far and toes in too far",
            work="Ring pairs as planned",
            price="180 to 240",
            customer="A. Customer",
        )

    def _check_readings(self) -> None:
        self.driver.read_wheels(CHECK["left"], CHECK["right"], camber_unit="deg", toe_unit="deg")
        self.driver.next()

    def _sign(self) -> None:
        self.driver.tap("confirm")
        self.driver.wait_for("to-start")
        self.driver.tap_on("to-start")
