"""Learning from finished jobs: known errors put into made-up jobs come out again; and a person decides what is used."""

import math
import random

import pytest

from server.records.fold import fold
from server.records.past_fittings import PastFittings, past_fittings_of
from server.records.spreads import FEWEST, USUAL, by_ring_set, proposals
from tests.server.databases import on_both_databases
from tests.server.demo_desk import DemoDesk, finished_job, plan_body, reading, ring_sets_of
from tests.server.phones import Phone

SPREAD = {"camber_sd": "0.06", "toe_sd": "0.02", "seat_sd": "0.03", "clock_sd_deg": "3.5"}


@pytest.fixture
def ring_sets(desk):
    return ring_sets_of(desk.phone)


class Maker:
    """Makes folded jobs in memory, with errors of known size."""

    def __init__(self, app, ring_sets, seed):
        self.phone, self.ring_sets, self.random = Phone(app), ring_sets, random.Random(seed)
        self.by_table = {each["table"]: each["ring_set"] for each in ring_sets}

    def job(self, camber_sd=50.0, toe_sd=30.0, seat_sd=0.0, turn_sd_deg=0.0, size=1.0, repeats=1, state="job-signed"):
        gauss = self.random.gauss
        base = {"left": (-1640, 420), "right": (-1120, 60)}
        pair = (self.random.randint(1, 54), self.random.randint(1, 54))
        body = plan_body(self.ring_sets, base, pair)
        effect = complex(*body["plan"]["left"]["effect"])
        turn = math.radians(gauss(0, turn_sd_deg))
        done = size * effect * complex(math.cos(turn), math.sin(turn)) + complex(gauss(0, seat_sd), gauss(0, seat_sd))
        read = lambda c, t: reading(round(c + gauss(0, camber_sd)), round(t + gauss(0, toe_sd)))  # noqa: E731
        entry = self.phone.entry
        entries = [entry("j", "plan-chosen", body, "round.1.plan")]
        for number in range(1, repeats + 1):
            entries.append(entry("j", "reading-taken", read(*base["left"]), f"base.left.{number}"))
            after = (base["left"][0] + done.real, base["left"][1] + done.imag)
            entries.append(entry("j", "reading-taken", read(*after), f"round.1.check.left.{number}"))
        return fold([*entries, entry("j", state, {"covers": [], "reason": "x"})])

    def finished(self, count, **errors) -> PastFittings:
        return past_fittings_of((self.job(**errors) for _ in range(count)), self.by_table)


def found_in(gathered):
    return {each.name: each for each in proposals(gathered)}


def test_the_spread_of_readings_comes_out_of_repeats(demo_app, ring_sets):
    found = found_in(Maker(demo_app, ring_sets, 1).finished(60, camber_sd=80, toe_sd=15, repeats=3))
    for name, truth in (("camber_sd", 80), ("toe_sd", 15)):
        assert found[name].low < truth < found[name].high
        assert found[name].proposed == pytest.approx(truth, rel=0.12)
        assert found[name].count == 60 * 2 * 2  # before and after, two repeats beyond the first
        assert not found[name].is_small


def test_seat_and_clock_come_out_of_the_misses(demo_app, ring_sets):
    """400 jobs with small reading errors: each spread is found within some 15 %, four standard errors."""
    gathered = Maker(demo_app, ring_sets, 2).finished(400, camber_sd=8, toe_sd=8, seat_sd=40, turn_sd_deg=5, repeats=2)
    found = found_in(gathered)
    assert found["seat_sd"].proposed == pytest.approx(40, rel=0.15)
    assert found["clock_sd_deg"].proposed == pytest.approx(5, rel=0.15)


def test_nothing_is_found_beyond_the_readings_where_nothing_else_errs(demo_app, ring_sets):
    found = found_in(Maker(demo_app, ring_sets, 3).finished(300, camber_sd=50, toe_sd=30))
    assert found["seat_sd"].proposed <= 30
    assert found["clock_sd_deg"].proposed <= 2.5


def test_few_jobs_propose_nothing_and_lean_on_the_usual(demo_app, ring_sets):
    maker = Maker(demo_app, ring_sets, 4)
    few = found_in(maker.finished(FEWEST - 1, camber_sd=8, toe_sd=8, seat_sd=200))
    assert few["seat_sd"].proposed is None
    assert few["camber_sd"].proposed is None
    assert few["seat_sd"].is_small
    enough = found_in(maker.finished(FEWEST, camber_sd=8, toe_sd=8, seat_sd=200, repeats=2))
    assert USUAL["seat_sd"] < enough["seat_sd"].proposed < 230
    assert found_in(PastFittings())["seat_sd"].found is None


def test_size_and_turn_by_ring_set_with_intervals(demo_app, ring_sets):
    gathered = Maker(demo_app, ring_sets, 5).finished(80, camber_sd=10, toe_sd=10, size=0.9, turn_sd_deg=1)
    (row,) = by_ring_set(gathered.fittings)
    assert (row["name"], row["fittings"]) == ("Demo 54", 80)
    assert row["speaking"] < 80  # a pair that hardly tilts has no size to speak of
    size, low, high = row["size"]
    assert low < 0.9 < high
    assert size == pytest.approx(0.9, abs=0.02)
    _, turn_low, turn_high = row["turn"]
    assert turn_low < 0 < turn_high
    assert not row["is_small"]


def test_only_signed_jobs_count_and_only_the_pair_that_stayed_in(demo_app, ring_sets):
    maker = Maker(demo_app, ring_sets, 6)
    assert maker.finished(5, state="job-stopped") == PastFittings()
    base = {"left": (-1640, 420), "right": (-1120, 60)}
    entry = maker.phone.entry
    first, second = plan_body(ring_sets, base, (1, 1)), plan_body(ring_sets, base, (20, 3))
    wrong = first["plan"]["left"]["effect"]
    right = second["plan"]["predicted"]["left"]
    job = [
        entry("j", "reading-taken", reading(*base["left"]), "base.left.1"),
        entry("j", "plan-chosen", first, "round.1.plan"),
        entry("j", "reading-taken", reading(base["left"][0] - wrong[0], base["left"][1]), "round.1.check.left.1"),
        entry("j", "plan-chosen", second, "round.2.plan"),
        entry("j", "reading-taken", reading(*right), "round.2.check.left.1"),
        entry("j", "job-signed", {"covers": []}),
    ]
    (fitting,) = past_fittings_of([fold(job)], maker.by_table).fittings
    assert fitting.pair == (20, 3)
    assert fitting.size == pytest.approx(1, abs=0.01)


def test_nobody_is_named_or_told_apart(desk, ring_sets):
    """The same jobs by one person or by two give the same page; erased ones count as before."""
    jobs = [finished_job(desk.phone, ring_sets, (12, 31), miss=(20, -10), repeats=3) for _ in range(3)]
    before = desk.words("/desk/learning")
    assert "3 signed jobs" in before
    assert "Tavell" not in before
    desk.post(f"/desk/jobs/{jobs[0]}/erase", {"reason": "asked", "sure": "yes"})
    assert desk.words("/desk/learning") == before


@on_both_databases
def test_accepted_spreads_reach_the_phones_and_go_back(app):
    desk = DemoDesk(app)
    asked = lambda: desk.client.get("/api/ring-sets").json["spread"]  # noqa: E731
    assert asked() is None
    assert desk.post("/desk/learning/accept", SPREAD).status_code == 303
    assert asked() == {"camber_sd": 60, "toe_sd": 20, "seat_sd": 30, "clock_sd_deg": 3.5}
    answers = desk.client.get("/api/openapi.json").json["paths"]["/api/ring-sets"]["get"]["responses"]
    described = answers["200"]["content"]["application/json"]["schema"]
    assert described["properties"].keys() == desk.client.get("/api/ring-sets").json.keys()
    assert described["properties"]["spread"]["properties"].keys() == asked().keys()
    assert "The shop’s own are in use, said by Demo desk" in desk.words("/desk/learning")
    assert "accepted the shop’s spreads camber_sd 60, toe_sd 20, seat_sd 30, clock_sd_deg 3.5" in desk.audit()
    desk.post("/desk/learning/accept", {"act": "usual"})
    assert asked() is None


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [("camber_sd", "0.6", "0.005 to 0.5"), ("clock_sd_deg", "0", "0.1 to 20"), ("seat_sd", "much", "a number"),
     ("toe_sd", "", "a number")],
)  # fmt: skip
def test_what_cannot_be_used_is_said_beside_its_field_and_kept(desk, name, text, words):
    answer = desk.post("/desk/learning/accept", SPREAD | {name: text})
    assert answer.status_code == 422
    assert f'id="flaw-{name}"' in answer.text
    assert words in answer.text
    assert f'name="{name}" value="{text}"' in answer.text
    assert desk.client.get("/api/ring-sets").json["spread"] is None


def test_choosing_takes_what_was_accepted(desk):
    """What goes to the phones is, in choose's own terms, an input that choose takes."""
    from calc.choose.choose_input import spread_from_json

    desk.post("/desk/learning/accept", SPREAD)
    spread = desk.client.get("/api/ring-sets").json["spread"]
    sides = {name: {"left": spread[name], "right": spread[name]} for name in ("camber_sd", "toe_sd")}
    taken = spread_from_json({**sides, "seat_sd": spread["seat_sd"], "clock_sd_deg": spread["clock_sd_deg"]}, "spread")
    assert (taken.seat_sd, taken.clock_sd_deg) == (30, 3.5)
