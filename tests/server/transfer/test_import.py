"""Taking in the file of a phone that could not send: its entries arrive as imported, once, with who and when."""

import base64
import hashlib
import io
import json

import pytest

from server.limits import MOST_ENTRIES
from server.store import imports
from server.transfer import import_file
from tests.server.desks import Desk, FarPhone
from tests.server.pictures_to_send import encoded


def exported(phone, entries, photos=(), **changes):
    """The file as the phone writes it (pwa/js/store/export.js)."""
    lines = [
        {"sha256": hashlib.sha256(photo).hexdigest(), "mime": "image/jpeg", "base64": base64.b64encode(photo).decode()}
        for photo in photos
    ]
    return {"format": 1, "exported_at": "2026-11-25T08:30:00.000+01:00", "device": phone.device, "rescued": [],
            "refused": [], "entries": entries, "photos": lines} | changes  # fmt: skip


def take_in(desk, content, name="tapermark-not-sent.json"):
    raw = content if isinstance(content, bytes) else json.dumps(content).encode()
    return desk.post("/desk/import", {"file": (io.BytesIO(raw), name)}, content_type="multipart/form-data")


def photo_entry(phone, job, content):
    body = {"sha256": hashlib.sha256(content).hexdigest(), "mime": "image/jpeg", "bytes": len(content), "width": 60,
            "height": 40, "about": "base.left.1", "caption": ""}  # fmt: skip
    return phone.entry(job, "photo-attached", body)


def test_what_an_ended_phone_could_not_send_reaches_the_job_sheet_as_imported(far_phone, owner, job):
    far_phone.post([far_phone.entry(job)])
    owner.post(f"/desk/phones/{far_phone.session().json['pairing']}/end")
    content = encoded()
    late, with_photo = far_phone.entry(job, body={"text": "said in the pit"}), photo_entry(far_phone, job, content)
    answer = take_in(owner, exported(far_phone, [late, with_photo], [content]))
    page = owner.get(answer.location).text
    for part in ("by Ines Tavell", "entries, accepted", "photos, accepted", "2026-11-25T08:30:00"):
        assert part in page, part
    sheet = owner.get(f"/desk/jobs/{job}").text
    assert "said in the pit" in sheet
    assert f"/api/photos/{hashlib.sha256(content).hexdigest()}" in sheet
    assert owner.get(f"/desk/jobs/{job}/history").text.count("File taken in by Ines Tavell") == 2
    assert ("Ines Tavell", "took in a phone’s file", "2 entries, 1 photos") in owner.audit()


def test_a_file_taken_in_twice_changes_nothing(far_phone, owner, job):
    content = encoded()
    file = exported(far_phone, [photo_entry(far_phone, job, content)], [content])
    take_in(owner, file)
    page = owner.get(take_in(owner, file).location).text
    assert "entries, already" in page
    assert "photos, already" in page


def test_an_imported_file_is_no_phone(far_phone, owner, job):
    take_in(owner, exported(far_phone, [far_phone.entry(job)]))
    page = owner.get("/desk/phones").text
    assert "File taken in" not in page
    assert page.count("End pairing") == 1


def test_a_phone_that_pairs_again_learns_that_its_entries_are_here(far_phone, owner, job):
    entry = far_phone.entry(job)
    take_in(owner, exported(far_phone, [entry]))
    answer = far_phone.post([entry]).json
    assert answer["results"][0]["verdict"] == "already"
    assert answer["high_water"] == 1


def test_more_entries_than_one_request_takes_come_in(far_phone, owner, job):
    entries = [far_phone.entry(job) for _ in range(1203)]
    page = owner.get(take_in(owner, exported(far_phone, entries)).location).text
    assert "<dd>1203</dd>" in page


def test_a_file_cut_off_half_way_is_said_to_be_unfinished_and_stands_in_the_audit(far_phone, owner, shop_app, job):
    """Cause: the page said "nothing to take in" although entries were in, and no audit line told of the file."""
    entries = [far_phone.entry(job) for _ in range(MOST_ENTRIES + 1)]
    database, file = shop_app.extensions["database"], exported(far_phone, entries)

    def cut_off(_done, _total):
        raise ConnectionAbortedError

    with pytest.raises(ConnectionAbortedError):
        import_file.take_in(database, file, "Ines Tavell", "", 1, cut_off)
    with database.transaction() as connection:
        (row,) = imports.newest(connection, 2)
    page = owner.get(f"/desk/import/{row.id}").text
    assert "not finished" in page
    assert "nothing to take in" not in page
    assert ("Ines Tavell", "took in a phone’s file", f"{len(entries)} entries, 0 photos") in owner.audit()
    again = owner.get(take_in(owner, file).location).text
    assert "entries, already" in again
    assert "not finished" not in again


def test_refused_parts_and_values_never_saved_are_shown_and_nothing_else_is_lost(far_phone, owner, job):
    rescued = [{"job": job, "kind": "note-written", "slot": None, "body": {"text": "typed but <b>not</b> kept"}}]
    good, bad = far_phone.entry(job), far_phone.entry(job, n=-3)
    file = exported(far_phone, [good, bad, 7], rescued=rescued)
    file["photos"] = [{"sha256": "ab" * 32, "mime": "image/jpeg", "base64": "AAAA"}, {"sha256": 5}, "x"]
    page = owner.get(take_in(owner, file).location).text
    for part in ("entries, accepted", "entries, refused", "photos, refused", "typed but &lt;b&gt;not&lt;/b&gt; kept",
                 "are not the photo of that name", "0 bytes"):  # fmt: skip
        assert part in page, part


def test_a_photo_that_no_entry_names_is_not_kept(far_phone, owner):
    page = owner.get(take_in(owner, exported(far_phone, [], [encoded()])).location).text
    assert "photos, refused" in page


@pytest.mark.parametrize(
    "content",
    [b"", b"{", b"[]", b"\xff\xfe", b'{"format":2}', b'{"format":1}',
     b'{"format":1,"entries":[],"photos":{},"exported_at":"x"}',
     b'{"format":1,"entries":[],"photos":[]}', b"[" * 100_000, b"%PDF-1.7"],
)  # fmt: skip
def test_what_is_no_such_file_is_refused_in_words(owner, content):
    answer = take_in(owner, content)
    assert answer.status_code == 422
    assert "The file is not what a phone saves" in answer.text


@pytest.mark.parametrize("said", ["\ud800", "2026\0", "x" * 41, "a\nb", 7, None])
def test_a_time_that_is_no_short_printable_text_is_refused(owner, far_phone, said):
    """Cause: half a character reached the database and the answer was a fault; NUL and texts of any size were kept."""
    answer = take_in(owner, exported(far_phone, [], exported_at=said))
    assert answer.status_code == 422
    assert "does not say when it was saved" in answer.text


def test_without_a_file_it_says_so(owner):
    answer = owner.post("/desk/import", {}, content_type="multipart/form-data")
    assert answer.status_code == 422
    assert "no file was chosen" in answer.text


def test_only_the_office_takes_files_in(owner, shop_app, far_phone, job):
    owner.add_person("Tim Tech", "technician")
    technician = Desk(shop_app).signed_in("Tim Tech")
    assert take_in(technician, exported(far_phone, [far_phone.entry(job)])).status_code == 403
    stranger = FarPhone(shop_app)
    assert stranger.ask("POST", "/desk/import", data=b"x").status_code == 400
