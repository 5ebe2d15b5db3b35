"""The learning page's plots: each point where its numbers put it, turns counted, first rounds told by their windows."""

import html
import re

import pytest
from scipy.stats import binomtest

from calc.numbers.intervals import share_interval
from calc.rings.rings import RingSet
from server.desk.drawings.learning_plots import first_rounds, observed_against_planned, turn_words, turns
from server.records.past_fittings import FirstRounds, Fitting
from tests.server.databases import on_both_databases
from tests.server.demo_desk import finished_job, plan_body, reading, ring_sets_of, words_of
from tests.server.past_jobs import PastJob

RING = {
    "marks": 54, "first_mark": 1, "direction": "clockwise", "marked_face_right": "inboard", "taper_mdeg": 550,
    "taper_sd_mdeg": 8, "thick_mark": 1.0, "centre_thickness_mm": 2.4, "outer_diameter_mm": 148.0,
    "bore_diameter_mm": 62.0,
}  # fmt: skip
SET = RingSet.from_json(
    {"format": 1, "id": "x", "name": "X", "revision": 1, "max_tilt_mdeg": None, "inner": RING, "outer": RING}
)


def fitting(planned, observed):
    return Fitting(SET, (1, 2), complex(planned), complex(observed), {"camber": (1, 1), "toe": (1, 1)})


def test_what_came_as_planned_lies_on_the_line_and_more_lies_above_it():
    plot = observed_against_planned([fitting(1000, 1000), fitting(500j, 500j), fitting(500, 700), fitting(500, 300)])
    x0, y0, x1, y1 = plot["line"]
    rise = (y1 - y0) / (x1 - x0)
    assert rise == pytest.approx(-1, abs=0.002)  # one scale for both axes
    off = [round(y - (y0 + rise * (x - x0)), 1) for x, y in plot["points"]]
    assert off[:2] == pytest.approx([0, 0], abs=0.2)
    assert off[2] == pytest.approx(-off[3], abs=0.3)
    assert off[2] < -20  # y runs down
    assert not plot["goes_back"]


def test_a_change_that_went_the_other_way_lies_below_zero_and_inside_the_frame():
    plot = observed_against_planned([fitting(400, -300), fitting(400, 380)])
    assert plot["goes_back"]
    (_, back), (_, came) = plot["points"]
    assert came < plot["zero"] < back <= plot["frame"]["bottom"]


def test_turns_are_counted_about_multiples_of_five_degrees_towards_front_and_rear():
    """Camber + towards toe + is towards the rear; what lies beyond the plot stands in its outermost bin."""
    mostly = [fitting(1000, 1000 + 40j), fitting(1000, 1000 - 30j), fitting(1000, 1000 + 100j), fitting(1000, -1000)]
    plot = turns(mostly, (2.0, -3.0, 7.0))
    assert [(bar["count"], bar["words"], bar["is_end"]) for bar in plot["bars"]] == [
        (2, "0°", False),
        (1, "5° towards the rear", False),
        (1, "60° towards the rear", True),
    ]
    low, high = plot["mean"][1:]
    assert low < plot["middle"] < plot["mean"][0] < high


@pytest.mark.parametrize(
    ("degrees", "words"),
    [(-2.31, "2.3° towards the front"), (2.31, "2.3° towards the rear"), (0.04, "0.0°"), (-0.04, "0.0°")],
)
def test_a_turn_never_carries_a_bare_sign(degrees, words):
    assert turn_words(degrees, 1) == words


def test_the_parts_of_the_bar_fill_it_and_what_is_none_is_left_out():
    parts = first_rounds(FirstRounds(held=3, outside=1, untold=0))
    assert [(part["name"], part["x"], part["width"]) for part in parts] == [("held", 0, 420), ("outside", 420, 140)]


@pytest.mark.parametrize(("hits", "count"), [(0, 1), (1, 2), (4, 20), (27, 34), (34, 34), (480, 500)])
def test_the_interval_of_a_share_is_scipys(hits, count):
    expected = binomtest(hits, count).proportion_ci(method="wilson")
    assert share_interval(hits, count) == pytest.approx((hits / count, expected.low, expected.high), abs=1e-9)


def first_round(phone, sets, check, camber=(-1500, -500), again=False):
    """A signed job whose left wheel is to be inside `camber`; `check` is its (camber, toe) after the first round."""
    windows = {"left": {"camber": camber and list(camber), "toe": None, "aim": None}}
    body = plan_body(sets, {"left": (-1640, 420), "right": (-1120, 60)}, (12, 31), windows)
    past = PastJob(phone)
    past.add("plan-chosen", "round.1.plan", body)
    past.add("reading-taken", "round.1.check.left.1", reading(*check))
    past.add("reading-taken", "round.1.check.right.1", reading(-1120, 60))
    if again:
        past.add("reading-taken", "round.2.check.left.1", reading(-1000, 60))
    past.sign()


def test_first_rounds_are_told_by_the_windows_that_their_plans_were_made_for(desk):
    """A second round that succeeds makes no success of the first; a job without windows or check tells nothing."""
    sets = ring_sets_of(desk.phone)
    assert "No signed job has a first round with rings yet." in desk.words("/desk/learning")
    first_round(desk.phone, sets, (-1000, 50))
    first_round(desk.phone, sets, (-1500, 50))
    first_round(desk.phone, sets, (-1501, 50), again=True)
    first_round(desk.phone, sets, (-1000, 50), camber=None)
    finished_job(desk.phone, sets, (12, 31))
    shown = desk.words("/desk/learning")
    assert "2 of 3 first rounds held every window at their check: 67 % (21 to 94 %" in shown
    assert "1 left something outside" in shown
    assert "2 cannot be told" in shown


def test_every_plot_has_title_description_and_a_table_with_its_points(desk):
    sets = ring_sets_of(desk.phone)
    for miss in ((10, -5), (-20, 30), (0, 0)):
        finished_job(desk.phone, sets, (12, 31), miss=miss)
    page = desk.get("/desk/learning").text
    plots = re.findall(r'<svg [^>]*role="img"[^>]*>.*?</svg>', page, re.S)
    assert len(plots) == 3
    for plot in plots:
        named = re.search(r'aria-labelledby="(\S+) (\S+)"', plot)
        title, said = (re.search(rf'id="{name}">([^<]+)<', plot)[1] for name in named.groups())
        assert len(title) > 10
        assert re.search(r"\d", html.unescape(said))
    scatter = next(plot for plot in plots if "Observed against planned change" in plot)
    table = page[page.index("The fittings as a table") : page.index("The figures")]
    assert scatter.count("<circle") == table.count("12 meets 31") == 3
    assert "towards the" in table
    assert page.index("<svg") < page.index("The figures")


@on_both_databases
def test_a_reading_that_somebody_has_struck_teaches_nothing(phone):
    """Cause: only readings and plans were read of a job, so that what strikes a reading was passed over."""
    body = plan_body(ring_sets_of(phone), {"left": (-1640, 420), "right": (-1120, 60)}, (12, 31))
    past = PastJob(phone)
    past.add("reading-taken", "base.left.1", reading(-1640, 420))
    past.add("reading-taken", "base.left.2", reading(-2640, 1420))
    past.set("struck.base.left.2", {"reason": "the head had slipped"})
    past.add("plan-chosen", "round.1.plan", body)
    past.add("reading-taken", "round.1.check.left.1", reading(*body["plan"]["predicted"]["left"]))
    past.sign()
    shown = words_of(phone.client.get("/desk/learning"))
    assert re.search(r"Demo 54, revision 1 1 small sample (1\.00\d|0\.99\d) \(one alone\)", shown)
    assert "0 repeats" in shown
