"""Ring sets at the desk: made, edited as revisions, retired; what reaches the phones; plans already made stay."""

import html
import json
import math
import re
from pathlib import Path

import pytest

from calc.rings import RingSet
from calc.table import table_bytes, table_name
from tests.server.demo_desk import DemoDesk, finished_job, ring_sets_of, words_of
from tests.server.phones import Phone

EXAMPLE = Path(__file__).resolve().parents[2] / "fixtures" / "examples" / "measure.json"
RING = {
    "marks": "40", "first_mark": "1", "direction": "clockwise", "marked_face_right": "inboard", "taper_mdeg": "0,55",
    "taper_sd_mdeg": "0.008", "thick_mark": "12.5", "centre_thickness_mm": "2.4", "outer_diameter_mm": "148",
    "bore_diameter_mm": "62",
}  # fmt: skip


def fields(ring=RING, **changes):
    both = {f"{side}.{name}": part for side in ("inner", "outer") for name, part in ring.items()}
    return {"name": "Bought in spring", "max_tilt_mdeg": "", "revision": "0", "act": "keep"} | both | changes


def listed(desk):
    return desk.client.get("/api/ring-sets").json["ring_sets"]


def test_a_ring_set_made_from_its_data_reaches_the_phones_with_its_table(app):
    desk = DemoDesk(app)
    answer = desk.post("/desk/rings/new?from=data", fields())
    assert (answer.status_code, answer.headers["Location"]) == (303, "/desk/rings/bought-in-spring")
    row = next(each for each in listed(desk) if each["id"] == "bought-in-spring")
    assert row["ring_set"]["inner"]["taper_mdeg"] == 550
    assert row["ring_set"]["inner"]["thick_mark"] == 12.5
    expected = table_bytes(RingSet.from_json(row["ring_set"]))
    assert row["table"] == table_name(expected)
    assert desk.get(f"/api/tables/{row['table']}").data == expected
    assert "kept a ring set bought-in-spring, revision 1, its data" in desk.audit()
    assert "made_by" not in row


def test_an_edit_is_a_new_revision_and_the_old_one_stays_with_its_table(app):
    desk = DemoDesk(app)
    desk.post("/desk/rings/new", fields())
    (before,) = [each for each in listed(desk) if each["id"] == "bought-in-spring"]
    desk.post("/desk/rings/bought-in-spring/edit", fields(revision="1", **{"inner.taper_mdeg": "0.56"}))
    old, new = (each for each in listed(desk) if each["id"] == "bought-in-spring")
    assert old == before
    assert (new["revision"], new["ring_set"]["inner"]["taper_mdeg"]) == (2, 560)
    assert desk.get(f"/api/tables/{old['table']}").status_code == 200
    assert old["table"] != new["table"]
    shown = desk.words("/desk/rings/bought-in-spring")
    assert "revision 2" in shown
    assert "Demo desk Its data" in shown


def test_a_plan_already_made_keeps_what_it_was_made_with(desk):
    ring_sets = ring_sets_of(desk.phone)
    job = finished_job(desk.phone, ring_sets, (12, 31))
    before = desk.words(f"/desk/jobs/{job}")
    trace = desk.words(f"/desk/jobs/{job}/trace")
    ring_set = next(each["ring_set"] for each in ring_sets if each["id"] == "demo-54")
    typed = typed_of(ring_set) | {"revision": "1", "inner.taper_mdeg": "0.9", "act": "keep"}
    assert desk.post("/desk/rings/demo-54/edit", typed).status_code == 303
    desk.post("/desk/rings/demo-54/retire")
    assert desk.words(f"/desk/jobs/{job}") == before
    assert desk.words(f"/desk/jobs/{job}/trace") == trace
    table = next(each["table"] for each in ring_sets if each["id"] == "demo-54")
    assert f"revision 1, table {table}" in trace
    assert f"/desk/rings/demo-54/1/cut?side=left&inner=12&outer=31&job={job}" in desk.get(
        f"/desk/jobs/{job}"
    ).text.replace("&amp;", "&")


def typed_of(ring_set):
    typed = {"name": ring_set["name"], "max_tilt_mdeg": ""}
    for side in ("inner", "outer"):
        for name, part in ring_set[side].items():
            typed[f"{side}.{name}"] = str(part / 1000 if name.startswith("taper") else part)
    return typed


def test_a_retired_ring_set_is_marked_in_all_its_revisions_and_comes_back(app):
    """A phone takes the newest revision that is not retired: one left behind would be offered again."""
    desk = DemoDesk(app)
    desk.post("/desk/rings/new", fields())
    desk.post("/desk/rings/bought-in-spring/edit", fields(revision="1", **{"inner.taper_mdeg": "0.56"}))
    desk.post("/desk/rings/bought-in-spring/retire")
    assert [e["retired"] for e in listed(desk) if e["id"] == "bought-in-spring"] == [True, True]
    desk.post("/desk/rings/bought-in-spring/edit", fields(revision="2", **{"inner.taper_mdeg": "0.57"}))
    assert [e["retired"] for e in listed(desk) if e["id"] == "bought-in-spring"] == [True, True, True]
    desk.post("/desk/rings/bought-in-spring/bring-back")
    assert not any(e["retired"] for e in listed(desk))
    assert desk.post("/desk/rings/no-such/retire").status_code == 404


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("inner.marks", "2", "Expected: A whole number from 3 to 720. Got: 2"),
        ("inner.marks", "many", "Expected: A whole number. Got: “many”"),
        ("inner.marks", "", "Expected: Something. Got: nothing"),
        ("outer.taper_mdeg", "5.5", "Expected: 0.001 to 5 degrees. Got: “5.5”"),
        ("outer.taper_mdeg", "half", "Expected: Degrees such as 0.33"),
        ("inner.bore_diameter_mm", "148", "Less than the outer diameter of 148 mm"),
        ("inner.centre_thickness_mm", "0.5", "where this taper ends in a knife edge at the rim"),
        ("inner.direction", "", "Expected: Something. Got: nothing"),
        ("inner.direction", "<b>up</b>", "One of clockwise, counterclockwise"),
        ("inner.outer_diameter_mm", "1e3", "A number such as 12.5. Got: “1e3”"),
        ("name", "x" * 81, "Text of 1 to 80 characters"),
        ("name", "DEMO 54", "Another ring set in use has this name"),
        ("max_tilt_mdeg", "0", "Expected: 0.001 to 10 degrees"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_typed_is_lost(desk, name, text, words):
    typed = fields(**{name: text})
    answer = desk.post("/desk/rings/new", typed)
    assert answer.status_code == 422
    flaw = re.search(rf'<p class="flaw" id="flaw-{re.escape(name)}">(.*?)</p>', answer.text, re.DOTALL)
    assert flaw, answer.text
    assert words in html.unescape(flaw[1])
    assert (
        f'aria-describedby="help-{name} flaw-{name}"' in answer.text or f'aria-describedby="flaw-{name}"' in answer.text
    )
    for key, part in typed.items():
        if key not in ("act", "revision", "inner.direction") and "direction" not in key and "marked_face" not in key:
            assert f'name="{key}" value="{part}"' in answer.text, key
    assert "<b>up" not in answer.text
    assert len(listed(desk)) == 3


def test_every_flaw_is_shown_at_once(desk):
    answer = desk.post("/desk/rings/new", fields(**{"inner.marks": "x", "outer.thick_mark": "y"}))
    assert "2 fields need a look" in answer.text


def test_the_outer_rings_empty_fields_may_be_as_the_inner_rings(desk):
    typed = {key: "" if key.startswith("outer.") else part for key, part in fields().items()}
    assert desk.post("/desk/rings/new", typed).status_code == 422
    desk.post("/desk/rings/new", typed | {"outer.same": "yes", "outer.thick_mark": "3"})
    ring_set = next(each["ring_set"] for each in listed(desk) if each["id"] == "bought-in-spring")
    assert ring_set["outer"] == ring_set["inner"] | {"thick_mark": 3.0}


def test_two_people_who_edit_at_once_do_not_overwrite_each_other(desk):
    desk.post("/desk/rings/new", fields())
    first, second = (
        fields(revision="1", **{"inner.taper_mdeg": "0.56"}),
        fields(revision="1", **{"inner.taper_mdeg": "0.7"}),
    )
    assert desk.post("/desk/rings/bought-in-spring/edit", first).status_code == 303
    answer = desk.post("/desk/rings/bought-in-spring/edit", second)
    assert answer.status_code == 422
    assert "Somebody has made revision 2 meanwhile" in answer.text
    assert 'value="0.7"' in answer.text
    assert 'name="revision" value="2"' in answer.text


def test_no_change_makes_no_revision(desk):
    desk.post("/desk/rings/new", fields())
    assert "Nothing is different" in desk.post("/desk/rings/bought-in-spring/edit", fields(revision="1")).text
    assert [e["revision"] for e in listed(desk) if e["id"] == "bought-in-spring"] == [1]


def test_names_make_ids_that_no_other_ring_set_has(desk):
    desk.post("/desk/rings/new", fields(name="Keile für Übermaß"))
    desk.post("/desk/rings/keile-f-r-berma/retire")
    desk.post("/desk/rings/new", fields(name="環"))
    desk.post("/desk/rings/new", fields(name="new"))
    ids = {row["id"] for row in listed(desk)}
    assert len(ids) == 6
    assert "new" not in ids
    for each in ids:
        assert desk.get(f"/desk/rings/{each}").status_code == 200


def wave(mark, taper=0.55, peak=20.0, radius=70.0, centre=2.4, marks=54):
    return centre + math.tan(math.radians(taper)) * radius * math.cos(2 * math.pi * (mark - peak) / marks)


def thickness_fields(readings, **changes):
    shape = {"marks": "54", "first_mark": "1", "direction": "clockwise", "marked_face_right": "inboard",
             "outer_diameter_mm": "148", "bore_diameter_mm": "62", "radius_mm": "70", "tool_sd_mm": ""}  # fmt: skip
    lines = {"readings": "\n".join(f"{mark} {mm:.3f}" for mark, mm in readings)}
    return fields(shape | lines, **changes)


GOOD = [(mark, wave(mark)) for mark in range(1, 54, 6)]


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


def paper_fields(rows=None, **changes):
    example = json.loads(EXAMPLE.read_text("utf-8"))["input"]
    typed = {"name": "Paper rings", "max_tilt_mdeg": "", "revision": "0", "act": "keep", "units.diameter_mm": ""}
    for side in ("inner", "outer"):
        typed |= {f"{side}.{key}": str(part) for key, part in example[side].items()}
    typed |= {f"units.{key}": part for key, part in example["units"].items()}
    rows = example["rows"] if rows is None else rows(example["rows"])
    typed["rows"] = "\n".join(f"{row['pair'][0]}; {row['pair'][1]}; {row['camber']}; {row['toe']}" for row in rows)
    return typed | changes


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


def test_too_many_pairs_for_choosing_are_refused(desk):
    big = fields(**{"inner.marks": "720", "outer.marks": "720", "name": "Big"})
    assert desk.post("/desk/rings/new", big | {"act": "look"}).status_code == 200
    assert desk.post("/desk/rings/new", big).status_code == 303
    answer = desk.post("/desk/rings/new", big | {"name": "Bigger"})
    assert "Retire a set that is not used any more" in answer.text


def test_technicians_look_and_the_office_makes(make_shop_app):
    from tests.server.desks import Desk

    app = make_shop_app()
    owner = Desk(app).signed_in()
    owner.add_person("Jonah Brask", "technician")
    owner.add_person("Mara Quill", "office")
    technician, office = Desk(app).signed_in("Jonah Brask"), Desk(app).signed_in("Mara Quill")
    assert office.post("/desk/rings/new", fields()).status_code == 303
    assert technician.get("/desk/rings/bought-in-spring").status_code == 200
    assert "Retire" not in technician.get("/desk/rings/bought-in-spring").text
    for path in ("/desk/rings/new", "/desk/rings/bought-in-spring/retire", "/desk/records/export.json"):
        assert technician.post(path, fields()).status_code == 403
    for path in ("/desk/keeping", "/desk/learning/accept", "/desk/jobs/x/erase"):
        assert office.post(path, {}).status_code == 403
    assert Phone(app).client.get("/desk/rings/").status_code == 303
