"""Ring sets at the desk: made, edited as revisions, retired; what reaches the phones; plans already made stay."""

import html
import re

import pytest

from calc.rings.rings import RingSet
from calc.rings.table import effects_of, table_bytes, table_name
from fixtures.golden.choose_cases import RING_SETS
from server.desk.ring_form.ring_words import facts_of
from server.desk.sheet.sheet_maps import reachable
from tests.server.databases import on_both_databases
from tests.server.demo_desk import DemoDesk, finished_job, ring_sets_of
from tests.server.phones import Phone
from tests.server.ring_forms import fields, listed
from tests.server.served import served


@on_both_databases
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


@on_both_databases
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


@on_both_databases
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
        ("inner.marks", "many", "Expected: A whole number such as 54. Got: “many”"),
        ("inner.marks", "", "Expected: Marks round the rim, such as 54. Got: nothing."),
        ("outer.taper_mdeg", "5.5", "Expected: 0.001 to 5 degrees. Got: “5.5”"),
        ("outer.taper_mdeg", "half", "Expected: Degrees such as 0.33"),
        ("inner.bore_diameter_mm", "148", "Less than the outer diameter of 148 mm"),
        ("inner.centre_thickness_mm", "0.5", "where this taper ends in a knife edge at the rim"),
        ("inner.direction", "", "seen on the marked face: clockwise, counterclockwise. Got: nothing."),
        ("inner.direction", "<b>up</b>", "One of clockwise, counterclockwise"),
        ("inner.outer_diameter_mm", "1e3", "A number such as 148. Got: “1e3”"),
        ("outer.centre_thickness_mm", "", "Expected: Thickness at the centre, mm, such as 2.4. Got: nothing."),
        ("name", "", "Expected: Name, as it is written on the rings or the box, such as Workshop 54. Got: nothing."),
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


def test_too_many_pairs_for_choosing_are_refused(desk):
    big = fields(**{"inner.marks": "720", "outer.marks": "720", "name": "Big"})
    assert desk.post("/desk/rings/new", big | {"act": "look"}).status_code == 200
    assert desk.post("/desk/rings/new", big).status_code == 303
    answer = desk.post("/desk/rings/new", big | {"name": "Bigger"})
    assert "Retire a set that is not used any more" in answer.text


def test_a_pair_exactly_on_the_makers_limit_is_counted_and_drawn_as_it_is_chosen():
    """Pairs of these rings tilt by exactly 1115 mdeg, which is the limit here."""
    limited = next(each for each in RING_SETS if each["id"] == "seventy-two") | {"max_tilt_mdeg": 1115}
    ring_set = RingSet.from_json(limited)
    camber, toe = effects_of(ring_set)
    offered = int((camber**2 + toe**2 <= 1115**2).sum())
    assert offered > int((camber**2 + toe**2 < 1115**2).sum())
    assert facts_of(limited)["offered"] == offered
    drawn = reachable([ring_set])
    assert len(drawn[0]) == offered
    assert (0, 1115) in set(zip(*drawn, strict=True))


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
    for path in ("/desk/rings/new", "/desk/rings/bought-in-spring/retire", "/desk/export.json"):
        assert technician.post(path, fields()).status_code == 403
    for path in ("/desk/keeping", "/desk/learning/accept", "/desk/jobs/x/erase"):
        assert office.post(path, {}).status_code == 403
    assert Phone(app).client.get("/desk/rings/").status_code == 303


def test_the_three_ways_are_explained_in_a_line_each(desk):
    for page in ("/desk/rings/", "/desk/rings/new"):
        shown = desk.words(page)
        for words in ("Its data The maker’s sheet says", "Thickness measured round the rims Measure each ring",
                      "Rows of the rings’ own paper Type four rows or more"):  # fmt: skip
            assert words in shown


def test_where_nothing_is_typed_the_outer_ring_is_the_same_as_the_inner(desk):
    tick = '<input type="checkbox" name="outer.same" value="yes" checked>'
    assert tick in desk.get("/desk/rings/new").text
    inner = {name: text for name, text in fields().items() if not name.startswith("outer.")}
    assert desk.post("/desk/rings/new", inner | {"outer.same": "yes", "outer.taper_mdeg": "0.6"}).status_code == 303
    ring_set = next(row["ring_set"] for row in listed(desk) if row["id"] == "bought-in-spring")
    assert ring_set["outer"] == ring_set["inner"] | {"taper_mdeg": 600}
    assert desk.post("/desk/rings/new", inner | {"name": "Other"}).status_code == 422
    assert tick not in desk.get("/desk/rings/demo-66/edit").text, "what a set has is shown as it is"


def test_what_is_typed_of_the_outer_ring_is_never_out_of_sight(browser, desk):
    with served(desk.app) as address:
        page = browser.new_page(viewport={"width": 400, "height": 900})
        page.goto(f"{address}/desk/rings/new")
        taper, face = page.locator("[id='outer.taper_mdeg']"), page.locator("[id='outer.marked_face_right']")
        same = page.get_by_label("Same as the inner ring")
        assert not taper.is_visible()
        assert not face.is_visible()
        same.uncheck()
        taper.fill("0.6")
        face.select_option("inboard")
        same.check()
        assert taper.is_visible()
        assert face.is_visible()
        assert not page.locator("[id='outer.marks']").is_visible()
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
        page.close()
