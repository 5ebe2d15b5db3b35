"""Walks a whole rear-axle job through its sheets, by tapping and typing only; the answers are of an invented vehicle.

The job is plain: disc brakes, cable parking brake, sensor with the hub, both wheels, one reading each before and after,
a photo of each side, consent and signature. Each sheet is worked by a method of its own, so that a test can stop
between two. From sheet to sheet it goes by the main button, where that leads on.
"""

import re
from pathlib import Path

from sheet_driver import SheetDriver

BASE = {"left": (("1.64", "top-in"), (".42", "in")), "right": (("1.72", "top-in"), (".31", "in"))}
CHECK = {"left": (("1.02", "top-in"), (".11", "in")), "right": (("1.01", "top-in"), (".09", "in"))}
REGISTRATION = "QX 41 LTM"
DESCRIPTION = "Marrow Vale Estate 1.8"
SOURCE = "Service information, edition 7"
SIDES = ("left", "right")
# No longer than the touch guard and the bolts want it
_BETWEEN_TOUCHES_MS = 1600
# The keypad sets the mark of three digits by itself, and that of two digits of a toe.
_WITHOUT_MARK = re.compile(r"^(\d?)\.(\d\d)$")
SHEETS = (
    "vehicle", "condition", "readings", "possible", "plan", "bench.left", "bench.right", "lift", "wheel.left",
    "wheel.right", "down", "check", "finish",
)  # fmt: skip


class SheetWalk:
    """One job of `driver`; `photo` is the JPEG taken wherever one is asked for.

    `visit` is called with each sheet as it comes, `leave` once it is worked.
    """

    def __init__(self, driver: SheetDriver, photo: Path, job: str, visit=lambda _: None, leave=lambda _: None):
        self.driver, self.photo, self.job, self.visit, self.leave = driver, photo, job, visit, leave
        self.bolt_taps = dict.fromkeys(SIDES, 0)
        # The wheel's sheet of another axle: drums, hubs held by an axle nut
        self.has_drums = self.has_axle_nut = False
        # Taps and typed characters of each sheet, with the tap that leads on from it
        self.by_sheet: dict[str, dict[str, int]] = {}

    def run(self, *, until: str | None = None) -> None:
        """Work the sheets in order, up to and without the sheet `until`."""
        for sheet in SHEETS:
            if sheet == until:
                return
            taps, typed = self.driver.taps, self.driver.typed
            self.work(sheet)
            self.leave(sheet)
            self.go_on()
            self.by_sheet[sheet] = {"taps": self.driver.taps - taps, "typed": self.driver.typed - typed}

    @property
    def counts(self) -> dict[str, int]:
        """What the job cost; wheel is the larger of the two wheel sheets without its bolts, rest all other sheets."""
        taps = {sheet: each["taps"] for sheet, each in self.by_sheet.items()}
        return {
            "sheets": len(taps),
            "taps": sum(taps.values()),
            "wheel": max(taps[f"wheel.{side}"] - self.bolt_taps[side] for side in SIDES),
            "bolts": max(self.bolt_taps.values()),
            "rest": sum(count for sheet, count in taps.items() if not sheet.startswith("wheel.")),
            "typed": sum(each["typed"] for each in self.by_sheet.values()),
        }

    def go_on(self) -> None:
        """Tap the main button, which opens the next sheet once nothing is left of this one."""
        at = SHEETS.index(self.driver.sheet)
        if at + 1 < len(SHEETS):
            self.driver.next()
            self.driver.page.wait_for_url(f"**/sheet/{SHEETS[at + 1]}")
            self.driver.settle()

    def work(self, sheet: str) -> None:
        name, _, side = sheet.partition(".")
        try:
            if self.driver.sheet != sheet:
                self.driver.open_sheet(self.job, sheet)
            self.visit(sheet)
            getattr(self, f"_{name}")(*([side] if side else []))
        except Exception as error:
            error.add_note(f"on the sheet {sheet}; the screen says:\n{self.driver.screen_text}")
            raise

    def _vehicle(self) -> None:
        driver = self.driver
        driver.text("vehicle.registration", REGISTRATION, enter=True)
        driver.text("vehicle.description", DESCRIPTION, enter=True)
        driver.number("vehicle.odometer", "84210")
        driver.tap("chip-vehicle.complaint-wear-inside")
        driver.choose("vehicle.steering-wheel", "straight")

    def _condition(self) -> None:
        driver = self.driver
        driver.text("vehicle.tyre-size", "205/55 R16")
        driver.choose("vehicle.wear-rear-left", "inner")
        others = (f"vehicle.wear-{wheel}" for wheel in ("rear-right", "front-left", "front-right"))
        driver.together("wear", "vehicle.tyres", *others)
        driver.tick("vehicle.pressures")
        driver.tap("chip-vehicle.load-empty")
        driver.tap("chip-vehicle.tank-half")
        driver.choose("vehicle.ride-height", "right")
        driver.hold("vehicle.inspection-supported")
        driver.together("inspection", *(f"vehicle.{part}" for part in ("bearings", "bushes-springs", "structure")))
        driver.choose("vehicle.adjusters", "none")

    def _readings(self) -> None:
        driver = self.driver
        self.windows()
        driver.text("window.source", SOURCE)
        driver.together("before-reading", "base.compensation", "base.settled")
        self.read("base", BASE)
        driver.choose("base.complaint-agrees", "agrees")

    def windows(self) -> None:
        """Those of the wheels: total toe follows from them."""
        for cell, text in (("camber.low", "1.5"), ("camber.high", ".5")):
            self.driver.angle(f"window.{cell}", text, "top-in")
        for cell, text in (("toe.low", "0"), ("toe.high", ".2")):
            self.driver.angle(f"window.{cell}", text, "in")
        self.driver.tap("windows-none")

    def read(self, prefix: str, wheels: dict, n: int = 1) -> None:
        for part in (0, 1):
            for side in SIDES:
                text, way = wheels[side][part]
                text = _WITHOUT_MARK.sub(r"\1\2", text)
                self.driver.angle(f"{prefix}.{side}.{('camber', 'toe')[part]}.{n}", text, way)

    def _possible(self) -> None:
        driver = self.driver
        driver.hold("vehicle.under-supported")
        driver.choose("vehicle.pair-fitted", "none")
        for row, answer in (
            ("mounting", "bolt-on-unit"), ("axle-nut", "no"), ("ring-place", "no-plate"), ("pilot", "centred"),
            ("sensor", "with-hub"), ("rear-brake", "disc"), ("caliper-bracket", "moves-with-hub"),
            ("parking-brake", "cable"), ("suspension", "steel"), ("high-voltage", "no"),
        ):  # fmt: skip
            driver.choose(f"vehicle.{row}", answer)
        driver.number("vehicle.arch-gap", "31")
        driver.tap("offered-vehicle.tyre-radius")
        driver.wait_gone("offered-vehicle.tyre-radius")
        tell_hub_bolts(driver)

    def _plan(self) -> None:
        driver = self.driver
        driver.wait_for("plan-table")
        for code in driver.advice:
            driver.answer_advice(code)
        driver.tap("take-plan")
        driver.wait_for("chosen")
        driver.type_into("consent-price", "180 to 240", enter=True)
        driver.type_into("consent-customer", "A. Customer", enter=True)
        driver.tap("consent-risks")
        driver.tap("consent-how-in-person")
        driver.wait_state("consent")
        driver.tap("all-at-hand")
        driver.wait_state("choose.single-use")  # the keypad comes for what stands behind it
        driver.wait_state("choose.single-use")
        self.torques()

    def torques(self) -> None:
        driver = self.driver
        for slot, text in (("fit.torque", "88"), ("torque.caliper", "35"), ("torque.wheel", "120")):
            driver.number(f"{slot}.torque", text)
        driver.tap("source-of-windows")
        driver.wait_state("fit.torque")

    def _bench(self, side: str) -> None:
        self.driver.together("ring-set", *(f"prepare.{side}.{row}" for row in ("right-set", "named", "marks-meet")))
        self.driver.choose(f"prepare.{side}.clearances", "free")
        self.driver.hold(f"prepare.{side}.last-look")
        self.driver.choose(f"prepare.{side}.whole", "whole")

    def _lift(self) -> None:
        driver = self.driver
        driver.hold("fit.chocked")
        driver.tick("fit.plates-pinned")
        driver.tick("fit.heads-off")
        for side in SIDES:
            driver.hold(f"fit.{side}.top-marked")
        for row in ("eased", "brake-released", "key-away"):
            driver.tick(f"fit.{row}")
        driver.hold("fit.supported")

    def _wheel(self, side: str) -> None:
        driver, at = self.driver, f"fit.{side}."
        for row in ("wheel-off", "drum-off" if self.has_drums else "caliper-hung", "leads-free"):
            driver.tick(at + row)
        driver.choose(at + "line", "closed")
        driver.hold(at + "hub-supported")
        driver.choose(at + "hub-free", "came")
        driver.tick(at + "trial-fit")
        driver.choose(at + "faces", "flat")
        inner, outer = driver.pair(at + "rings-in")
        driver.tick(at + "rings-in")
        driver.tap("letter-L" if side == "left" else "letter-R")
        driver.number(at + "read-back.inner", inner)
        driver.number(at + "read-back.outer", outer)
        driver.wait_state(at + "read-back")
        driver.choose(at + "touches", "nothing")
        driver.photograph(at + "witness-line", self.photo)
        self.bolt_length(side)
        driver.tick(at + "bolts-by-hand")
        self.tighten(side)
        for row in ("flush-again", "turns-free", "tips-clear", "line-unbroken"):
            driver.tick(at + row)
        if self.has_drums:
            driver.tick(at + "drum-turns")
        else:
            driver.tick(at + "disc-central")
            driver.hold(at + "bracket-bolts")
        driver.tick(at + "routed")
        if self.has_axle_nut:
            driver.hold(at + "axle-nut")
        driver.tick(at + "wheel-on")

    def bolt_length(self, side: str, *, new_mm: str = "50") -> None:
        """New bolts, long enough for any pair of the demo's sets."""
        driver, slot = self.driver, f"fit.{side}.bolt-length"
        driver.tap(f"bolts-new-{slot}")
        driver.number(f"{slot}.length_mm", new_mm)
        driver.tap(f"class-{slot}-10.9")
        driver.hold(slot)

    def tighten(self, side: str) -> None:
        driver, slot = self.driver, f"fit.{side}.tightened"
        before = driver.taps
        while driver.state(slot) != "done":
            driver.tap("bolt-target")
            driver.page.wait_for_timeout(_BETWEEN_TOUCHES_MS)
        self.bolt_taps[side] = driver.taps - before

    def _down(self) -> None:
        driver = self.driver
        driver.hold("fit.pedal")
        driver.tick("fit.parking-adjusted")
        driver.hold("fit.lowered")
        for side in SIDES:
            driver.hold(f"fit.{side}.wheel-fasteners")
        driver.tick("fit.chocks-away")

    def _check(self) -> None:
        rows = ("plates-free", "compensation", "settled", "same-load")
        self.driver.together("before-check", *(f"check.{row}" for row in rows))
        self.read("round.1.check", CHECK)
        self.driver.wait_for("result-table")

    def _finish(self) -> None:
        driver = self.driver
        driver.choose("finish.front", "inside")
        driver.choose("finish.steering-angle", "done")
        driver.choose("finish.driver-assist", "not-asked")
        driver.together("electronics", "finish.lamps", "finish.wheel-speed")
        driver.tick("finish.brake-test")
        driver.together("road", "finish.road-test-result", "finish.steering-straight")
        driver.tap("recheck-usual")
        driver.wait_state("finish.recheck-after")
        driver.photograph("finish.photo", self.photo)
        driver.tap("sign-now")
        driver.wait_for("to-start")


def tell_hub_bolts(driver: SheetDriver) -> None:
    """Tell of the hub bolts in the order in which one is looked at: five chips and seven digits."""
    for chip, cell, text in (
        ("count-5", "circle", "110"), ("thread-12x1.5", "turns", "12"), ("class-10.9", "length", "45"),
    ):  # fmt: skip
        driver.tap(f"bolts-{chip}")
        driver.number(f"vehicle.bolts.{cell}", text)
    driver.tap("bolts-metal-steel")
    driver.tap("bolts-hole-through")
