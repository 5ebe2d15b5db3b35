"""The desk's tilt map is the phone's: the same geometry to a tenth of a drawing unit, for random wheels and rings."""

import json
import random

import numpy as np
import pytest

from calc.rings.rings import RingSet
from calc.rings.table import effects_of, table_of
from server.desk.drawings import tilt_map
from tests.pwa.static_server import serving
from tests.server.demo_desk import ring_sets_of

CASES = 25
ASK = """async (cases) => {
    const map = await import("/js/domain/rings/tilt-map.js");
    return cases.map(({ base, window, table, predicted, check, covariance }) => {
        const view = map.viewOfAll({ base, window, tables: [table], predicted: { at: predicted }, check });
        return {
            view, places: [base, predicted, check].map((reading) => map.placeOf(view, reading)),
            box: map.windowBox(view, window),
            ellipse: map.spreadEllipse(covariance), ticks: map.axisTicks(view), dots: map.dotsPath(view, base, [table]),
        };
    });
}"""
NEAR = 1e-6  # of a drawing unit


def cases_of(ring_set):
    rng = random.Random(20261125)
    table = table_of(ring_set)
    near = lambda base: [base[0] + rng.randint(-900, 900), base[1] + rng.randint(-900, 900)]  # noqa: E731
    both = lambda low: [low, low + rng.randint(0, 1200)]  # noqa: E731
    edges = lambda low: rng.choice([None, both(low), both(low), [low, None], [None, low]])  # noqa: E731
    cases = []
    for _ in range(CASES):
        base = [rng.randint(-3000, 3000), rng.randint(-1500, 1500)]
        factor = np.array([[rng.uniform(-90, 90) for _ in range(2)] for _ in range(2)])
        window = {"camber": edges(rng.randint(-3000, 2000)), "toe": edges(rng.randint(-2000, 1500))}
        case = {"base": base, "window": window, "predicted": near(base), "check": near(base)}
        cases.append(case | {"covariance": (factor @ factor.T).tolist(), "table": table})
    return cases


@pytest.fixture
def by_phone(browser, desk):
    """(the phone's answers, the cases, the ring set that they are of)."""
    ring_set = RingSet.from_json(next(e["ring_set"] for e in ring_sets_of(desk.phone) if e["id"] == "demo-66"))
    cases = cases_of(ring_set)
    context = browser.new_context()
    page = context.new_page()
    with serving() as server:
        page.goto(f"{server.origin}/tests/run.html")
        answers = page.evaluate(ASK, json.loads(json.dumps(cases)))
        context.close()
    return answers, cases, ring_set


def test_every_number_of_the_map_is_the_phones(by_phone):
    answers, cases, ring_set = by_phone
    camber, toe = (part.ravel() for part in effects_of(ring_set))
    offered = camber**2 + toe**2 <= ring_set.max_tilt_mdeg**2
    camber, toe = camber[offered], toe[offered]
    for said, case in zip(answers, cases, strict=True):
        reach = float(np.hypot(camber, toe).max())
        view = tilt_map.view_of_all(case["base"], case["window"], reach, [case["predicted"], case["check"]])
        assert (view.camber, view.toe, view.span) == pytest.approx(tuple(said["view"].values()), abs=NEAR)
        for reading, place in zip((case["base"], case["predicted"], case["check"]), said["places"], strict=True):
            assert view.place(reading) == pytest.approx(place, abs=NEAR)
        assert_same_box(tilt_map.window_box(view, case["window"]), said["box"])
        assert tilt_map.spread_ellipse(case["covariance"]) == pytest.approx(tuple(said["ellipse"].values()), abs=NEAR)
        assert tilt_map.axis_ticks(view) == (
            said["ticks"]["camber"]["values"], said["ticks"]["toe"]["values"], said["ticks"]["toe"]["every"],
        )  # fmt: skip
        assert_same_dots(tilt_map.dots_path(view, case["base"], camber, toe), said["dots"])


def assert_same_box(own, phones):
    if phones is None:
        assert own is None
        return
    assert own["edges"] == phones["edges"]
    for part in ("x", "y", "width", "height"):
        assert own[part] == pytest.approx(phones[part], abs=NEAR)


def assert_same_dots(own, phones):
    """The same dots; the last tenth may round either way in two languages."""
    read = lambda path: [tuple(map(float, dot.split(" "))) for dot in path.replace("h0", "").split("M")[1:]]  # noqa: E731
    own, phones = sorted(read(own)), sorted(read(phones))
    assert len(own) == len(phones)
    assert np.abs(np.array(own) - np.array(phones)).max(initial=0) <= 0.1 + NEAR
