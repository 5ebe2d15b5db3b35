"""Records out as JSON and as a table, by their schemas; and in again: twice is once, and nothing is lost on the way."""

import csv
import io
import json
import re
import shutil

import pytest

from server import create_app
from server.transfer.export_csv import COLUMNS
from tests.calc.schemas import schema, wrongs
from tests.server.demo_desk import DemoDesk, finished_job, ring_sets_of, words_of
from tests.server.phones import BufferedClient


def export_json(desk):
    answer = desk.post("/desk/export.json")
    assert answer.headers["Content-Disposition"].startswith("attachment; filename=tapermark-2026-09-21.json")
    return answer.data


def table_text(desk, **form):
    answer = desk.post("/desk/export.csv", form)
    assert answer.mimetype == "text/csv"
    return answer.data.decode("utf-8-sig")


def export_table(desk):
    return list(csv.DictReader(io.StringIO(table_text(desk), newline="")))


def take_in(desk, content):
    file = (io.BytesIO(content), "export.json")
    data = {"csrf_token": desk.phone.token(), "file": file}
    return desk.client.post("/desk/import", data=data, content_type="multipart/form-data", follow_redirects=True)


@pytest.fixture
def other_desk(tmp_path, fresh_store, clock):
    """Another server of the same program."""
    shutil.copytree(fresh_store, tmp_path / "other")
    app = create_app({"TESTING": True, "NOW_MS": clock, "STORE_FOLDER": tmp_path / "other", "DEMO_JOBS": False})
    app.test_client_class = BufferedClient
    yield DemoDesk(app)
    app.extensions["database"].close()


@pytest.fixture
def filled(desk):
    for pair in ((12, 31), (5, 7)):
        finished_job(desk.phone, ring_sets_of(desk.phone), pair, repeats=2)
    return desk


def test_the_export_is_by_its_schema_and_noted(filled):
    exported = json.loads(export_json(filled))
    assert wrongs("export", exported) == []
    entries = [entry for job in exported["jobs"] for entry in job["entries"]]
    assert len(exported["jobs"]) == 2
    assert [wrong for entry in entries for wrong in wrongs("entry", entry)] == []
    assert "exported records tapermark-2026-09-21.json" in filled.audit()


def test_an_export_goes_in_again_once_and_whole(filled, other_desk):
    content = export_json(filled)
    shown = words_of(take_in(other_desk, content))
    sent = [entry for job in json.loads(content)["jobs"] for entry in job["entries"]]
    assert f"entries, accepted {len(sent)}" in shown
    assert f"entries, already {len(sent)}" in words_of(take_in(other_desk, content))
    again = json.loads(export_json(other_desk))
    assert [job["entries"] for job in again["jobs"]] == [job["entries"] for job in json.loads(content)["jobs"]]
    job = again["jobs"][0]["id"]
    assert "Signed." in other_desk.words(f"/desk/jobs/{job}")
    assert "File taken in by Demo desk" in other_desk.words(f"/desk/jobs/{job}/history")
    assert other_desk.words(f"/desk/jobs/{job}/trace").count("table") == filled.words(f"/desk/jobs/{job}/trace").count(
        "table"
    )


def test_going_in_where_it_came_from_changes_nothing(filled):
    before = export_json(filled)
    take_in(filled, before)
    assert json.loads(export_json(filled))["jobs"] == json.loads(before)["jobs"]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda e: e | {"format": 2},
        lambda e: e | {"program": "another"},
        lambda e: e | {"jobs": {}},
        lambda e: {key: part for key, part in e.items() if key != "made"},
        lambda _: [1],
    ],
)
def test_a_file_that_is_no_export_is_refused_in_words(filled, spoil):
    answer = take_in(filled, json.dumps(spoil(json.loads(export_json(filled)))).encode())
    assert answer.status_code == 422
    assert "file" in words_of(answer)


def test_one_bad_entry_leaves_the_others_alone(filled, other_desk):
    exported = json.loads(export_json(filled))
    exported["jobs"][0]["entries"][0]["n"] = "first"
    exported["jobs"].append({"entries": "none"})
    shown = words_of(take_in(other_desk, json.dumps(exported).encode()))
    assert "entries, refused 1" in shown
    assert "body" not in shown


def test_the_table_is_by_its_schema_column_for_column(filled):
    described = schema("export-csv")["properties"]
    assert list(described) == list(COLUMNS)
    rows = export_table(filled)
    assert len(rows) == 4
    read = {"integer": int, "number": float, "string": str}
    for row in rows:
        typed = {key: read[described[key]["type"]](cell) for key, cell in row.items() if cell}
        assert wrongs("export-csv", typed) == []


def test_the_tables_figures_are_those_of_the_job(filled):
    left = next(row for row in export_table(filled) if row["wheel"] == "left" and row["inner_mark"] == "12")
    assert (left["base_camber_mdeg"], left["base_toe_mdeg"]) == ("-1640", "420")
    assert int(left["predicted_camber_mdeg"]) == -1640 + int(left["effect_camber_mdeg"])
    assert left["check_toe_mdeg"] == left["predicted_toe_mdeg"]
    assert (left["ring_set"], left["revision"], left["outer_mark"]) == ("demo-54", "1", "31")
    assert (left["state"], left["registration"], left["people"]) == ("signed", "TM 12-345", "Ines Tavell")


def cell_of(desk, job, text):
    phone = desk.phone
    phone.sync([phone.entry(job, "field-set", {"value": text}, "vehicle.description")])
    return export_table(desk)[0]["vehicle"]


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-1", "@SUM(A1)", '=HYPERLINK("http://x")', " =1", "\u00a0=1", "\ufeff=1", "\n1", "\r1", "\uff1d1",
     "\uff0b1", "\uff0d1", "\uff20A"],
)  # fmt: skip
def test_a_text_that_a_spreadsheet_would_compute_stays_text(desk, job, text):
    assert cell_of(desk, job, text) == f"'{text}"


def test_what_turns_the_order_of_a_line_hides_no_formula_and_turns_no_cell(desk, job):
    assert cell_of(desk, job, "\u202e=1\u2067+1") == "'=1+1"


@pytest.mark.parametrize("between", [";", ",", "\t", "\n", "\r\n", "|", '";', '"', "; "])
def test_what_a_spreadsheet_would_take_for_the_next_cell_stays_text(desk, job, between):
    """Cause: read with another separator, a cell ends within a text, and the next begins with a formula."""
    cell = cell_of(desk, job, f"Verro{between}=1+1")
    assert cell.replace("'", "") == f"Verro{between}=1+1"
    for separator in (",", ";", "\t", "|"):
        for part in re.split(rf'[{separator}\r\n"]', cell):
            assert not part.strip().startswith("="), part


def test_every_cell_is_in_quotation_marks_and_a_plain_text_stays_as_it_is(desk, job):
    assert cell_of(desk, job, 'Verro 1-2, "new"; A+B') == 'Verro 1-2, "new"; A+B'
    lines = table_text(desk).splitlines()
    assert all(line.startswith('"') and line.endswith('"') for line in lines)
    assert all(cell.startswith('"') for cell in lines[0].split(","))


def test_lots_torque_and_odometer_stand_in_the_row_of_their_wheel_and_round(filled):
    phone, job = filled.phone, export_table(filled)[0]["job"]
    torque = {"value_nm": 78.5, "text": "78.5", "unit": "nm", "source": "sheet 12", "angle_deg": 90}
    values = {
        "vehicle.odometer": {"number": 88120, "text": "88120", "unit": "km"}, "prepare.left.ring-lot": "R-31, lot 7",
        "prepare.right.ring-lot": "R-31, lot 8", "choose.parts-lot": "bolts B-8", "fit.torque": torque,
    }  # fmt: skip
    phone.sync([phone.entry(job, "field-set", {"value": value}, slot) for slot, value in values.items()])
    left, right = (row for row in export_table(filled) if row["job"] == job)
    assert (left["odometer"], left["odometer_unit"], left["parts_lot"]) == ("88120", "km", "bolts B-8")
    assert (left["ring_lot"], right["ring_lot"]) == ("R-31, lot 7", "R-31, lot 8")
    assert (left["torque_nm"], left["torque_angle_deg"], left["torque_source"]) == ("78.5", "90", "sheet 12")


def test_the_shops_form_of_a_table_is_chosen_once_and_offered_by_language(filled):
    def offered(language="en"):
        shown = filled.client.get("/desk/export", headers={"Accept-Language": language}).text
        return re.search(r'<option value="(\w+)" selected', shown)[1]

    assert (offered("en-GB"), offered("es"), offered("de-AT")) == ("comma", "semicolon", "semicolon")
    rows = list(csv.DictReader(io.StringIO(table_text(filled, form="semicolon"), newline=""), delimiter=";"))
    assert "," in rows[0]["chance"]
    assert rows[0]["base_camber_mdeg"] == "-1640"
    assert offered("en-GB") == "semicolon"


def test_an_erased_job_is_in_the_table_without_its_names(filled):
    job = export_table(filled)[0]["job"]
    filled.post(f"/desk/jobs/{job}/erase", {"reason": "asked", "sure": "yes"})
    row = next(row for row in export_table(filled) if row["job"] == job)
    assert (row["state"], row["registration"], row["people"]) == ("erased", "", "")
    assert row["base_camber_mdeg"] == "-1640"
    assert job not in {each["id"] for each in json.loads(export_json(filled))["jobs"]}
