"""Photos: only wanted, whole, harmless pictures are kept, upright and without metadata."""

import hashlib
import io
import json
import threading

import piexif
import pillow_heif
import pytest
from PIL import Image, ImageCms, ImageDraw
from sqlalchemy import select

from server.limits import LARGEST_PHOTO
from server.store import schema
from tests.server.phones import Phone, problem


def name_of(content):
    return hashlib.sha256(content).hexdigest()


def picture(width=64, height=48):
    """Red in the upper left quarter, blue elsewhere."""
    image = Image.new("RGB", (width, height), "blue")
    ImageDraw.Draw(image).rectangle((0, 0, width // 2 - 1, height // 2 - 1), fill="red")
    return image


def encoded(image=None, **options):
    out = io.BytesIO()
    (image or picture()).save(out, **({"format": "JPEG", "quality": 95} | options))
    return out.getvalue()


def attach(phone, job, content, **changes):
    body = {"sha256": name_of(content), "mime": "image/jpeg", "bytes": len(content), "about": "fit.witness-line"}
    entry = phone.entry(job, "photo-attached", body, **changes)
    return entry, phone.sync([entry])


def keep(phone, job, content):
    """Attach and send a photo; return what the server kept of it, as bytes."""
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), content)
    assert answer.status_code == 201, answer.text
    return phone.client.get(f"/api/photos/{name_of(content)}").data


def is_red(pixel):
    return pixel[0] > 200 and pixel[2] < 60


def test_a_photo_is_wanted_until_it_has_come(phone, job):
    content = encoded()
    assert attach(phone, job, content)[1]["wanted_photos"] == [name_of(content)]
    assert phone.put_photo(name_of(content), content).json == {"format": 1, "sha256": name_of(content), "held": True}
    assert phone.sync()["wanted_photos"] == []


def test_the_pixels_are_those_of_the_photo(phone, job):
    sent = picture(320, 240)
    kept = Image.open(io.BytesIO(keep(phone, job, encoded(sent))))
    assert kept.size == sent.size
    worst = max(max(abs(a - b) for a, b in zip(kept.getpixel(at), sent.getpixel(at), strict=True))
                for at in ((10, 10), (300, 10), (10, 230), (300, 230), (100, 60)))  # fmt: skip
    assert worst <= 4


def test_a_photo_sent_twice_is_kept_once(app, phone, job):
    content = encoded()
    attach(phone, job, content)
    assert [phone.put_photo(name_of(content), content).status_code for _ in range(2)] == [201, 200]
    with app.extensions["database"].transaction() as connection:
        assert len(list(connection.execute(select(schema.photo)))) == 1


def test_identical_photos_of_two_entries_are_accepted(phone, second_phone, job):
    """failure-modes 4.1."""
    content = encoded()
    attach(phone, job, content)
    attach(second_phone, job, content)
    assert phone.put_photo(name_of(content), content).status_code == 201
    assert second_phone.put_photo(name_of(content), content).status_code == 200


def test_the_same_photo_sent_by_threads_at_once_is_kept_once(app, job):
    content, phones, statuses = encoded(), [Phone(app) for _ in range(6)], []
    for phone in phones:
        attach(phone, job, content)
    threads = [
        threading.Thread(target=lambda p=p: statuses.append(p.put_photo(name_of(content), content).status_code))
        for p in phones
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(statuses) <= {200, 201}
    with app.extensions["database"].transaction() as connection:
        assert len(list(connection.execute(select(schema.photo)))) == 1


def test_an_empty_photo_is_refused_and_still_wanted(phone, job):
    """failure-modes 2.1."""
    content = encoded()
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), b"")
    assert (answer.status_code, problem(answer)) == (422, "photo-empty")
    assert phone.sync()["wanted_photos"] == [name_of(content)]


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.999])
def test_a_photo_cut_off_on_its_way_is_refused_and_still_wanted(phone, job, share):
    """failure-modes 3.5."""
    content = encoded()
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), content[: int(len(content) * share)])
    assert (answer.status_code, problem(answer)) == (422, "photo-different")
    assert phone.sync()["wanted_photos"] == [name_of(content)]
    assert phone.put_photo(name_of(content), content).status_code == 201


def test_a_photo_beyond_20_megabytes_is_refused(phone, job):
    content = bytes(30_000_000)
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), content)
    assert (answer.status_code, problem(answer)) == (413, "too-large")


def test_a_photo_of_just_20_megabytes_is_judged_by_its_content(phone, job):
    content = encoded() + bytes(LARGEST_PHOTO - len(encoded()))
    attach(phone, job, content)
    assert phone.put_photo(name_of(content), content).status_code == 201


def test_a_photo_that_no_entry_of_the_pairing_wants_is_refused(phone, second_phone, job):
    content = encoded()
    answer = phone.put_photo(name_of(content), content)
    assert (answer.status_code, problem(answer)) == (409, "photo-not-wanted")
    attach(second_phone, job, content)
    assert phone.put_photo(name_of(content), content).status_code == 409


def test_a_phone_paired_again_may_send_the_photos_of_its_device(app, phone, job):
    content = encoded()
    attach(phone, job, content)
    again = Phone(app, device=phone.device)
    again.sync()
    assert again.put_photo(name_of(content), content).status_code == 201


@pytest.mark.parametrize("name", ["x", "A" * 64, "0" * 63, "..%2f..%2fsecret-key", "%00" * 64])
def test_a_name_that_is_no_hash_is_refused(phone, name):
    assert phone.put_photo(name, encoded()).status_code == 404
    assert phone.client.get(f"/api/photos/{name}").status_code == 404


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "HEIF"])
def test_jpeg_png_and_heic_are_kept_as_jpeg(phone, job, kind):
    kept = Image.open(io.BytesIO(keep(phone, job, encoded(format=kind))))
    assert (kept.format, kept.size) == ("JPEG", (64, 48))
    assert is_red(kept.getpixel((8, 8)))


@pytest.mark.parametrize(
    "content",
    [
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"<html><script>alert(1)</script></html>",
        encoded(format="GIF", quality=None),
        encoded(format="WEBP"),
        encoded(format="TIFF", quality=None),
        encoded()[: len(encoded()) // 2],
        encoded(format="PNG")[:80],
        encoded(format="HEIF")[:-40],
        b"\xff\xd8\xff\xe0" + b"\0" * 100,
    ],
    ids=["svg", "html", "gif", "webp", "tiff", "half a jpeg", "half a png", "half a heic", "jpeg of zeros"],
)
def test_what_is_no_whole_picture_of_the_three_formats_is_refused(phone, job, content):
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), content)
    assert (answer.status_code, problem(answer)) == (422, "photo-format")


def test_a_bomb_of_pixels_is_an_error_before_it_is_decoded(phone, job):
    content = encoded(Image.new("1", (10_000, 5_001)), format="PNG")
    assert len(content) < 100_000
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), content)
    assert (answer.status_code, problem(answer)) == (422, "photo-too-many-pixels")


def test_a_picture_of_24_megapixels_is_taken(phone, job):
    kept = Image.open(io.BytesIO(keep(phone, job, encoded(Image.new("RGB", (5_712, 4_284), "grey")))))
    assert kept.size == (5_712, 4_284)


def with_orientation(orientation, **more):
    return piexif.dump({"0th": {piexif.ImageIFD.Orientation: orientation}, **more})


# What a viewer must show in the upper left corner for EXIF orientations 1 to 8 of a picture whose stored upper left
# quarter is red (Exif 2.32, tag 274: which stored row and column is the visual top and left).
RED_CORNER = {1: "upper left", 2: "upper right", 3: "lower right", 4: "lower left",
              5: "upper left", 6: "upper right", 7: "lower right", 8: "lower left"}  # fmt: skip


def corner_of_red(image):
    right, low = image.width - 8, image.height - 8
    corners = {"upper left": (8, 8), "upper right": (right, 8), "lower left": (8, low), "lower right": (right, low)}
    (red,) = [name for name, at in corners.items() if is_red(image.getpixel(at))]
    return red


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_jpeg_is_turned_upright_as_its_exif_says(phone, job, orientation):
    kept = Image.open(io.BytesIO(keep(phone, job, encoded(exif=with_orientation(orientation)))))
    assert kept.size == ((64, 48) if orientation < 5 else (48, 64))
    assert corner_of_red(kept) == RED_CORNER[orientation]


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_a_heic_is_turned_once_and_not_twice(phone, job, orientation):
    """A HEIC file says its turn in the container and its decoder applies it; its EXIF must not count again."""
    content = encoded(format="HEIF", exif=with_orientation(orientation))
    shown = pillow_heif.open_heif(content).to_pillow()
    kept = Image.open(io.BytesIO(keep(phone, job, content)))
    assert kept.size == shown.size == ((64, 48) if orientation < 5 else (48, 64))
    assert corner_of_red(kept) == corner_of_red(shown) == RED_CORNER[orientation]


def loaded_with_metadata():
    exif = with_orientation(
        1, GPS={piexif.GPSIFD.GPSLatitudeRef: b"N", piexif.GPSIFD.GPSLatitude: ((52, 1), (0, 1), (0, 1))}
    )
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    return encoded(exif=exif, icc_profile=srgb, comment=b"SECRET-COMMENT", dpi=(300, 300))


def test_no_metadata_of_any_kind_is_kept(phone, job):
    """failure-modes 3.3: no location, no comment, no profile; the picture still decodes."""
    sent = loaded_with_metadata()
    assert b"Exif" in sent
    assert b"SECRET-COMMENT" in sent
    kept = keep(phone, job, sent)
    segments = {kept[i + 1] for i in range(len(kept) - 1) if kept[i] == 0xFF and 0xE1 <= kept[i + 1] <= 0xEF}
    assert not segments, "application segments beyond JFIF"
    for trace in (b"Exif", b"SECRET-COMMENT", b"ICC_PROFILE", b"http://ns.adobe.com"):
        assert trace not in kept
    Image.open(io.BytesIO(kept)).load()


def test_a_polyglot_loses_what_hides_behind_the_picture(phone, job):
    kept = keep(phone, job, encoded() + b"PK\x03\x04<script>alert(1)</script>")
    assert b"<script>" not in kept


def test_a_picture_with_a_profile_keeps_its_look_in_srgb(phone, job):
    """The profile has its red and blue primaries exchanged: what is stored as red is to be seen blue."""
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    exchanged = srgb.replace(b"rXYZ", b"xXYZ", 1).replace(b"bXYZ", b"rXYZ", 1).replace(b"xXYZ", b"bXYZ", 1)
    content = encoded(Image.new("RGB", (40, 40), "red"), icc_profile=exchanged)
    red, green, blue = Image.open(io.BytesIO(keep(phone, job, content))).getpixel((20, 20))
    assert (red < 10, green < 10, blue > 245) == (True, True, True)


def test_a_transparent_png_is_laid_on_white(phone, job):
    kept = Image.open(io.BytesIO(keep(phone, job, encoded(Image.new("RGBA", (40, 40), (0, 0, 0, 0)), format="PNG"))))
    assert min(kept.getpixel((20, 20))) > 250


def test_a_kept_photo_is_served_by_its_own_hash_and_cannot_run(phone, job):
    content = encoded()
    kept = keep(phone, job, content)
    answer = phone.client.get(f"/api/photos/{name_of(content)}")
    assert answer.headers["ETag"] == f'"{name_of(kept)}"'
    assert name_of(kept) != name_of(content)
    assert answer.content_type == "image/jpeg"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Content-Disposition"] == f'inline; filename="{name_of(content)[:16]}.jpg"'
    again = phone.client.get(f"/api/photos/{name_of(content)}", headers={"If-None-Match": answer.headers["ETag"]})
    assert again.status_code == 304


def test_every_paired_phone_sees_a_photo_and_nobody_else(phone, second_phone, job):
    content = encoded()
    keep(phone, job, content)
    address = f"/api/photos/{name_of(content)}"
    assert second_phone.client.get(address).status_code == 200
    answer = second_phone.client.get(address, environ_base={"REMOTE_ADDR": "192.0.2.7"})
    assert answer.status_code == 403


def test_a_photo_whose_entry_is_no_longer_live_is_gone(phone, job):
    content = encoded()
    entry, _ = attach(phone, job, content)
    phone.put_photo(name_of(content), content)
    phone.sync([phone.entry(job, "field-set", {"value": None}, entry["id"], after=[entry["id"]])])
    assert problem(phone.client.get(f"/api/photos/{name_of(content)}")) == "no-such-photo"


def test_a_photo_that_has_not_come_is_404(phone, job):
    content = encoded()
    attach(phone, job, content)
    assert problem(phone.client.get(f"/api/photos/{name_of(content)}")) == "no-such-photo"


def test_a_phone_sends_only_so_many_photos_a_day(phone, job, clock, monkeypatch):
    """failure-modes 7.5, the quota; the number is lowered here, the rule is the same."""
    monkeypatch.setattr("server.api.photos.MOST_PHOTOS_A_DAY", 2)
    pictures = [encoded(picture(64 + i, 48)) for i in range(3)]
    for content in pictures:
        attach(phone, job, content)
    statuses = [phone.put_photo(name_of(content), content).status_code for content in pictures]
    assert statuses == [201, 201, 429]
    clock.now_ms += 25 * 3600 * 1000
    assert phone.put_photo(name_of(pictures[2]), pictures[2]).status_code == 201


def test_a_photo_entry_is_kept_as_it_came(phone, second_phone, job):
    entry, _ = attach(phone, job, encoded())
    assert json.dumps(second_phone.sync_all()) == json.dumps([entry])
