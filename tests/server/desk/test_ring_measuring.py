"""Ring sets at the desk from thickness readings and from paper: what fits is drawn, what does not is warned of."""

import re

import pytest

from server.desk.ring_form.ring_form import read_form
from tests.server.demo_desk import words_of
from tests.server.ring_forms import GOOD, fields, listed, paper_fields, thickness_fields, wave


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
    named = "Mark 31 (line 6): 2.743 mm is 0.150 mm thicker than the others say."
    assert f"Inner ring: {named} One reading does not fit" in words_of(answer)
    assert "Cross: mark 31 does not fit." in words_of(answer)
    assert "−0." not in answer.text
    assert len(listed(desk)) == 3
    assert desk.post("/desk/rings/new?from=thickness", typed | {"accept": "yes"}).status_code == 303
    shown = desk.words("/desk/rings/bought-in-spring")
    assert "Untrusted" in shown
    assert (
        shown.count(f"Inner ring: {named} One reading does not fit the others") == 2
    )  # at the top, and where it is drawn
    assert "untrusted" in desk.words("/desk/rings/")
    assert "One reading does not fit the others" in desk.words("/desk/rings/")


def ids_told(desk, asked=""):
    return {row["id"]: row["revision"] for row in desk.client.get(f"/api/ring-sets{asked}").json["ring_sets"]}


def test_an_untrusted_ring_set_is_served_with_its_doubts_and_never_to_a_phone_that_does_not_know_them(desk):
    """Whoever chose from it in silence would choose on data that nobody vouches for, or on those it has taken out."""
    odd = [(mark, mm + (0.15 if mark == 31 else 0)) for mark, mm in GOOD]
    assert desk.post("/desk/rings/new?from=thickness", thickness_fields(GOOD)).status_code == 303
    (good,) = (row for row in listed(desk) if row["id"] == "bought-in-spring")
    assert (good["trusted"], good["doubts"]) == (True, [])
    assert ids_told(desk)["bought-in-spring"] == 1
    typed = thickness_fields(odd, revision="1", accept="yes")
    assert desk.post("/desk/rings/bought-in-spring/edit?from=thickness", typed).status_code == 303
    newest = [row for row in listed(desk) if row["id"] == "bought-in-spring"][-1]
    assert (newest["revision"], newest["trusted"], newest["doubts"]) == (2, False, ["reading-does-not-fit"])
    assert "trusted" not in newest["ring_set"]
    assert "bought-in-spring" not in ids_told(desk)
    assert ids_told(desk, "?knows=nothing").keys() == ids_told(desk).keys()
    assert len(ids_told(desk)) == 3
    again = thickness_fields(GOOD, revision="2")
    assert desk.post("/desk/rings/bought-in-spring/edit?from=thickness", again).status_code == 303
    assert ids_told(desk)["bought-in-spring"] == 3  # measured well it is offered again, though its data are as before
    assert desk.client.get(f"/api/tables/{newest['table']}").status_code == 200  # a plan that names it still has it


def test_another_name_does_not_make_a_doubted_measurement_good_data(desk):
    odd = [(mark, mm + (0.15 if mark == 31 else 0)) for mark, mm in GOOD]
    assert desk.post("/desk/rings/new?from=thickness", thickness_fields(odd, accept="yes")).status_code == 303
    sets = listed(desk)[0]["ring_set"]
    typed = lambda ring: {  # noqa: E731
        key: f"{part / 1000:g}" if key.endswith("mdeg") else str(part) for key, part in ring.items()
    }
    same = fields(typed(sets["inner"]), **{f"outer.{key}": text for key, text in typed(sets["outer"]).items()})
    path = "/desk/rings/bought-in-spring/edit?from=data"
    assert desk.post(path, same | {"name": "Spring rings", "revision": "1"}).status_code == 303
    assert listed(desk)[1]["doubts"] == ["reading-does-not-fit"]
    other = {"inner.taper_mdeg": "0.56", "outer.taper_mdeg": "0.56"}
    assert desk.post(path, same | other | {"name": "Spring rings", "revision": "2"}).status_code == 303
    assert listed(desk)[2]["trusted"] is True


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
    assert "do not fit the others" in shown
    assert "Row 6, 3 meets 42: does not fit" in shown


def test_a_row_of_nonsense_is_named(desk):
    answer = desk.post(
        "/desk/rings/new?from=paper",
        paper_fields(rows=lambda rows: rows[:5]) | {"rows": "1 2 0.1 0.2\n3 4 x 0.1\n1 1 1 1\n2 2 2 2"},
    )
    assert "Line 2, camber. Expected: Degrees such as 0.33" in words_of(answer)


def test_beside_a_paper_the_way_of_the_numbers_is_asked_as_seen_on_each_ring(desk):
    answer = desk.post("/desk/rings/new?from=paper", paper_fields(act="look") | {"outer.direction": ""})
    assert answer.status_code == 422
    assert "Expected: Numbers rise, seen on the marked face: clockwise, counterclockwise" in words_of(answer)


def test_same_as_the_inner_ring_never_copies_what_has_to_be_seen_or_measured_on_each_ring(desk):
    typed = paper_fields(act="look") | {"outer.same": "yes", "outer.direction": "", "outer.bore_diameter_mm": ""}
    answer = desk.post("/desk/rings/new?from=paper", typed)
    assert answer.status_code == 422
    assert re.findall(r'id="flaw-([^"]+)"', answer.text) == ["outer.direction"]
    answer = desk.post(
        "/desk/rings/new?from=thickness", thickness_fields(GOOD) | {"outer.same": "yes", "outer.readings": ""}
    )
    assert re.findall(r'id="flaw-([^"]+)"', answer.text) == ["outer.readings"]


def test_a_sign_told_wrong_is_found_by_the_rings_themselves(desk):
    typed = paper_fields(lambda rows: [r for r in rows if r["pair"] != [3, 42]]) | {"units.toe_positive": "in"}
    answer = desk.post("/desk/rings/new?from=paper", typed)
    assert answer.status_code == 422
    assert "Inner ring: The rows say that the numbers run the other way than was seen on the ring" in words_of(answer)


def test_an_edit_of_a_set_from_its_paper_asks_for_the_way_of_the_numbers_anew(desk):
    desk.post("/desk/rings/new?from=data", fields(name="By data"))
    edit = desk.get("/desk/rings/by-data/edit?from=paper").text
    assert 'value="clockwise" selected' not in edit
    assert 'value="inboard" selected' in edit


def test_a_paper_kept_before_these_fields_were_asked_still_shows_its_measurement():
    new = {"inner.direction", "outer.direction", "units.camber_step", "units.toe_step", "rows_say"}
    kept = {name: text for name, text in paper_fields().items() if name not in new} | {"outer.same": "yes"}
    form = read_form("paper", kept, "shown", 1)
    assert form.flaws == {}
    assert [reason["code"] for reason in form.reasons] == ["row-does-not-fit"]


def test_the_steps_of_a_paper_are_said_and_may_be_told(desk):
    looked = desk.post("/desk/rings/new?from=paper", paper_fields(act="look"))
    assert "printed in steps of 0.001 degrees of camber and 0.001 of toe" in words_of(looked)
    told = desk.post("/desk/rings/new?from=paper", paper_fields(act="look") | {"units.camber_step": "a lot"})
    assert "Expected: Degrees such as 0.33" in words_of(told)
