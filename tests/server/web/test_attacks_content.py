"""The attack list, part two: what is brought along. Script as text, paths, bombs, polyglots, bodies too large or deep.

Slow bodies are in test_slow_bodies.py and, with the real server, in test_environment.py; single entries and photos in
their own files.
"""

import hashlib
import html
import io
import json
import re
import zlib

import pytest
from PIL import Image

from server.limits import LARGEST_ENTRIES_BODY, LARGEST_IMPORT, LARGEST_PHOTO
from tests.live_server import ROOT
from tests.server.desks import HTTPS, PASSWORD, Desk, FarPhone
from tests.server.phones import problem
from tests.server.pictures_to_send import encoded
from tests.server.ring_forms import fields

SCRIPT = "<img src=x onerror=alert(1)>\"'{{999*1009}}<script>alert(2)</script>"
SHORT_SCRIPT = "<script>alert(3)</script>"  # where at most 40 characters are taken
HARMLESS = html.escape(SCRIPT[:28], quote=False)


def shows_as_text(page):
    assert "<img src=x" not in page
    assert "<script" not in page
    assert "1007991" not in page, "nothing is run as a template"
    return HARMLESS in page


def test_script_in_every_text_field_of_the_desk_is_shown_as_text(owner, shop_app):
    name = SCRIPT[:70]
    owner.post("/desk/people", {"name": name, "role": "office", "new": PASSWORD, "again": PASSWORD})
    person = re.search(r"/desk/people/([0-9a-f-]{36})\">&lt;img", owner.get("/desk/people").text)[1]
    office = Desk(shop_app).signed_in(name)
    code = office.post("/desk/phones/code", {"name": name})
    phone = FarPhone(shop_app)
    phone.pair(re.search(r'<p class="code">([^<]+)</p>', code.text)[1])
    phone.post([], version="<b>0.1</b>")
    pages = [code.text, office.get("/desk/me").text, Desk(shop_app).sign_in(name, "wrong").text]
    pages += [
        owner.get(path).text for path in ("/desk/people", f"/desk/people/{person}", "/desk/phones", "/desk/audit")
    ]
    assert [shows_as_text(page) for page in pages] == [True] * len(pages)
    assert "<b>0.1</b>" not in owner.get("/desk/phones").text
    file = {"format": 1, "exported_at": SHORT_SCRIPT, "device": SCRIPT, "rescued": [SCRIPT], "entries": [],
            "photos": []}  # fmt: skip
    answer = owner.post("/desk/import", {"file": (io.BytesIO(json.dumps(file).encode()), f"{SCRIPT}.json")},
                        content_type="multipart/form-data")  # fmt: skip
    assert shows_as_text(owner.get(answer.location).text)
    assert SHORT_SCRIPT not in owner.get("/desk/import").text + owner.get(answer.location).text


def test_script_in_a_ring_sets_fields_and_in_a_search_is_shown_as_text(owner):
    """Kept, and refused with what was typed still in its field."""
    made = owner.post("/desk/rings/new", fields(name=SCRIPT[:60]))
    refused = owner.post("/desk/rings/new", fields(**{"name": SCRIPT[:60], "inner.marks": SCRIPT}))
    pages = [refused.text, *(owner.get(path).text for path in (made.location, "/desk/rings/", f"/desk/?find={SCRIPT}"))]
    assert (made.status_code, refused.status_code) == (303, 422)
    assert [shows_as_text(page) for page in pages] == [True] * len(pages)


def test_the_name_of_the_shop_is_text_too(make_shop_app, tmp_path):
    import sqlite3

    with sqlite3.connect(tmp_path / "shop" / "tapermark.db") as connection:
        connection.execute("UPDATE shop SET name = ?", [SCRIPT])
    connection.close()
    app = make_shop_app()
    assert shows_as_text(Desk(app).get("/desk/sign-in").text)
    assert app.test_client().get("/api/pair").content_type == "application/json"


@pytest.mark.parametrize(
    "path", ["/desk/sign-in", "/desk/phones", "/desk/people", "/desk/me", "/desk/import", "/desk/audit"]
)
def test_no_page_has_script_or_inline_style(owner, path):
    """Policy forbids them, so a page that needs them would be broken."""
    assert not re.search(r"<script|<style|\sstyle=|\son\w+=|javascript:", owner.get(path).text)


@pytest.mark.parametrize(
    "path",
    ["/desk/static/../../server/config.py", "/desk/static/%2e%2e/%2e%2e/pyproject.toml",
     "/desk/static/..%5c..%5cpyproject.toml",
     "/desk/certificate/../../.store/secret-key", "/desk/certificate/authority.key", "/desk/certificate/server.key",
     "/desk/jobs/..%2f..%2fetc%2fpasswd", "/desk/people/..", "/desk/import/..%2f", "/api/tables/..%2f..%2fsecret-key",
     "/.store/secret-key", "/secret-key", "/%00", "/desk/static/desk.css%00.png"],
)  # fmt: skip
def test_paths_lead_nowhere(owner, path):
    answer = owner.get(path)
    assert answer.status_code in (303, 308, 400, 403, 404)
    assert "BEGIN" not in answer.text
    assert "dependencies" not in answer.text


def bomb():
    """A PNG of 30,000 x 30,000 black pixels in about 900 kB."""

    def chunk(kind, content):
        body = kind + content
        return len(content).to_bytes(4, "big") + body + zlib.crc32(body).to_bytes(4, "big")

    header = (30_000).to_bytes(4, "big") * 2 + b"\x01\x00\x00\x00\x00"
    packer = zlib.compressobj(9)
    rows = packer.compress(b"\0" * 3751 * 30_000) + packer.flush()
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def send(phone, job, content):
    name = hashlib.sha256(content).hexdigest()
    body = {"sha256": name, "mime": "image/jpeg", "bytes": 9, "width": 1, "height": 1, "about": "x", "caption": ""}
    phone.post([phone.entry(job, "photo-attached", body)])
    return name, phone.put_photo(name, content)


def test_a_decompression_bomb_is_refused_unopened(far_phone, job):
    _, answer = send(far_phone, job, bomb())
    assert problem(answer) == "photo-too-many-pixels"


def test_a_polyglot_loses_everything_but_its_pixels(far_phone, job):
    """A JPEG with a web page in its comment and an archive at its end; both are gone from what is kept."""
    picture = encoded(Image.new("RGB", (40, 30), "green"), comment=SCRIPT.encode())
    name, answer = send(far_phone, job, picture + b"PK\x03\x04 and <script>alert(1)</script>")
    assert answer.status_code == 201
    kept = far_phone.ask("GET", f"/api/photos/{name}")
    assert (kept.mimetype, kept.headers["X-Content-Type-Options"]) == ("image/jpeg", "nosniff")
    assert b"script" not in kept.data
    assert b"PK\x03\x04" not in kept.data
    assert Image.open(io.BytesIO(kept.data)).size == (40, 30)


RUNNABLE = [b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", b"<html><script>1</script>", b"GIF89a"]


@pytest.mark.parametrize("content", RUNNABLE)
def test_what_a_browser_could_run_is_no_photo(far_phone, job, content):
    assert problem(send(far_phone, job, content)[1]) == "photo-format"


def unsafe_routes(app):
    for rule in app.url_map.iter_rules():
        for method in sorted(rule.methods - {"GET", "HEAD", "OPTIONS"}):
            yield method, re.sub(r"<[^>]+>", "a" * 64 if "photos/" in rule.rule else "0" * 36, rule.rule)


def test_every_body_has_a_limit_for_strangers_and_for_those_who_are_in(shop_app, owner, far_phone):
    """Whoever sends: what is larger than the address takes is refused, and a stranger gets no larger share."""
    over = {"/api/photos/" + "a" * 64: LARGEST_PHOTO, "/desk/import": LARGEST_IMPORT}
    routes = list(unsafe_routes(shop_app))
    assert len(routes) > 10
    stranger = FarPhone(shop_app)
    for method, path in routes:
        assert refuses(stranger, method, path, LARGEST_ENTRIES_BODY + 1), path
        for each in (owner, far_phone):
            assert refuses(each, method, path, over.get(path, LARGEST_ENTRIES_BODY) + 1), path


def refuses(each, method, path, size):
    """Announce a body of that size and send its beginning only: it must be refused before it is read."""
    answer = each.client.open(
        path, method=method, base_url=HTTPS, input_stream=io.BytesIO(b"csrf_token=x&"),
        headers={"Content-Type": "application/x-www-form-urlencoded", "Referer": HTTPS},
        environ_overrides={"CONTENT_LENGTH": str(size)},
    )  # fmt: skip
    return answer.status_code == 413


@pytest.mark.parametrize("opening", [b"[", b'{"code":'])
def test_json_too_deep_is_refused_where_strangers_may_send_it(shop_app, opening):
    phone = FarPhone(shop_app)
    token = phone.ask("GET", "/api/pair").json["csrf"]
    answer = phone.ask("POST", "/api/pair", data=opening * 100, headers={"X-CSRFToken": token})
    assert problem(answer) in ("json-too-deep", "not-json")
    answer = phone.ask("POST", "/api/pair", data=opening * 1001, headers={"X-CSRFToken": token})
    assert problem(answer) == "too-large"


def test_a_form_with_thousands_of_fields_is_refused(owner):
    answer = owner.post("/desk/sign-in", {f"field{k}": "x" for k in range(2000)}, content_type="multipart/form-data")
    assert answer.status_code == 413


def test_what_goes_wrong_never_shows_the_inside(owner, far_phone):
    for answer in (owner.get("/desk/nothing"), far_phone.ask("GET", "/api/nothing"), owner.get("/desk/people/x")):
        assert answer.status_code == 404
        assert not re.search(r"Traceback|File \"|sqlalchemy|werkzeug|\.py", answer.text)
        assert str(ROOT) not in answer.text
