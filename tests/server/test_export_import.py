"""Records out as JSON and as a table, by their schemas; and in again: twice is once, and nothing is lost on the way."""

import csv
import io
import json
import shutil

import pytest

from server import create_app
from server.export_csv import COLUMNS
from tests.calc.schemas import schema, wrongs
from tests.server.demo_desk import DemoDesk, finished_job, ring_sets_of, words_of
from tests.server.phones import BufferedClient


def export_json(desk):
    answer = desk.post("/desk/export.json")
    assert answer.headers["Content-Disposition"].startswith("attachment; filename=tapermark-2026-09-21.json")
    return answer.data


def export_table(desk):
    answer = desk.post("/desk/export.csv")
    assert answer.mimetype == "text/csv"
    return list(csv.DictReader(io.StringIO(answer.data.decode("utf-8-sig"))))


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
    assert "✓ Signed" in other_desk.words(f"/desk/jobs/{job}")
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
    assert (left["base_camber"], left["base_toe"]) == ("-1640", "420")
    assert int(left["predicted_camber"]) == -1640 + int(left["effect_camber"])
    assert left["check_toe"] == left["predicted_toe"]
    assert (left["ring_set"], left["revision"], left["outer_mark"]) == ("demo-54", "1", "31")
    assert (left["state"], left["registration"], left["people"]) == ("signed", "TM 12-345", "Ines Tavell")


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", '=HYPERLINK("http://x")'])
def test_a_text_that_a_spreadsheet_would_compute_stays_text(desk, job, text):
    phone = desk.phone
    phone.sync([phone.entry(job, "field-set", {"value": text}, "vehicle.registration")])
    assert export_table(desk)[0]["registration"] == f"'{text}"


def test_an_erased_job_is_in_the_table_without_its_names(filled):
    job = export_table(filled)[0]["job"]
    filled.post(f"/desk/jobs/{job}/erase", {"reason": "asked", "sure": "yes"})
    row = next(row for row in export_table(filled) if row["job"] == job)
    assert (row["state"], row["registration"], row["people"]) == ("erased", "", "")
    assert row["base_camber"] == "-1640"
    assert job not in {each["id"] for each in json.loads(export_json(filled))["jobs"]}
