"""What the customer's report says of the shop: set at the desk by owners, told to phones once, kept in backups."""

import io
import re

import piexif
import pytest
from PIL import Image, ImageDraw

from server import letterhead
from server.commands.restore import restore
from server.store import Database
from tests.server.databases import on_both_databases
from tests.server.demo_desk import words_of
from tests.server.desks import Desk, FarPhone
from tests.server.phones import START_MS, problem
from tests.server.pictures_to_send import encoded, is_red
from tests.server.stores import backup_of, quiet

ADDRESS = "Windmill Road 12\nOldbridge"
SAID = {
    "address": ADDRESS, "telephone": "555 0142", "footer": "Company 12345. § 7: complaints within a month.",
    "language": "es",
}  # fmt: skip


class Head:
    """The demo shop's desk, and what phones are told."""

    def __init__(self, phone):
        self.phone, self.client = phone, phone.client

    def post(self, path="", **fields):
        return self.client.post(f"/desk/report{path}", data={"csrf_token": self.phone.token(), **fields})

    def logo(self, content, name="logo.png"):
        """As a browser sends it; the test client would leave a file open for a large one."""
        fields = [("csrf_token", "", self.phone.token().encode()), ("file", f'; filename="{name}"', content)]
        parts = [f'--edge\r\nContent-Disposition: form-data; name="{field}"{more}\r\n\r\n'.encode() + part + b"\r\n"
                 for field, more, part in fields]  # fmt: skip
        kind = "multipart/form-data; boundary=edge"
        return self.client.post("/desk/report/logo", data=b"".join(parts) + b"--edge--\r\n", content_type=kind)

    def told(self, tag=None):
        return self.client.get("/api/shop", headers={"If-None-Match": tag} if tag else {})

    def words(self):
        return words_of(self.client.get("/desk/report"))


@pytest.fixture
def head(phone):
    return Head(phone)


def two_halves(width=1200, height=300, mode="RGB"):
    image = Image.new(mode, (width, height), (0, 0, 255, 255)[: len(mode)])
    ImageDraw.Draw(image).rectangle((0, 0, width // 2, height), fill="red")
    return image


@on_both_databases
def test_what_an_owner_says_is_told_to_phones_and_comes_back_from_a_backup(app, head, tmp_path):
    assert head.told().json | {"name": ""} == {
        "format": 1, "name": "", "address": "", "telephone": "", "footer": "", "logo": None,
    }  # fmt: skip
    assert head.post(**SAID).status_code == 303
    assert head.logo(encoded(two_halves())).status_code == 303
    told = head.told().json
    assert {field: told[field] for field in letterhead.FIELDS} == {name: SAID[name] for name in letterhead.FIELDS}
    assert (told["logo"]["width"], told["logo"]["height"]) == (600, 150)
    backup_of(app, tmp_path / "b")
    url = f"sqlite:///{tmp_path}/other/tapermark.db"
    restore(url, tmp_path / "b", tmp_path / "aside", START_MS, quiet)
    other = Database(url)
    with other.transaction() as connection:
        assert letterhead.texts_of(connection) == SAID
        assert letterhead.logo_of(connection)["content"] == head.client.get("/api/shop/logo").data
    other.close()


def test_nothing_is_told_twice_and_every_change_is_told(head):
    first = head.told()
    tag = first.headers["ETag"]
    assert head.told(tag).status_code == 304
    head.post(**SAID)
    second = head.told(tag)
    assert second.status_code == 200
    head.logo(encoded(two_halves()))
    third = head.told(second.headers["ETag"])
    assert third.status_code == 200
    logo = head.client.get("/api/shop/logo")
    assert head.client.get("/api/shop/logo", headers={"If-None-Match": logo.headers["ETag"]}).status_code == 304
    head.post("/logo/remove")
    assert head.told(third.headers["ETag"]).json["logo"] is None
    assert head.client.get("/api/shop/logo").json["error"]["code"] == "no-logo"


def test_a_logo_is_decoded_and_made_anew_small_and_without_its_exif(head):
    exif = piexif.dump({"0th": {piexif.ImageIFD.Artist: b"Somebody"}, "GPS": {piexif.GPSIFD.GPSAltitude: (7, 1)}})
    head.logo(encoded(two_halves(), exif=exif))
    kept = head.client.get("/api/shop/logo").data
    image = Image.open(io.BytesIO(kept))
    assert (image.format, dict(image.getexif()), "exif" in image.info) == ("JPEG", {}, False)
    assert b"Somebody" not in kept
    assert is_red(image.getpixel((10, 10)))
    clear = Image.new("RGBA", (300, 300), (0, 0, 0, 0))
    head.logo(encoded(clear, format="PNG"))
    assert Image.open(io.BytesIO(head.client.get("/api/shop/logo").data)).getpixel((5, 5)) == (255, 255, 255)


@pytest.mark.parametrize("size", [(3000, 1200), (40, 9000), (9000, 3)])
def test_whatever_the_picture_the_logo_is_small_enough(head, size):
    noise = Image.effect_noise(size, 120).convert("RGB")
    assert head.logo(encoded(noise, format="PNG")).status_code == 303
    told = head.told().json["logo"]
    kept = head.client.get("/api/shop/logo").data
    assert len(kept) <= letterhead.LARGEST_LOGO
    assert Image.open(io.BytesIO(kept)).size == (told["width"], told["height"])
    assert told["width"] <= 600
    assert told["height"] <= 240


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "No file was chosen"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "Expected a PNG or JPEG that can be read to its end"),
        (b"\x89PNG\r\n\x1a\n" + b"0" * 100, "Expected a PNG or JPEG that can be read to its end"),
        (b"0" * (letterhead.LARGEST_FILE + 1), "Expected a file of at most 8 MB"),
    ],
    ids=["none", "svg", "broken", "large"],
)
def test_what_is_no_logo_is_refused_in_words_and_the_old_one_stays(head, content, said):
    head.logo(encoded(two_halves()))
    before = head.client.get("/api/shop/logo").data
    answer = head.logo(content)
    assert answer.status_code == 422
    assert said in words_of(answer)
    assert "Keep the original and take the picture again" not in words_of(answer), "nobody took this one with a phone"
    assert head.client.get("/api/shop/logo").data == before


def test_what_is_too_long_is_refused_and_everything_typed_stays(head):
    answer = head.post(address="a\n" * 7, telephone="555 0142", footer="f" * 1501, language="es")
    page = words_of(answer)
    assert answer.status_code == 422
    assert "expected at most 1500 characters, got 1501" in page
    assert "expected at most 6 lines, got 7" in page
    assert "f" * 1501 in page
    assert "555 0142" in page
    assert re.search(r'value="es" selected', answer.text)
    assert head.told().json["telephone"] == ""


def test_the_audit_says_who_changed_what_and_nothing_where_nothing_changed(head):
    head.post(**SAID)
    head.post(**SAID)
    head.logo(encoded(two_halves()))
    page = words_of(head.client.get("/desk/audit"))
    assert page.count("set what reports say of the shop") == 2
    assert "address, telephone, footer, language" in page
    assert "logo of 600 by 150 pixels" in page


def test_only_an_owner_sets_it_and_only_who_is_of_the_shop_reads_it(shop_app, owner, far_phone):
    owner.add_person("Tom Reed", "office")
    office = Desk(shop_app).signed_in("Tom Reed")
    assert office.get("/desk/report").status_code == 403
    assert office.post("/desk/report", SAID).status_code == 403
    assert owner.post("/desk/report", SAID).status_code == 303
    assert far_phone.ask("GET", "/api/shop").json["address"] == ADDRESS
    assert problem(FarPhone(shop_app).ask("GET", "/api/shop")) == "not-paired"
    assert office.get("/api/shop").status_code == 200
