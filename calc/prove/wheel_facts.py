"""What is known of one wheel's fitting when it has to be proved. It holds values and computes nothing."""

from dataclasses import dataclass, field

from calc.rings.rings import RingSet


@dataclass(frozen=True)
class Reading:
    """A wheel's (camber, toe) in whole mdeg."""

    camber: int
    toe: int


@dataclass(frozen=True)
class WheelFacts:
    """What is known of one wheel's fitting: `droop_deg` None is unknown, 0 is impossible; see `Other`.

    `toe_units`: the unit in which toe was typed at "base" and at "check", None where it is not known or not one.
    """

    ring_set: RingSet
    pair: tuple[int, int]
    base: Reading
    check: Reading
    bolts: tuple[tuple[float, float], ...] = ()
    droop_deg: float | None = None
    other: "Other | None" = None
    toe_units: dict[str, str | None] = field(default_factory=lambda: {"base": None, "check": None})


@dataclass(frozen=True)
class Other:
    """The rest of the shop and of the axle: the other wheel's fitting, other ring sets, rings found at the base."""

    fitting: tuple[RingSet, tuple[int, int]] | None = None
    base: Reading | None = None
    check: Reading | None = None
    ring_sets: tuple[RingSet, ...] = ()
    old_rings: tuple[RingSet, tuple[int, int]] | None = None
