"""The second job on a vehicle type that the shop knows: what the type holds is looked at and tapped once."""

from sheet_walk import BASE, REGISTRATION, SheetWalk

TYPED = "marr va"


class KnownWalk(SheetWalk):
    """What the type holds comes by one tap a group; all else is answered as in the plain job."""

    def looked(self, group: str) -> None:
        """Tap "looked: it is so here" of a group, and wait until nothing of it is left to look at."""
        self.driver.tap(f"looked-{group}-0")
        self.driver.wait_gone(f"looked-{group}-0")

    def _vehicle(self) -> None:
        driver = self.driver
        driver.text("vehicle.registration", REGISTRATION, enter=True)
        driver.text("vehicle.description", TYPED)
        driver.tap("type-offer-0")
        driver.wait_for("type-chosen")
        driver.number("vehicle.odometer", "84210")
        driver.tap("chip-vehicle.complaint-wear-inside")
        driver.choose("vehicle.steering-wheel", "straight")

    def windows(self) -> None:
        """The maker gives no others: that is looked at with those that the type holds."""
        self.looked("windows")

    def _readings(self) -> None:
        driver = self.driver
        self.windows()
        driver.together("before-reading", "base.compensation", "base.settled")
        self.read("base", BASE)
        driver.choose("base.complaint-agrees", "agrees")

    def _possible(self) -> None:
        driver = self.driver
        driver.hold("vehicle.under-supported")
        driver.choose("vehicle.pair-fitted", "none")
        self.looked("mounting")  # with the sensor and the hub bolts, which are seen from the same place
        driver.choose("vehicle.pilot", "centred")
        for row, answer in (
            ("rear-brake", "disc"), ("caliper-bracket", "moves-with-hub"), ("parking-brake", "cable"),
            ("suspension", "steel"), ("high-voltage", "no"),
        ):  # fmt: skip
            driver.choose(f"vehicle.{row}", answer)
        driver.number("vehicle.arch-gap", "31")
        driver.tap("offered-vehicle.tyre-radius")
        driver.wait_gone("offered-vehicle.tyre-radius")
        for cell, text in (("turns", "12"), ("length", "45")):
            driver.number(f"vehicle.bolts.{cell}", text)
        driver.tap("bolts-hole-through")

    def torques(self) -> None:
        self.looked("torques")
        self.driver.wait_state("fit.torque")
