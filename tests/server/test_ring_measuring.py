"""Ring sets at the desk from thickness readings and from paper: what fits is drawn, what does not is warned of."""

import pytest

from tests.server.demo_desk import words_of
from tests.server.ring_forms import GOOD, listed, paper_fields, thickness_fields, wave


def test_a_ring_set_measured_by_thickness_shows_its_curve_and_is_kept(desk):
    looked = desk.post("/desk/rings/new?from=thickness", thickness_fields(GOOD, act="look"))
    assert looked.status_code == 200
    assert "The measurement can be trusted" in looked.text
    assert looked.text.count('<polyline class="curve"') == 2
    assert looked.text.count('<circle class="reading"') == 4 * len(GOOD)  # on the curve and off it, for both rings
    assert len(listed(desk)) == 3
    kept = desk.post("/desk/rings/new?from=thickness", thickness_fields(GOOD))
    assert kept.status_code == 303
    ring = listed(desk)[0]["ring_set"]["inner"]
    assert (ring["taper_mdeg"], round(ring["thick_mark"], 1), round(ring["centre_thickness_mm"], 2)) == (550, 20.0, 2.4)
    shown = desk.get("/desk/rings/bought-in-spring").text
    assert shown.count('<polyline class="curve"') == 2
    edit = desk.get("/desk/rings/bought-in-spring/edit?from=thickness").text
    assert f"1 {wave(1):.3f}" in edit


def test_a_reading_that_does_not_fit_is_warned_of_and_kept_only_by_a_tick(desk):
    odd = [(mark, mm + (0.15 if mark == 31 else 0)) for mark, mm in GOOD]
    typed = thickness_fields(odd)
    answer = desk.post("/desk/rings/new?from=thickness", typed)
    assert answer.status_code == 422
    assert "Not trustworthy as it is" in answer.text
    assert "One reading does not fit the others" in answer.text
    assert answer.text.count('<path class="odd"') == 4
    assert "31 " in answer.text
    assert len(listed(desk)) == 3
    assert desk.post("/desk/rings/new?from=thickness", typed | {"accept": "yes"}).status_code == 303
    assert "Kept although its measurement was not trustworthy" in desk.words("/desk/rings/bought-in-spring")


@pytest.mark.parametrize(
    ("line", "words"),
    [("7", "Line 2. Expected: Mark and thickness. Got: “7”"), ("7 thick", "Line 2, thickness. Expected: A number"),
     ("7 200", "Line 2, thickness. Expected: A number from 0.05 to 100")],
)  # fmt: skip
def test_a_line_that_cannot_be_read_is_named(desk, line, words):
    typed = thickness_fields(GOOD)
    lines = typed["inner.readings"].split("\n")
    answer = desk.post(
        "/desk/rings/new?from=thickness", typed | {"inner.readings": "\n".join([lines[0], line, *lines[2:]])}
    )
    assert words in words_of(answer)
    assert line in answer.text


def test_a_ring_set_from_the_rows_of_its_paper(desk):
    """The example's own odd row is left out, so that the paper is sound."""
    answer = desk.post(
        "/desk/rings/new?from=paper", paper_fields(lambda rows: [r for r in rows if r["pair"] != [3, 42]])
    )
    assert answer.status_code == 303, words_of(answer)
    ring_set = next(each["ring_set"] for each in listed(desk) if each["id"] == "paper-rings")
    assert (ring_set["inner"]["taper_mdeg"], ring_set["inner"]["direction"]) == (1131, "counterclockwise")
    assert "square: camber off" in desk.words("/desk/rings/paper-rings")


def test_a_row_that_does_not_fit_is_shown_and_named(desk):
    answer = desk.post("/desk/rings/new?from=paper", paper_fields(act="look"))
    assert answer.status_code == 200
    shown = words_of(answer)
    assert "One row does not fit the others" in shown
    assert "Row 6, 3 meets 42: does not fit" in shown


def test_a_row_of_nonsense_is_named(desk):
    answer = desk.post(
        "/desk/rings/new?from=paper",
        paper_fields(rows=lambda rows: rows[:5]) | {"rows": "1 2 0.1 0.2\n3 4 x 0.1\n1 1 1 1\n2 2 2 2"},
    )
    assert "Line 2, camber. Expected: Degrees such as 0.33" in words_of(answer)
