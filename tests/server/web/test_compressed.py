"""Shell and tables go out as brotli or gzip to who takes it: the same bytes once unpacked, and caches are told."""

import gzip

import brotli
import pytest

from server.web.compressed import encoding_for

UNPACK = {"br": brotli.decompress, "gzip": gzip.decompress, None: bytes}
SHELL = ("/", "/js/main.js", "/css/base.css", "/checklist.json", "/manifest.webmanifest", "/icons/icon.svg", "/sw.js")


@pytest.fixture
def client(app):
    return app.test_client()


def addresses(client) -> list[str]:
    table = client.get("/api/ring-sets").json["ring_sets"][0]["table"]
    return [*SHELL, "/desk/static/desk.css", f"/api/tables/{table}"]


@pytest.mark.parametrize("encoding", ["br", "gzip"])
def test_every_text_is_sent_compressed_and_unpacks_to_the_same(client, encoding):
    for url in addresses(client):
        plain = client.get(url)
        assert "Content-Encoding" not in plain.headers
        answer = client.get(url, headers={"Accept-Encoding": encoding})
        assert answer.headers["Content-Encoding"] == encoding, url
        assert len(answer.data) == int(answer.headers["Content-Length"]) < len(plain.data)
        assert UNPACK[encoding](answer.data) == plain.data
        assert answer.headers["Content-Type"] == plain.headers["Content-Type"]
        for each in (plain, answer):
            assert "Accept-Encoding" in each.headers["Vary"]


def test_what_is_compressed_already_goes_as_it_is(client):
    answer = client.get("/icons/icon-192.png", headers={"Accept-Encoding": "br, gzip"})
    assert "Content-Encoding" not in answer.headers
    assert answer.data.startswith(b"\x89PNG")


def test_one_etag_serves_every_form_of_a_file_and_is_weak(client):
    for url in addresses(client):
        etags = {client.get(url, headers={"Accept-Encoding": form}).headers["ETag"] for form in ("br", "gzip", "")}
        assert len(etags) == 1, url
        (etag,) = etags
        assert etag.startswith('W/"')
        again = client.get(url, headers={"Accept-Encoding": "br", "If-None-Match": etag})
        assert again.status_code == 304
        assert not again.data
        assert "Accept-Encoding" in again.headers["Vary"]


def test_a_part_of_a_file_is_a_part_of_the_plain_one(client):
    whole = client.get("/checklist.json").data
    answer = client.get("/checklist.json", headers={"Accept-Encoding": "br", "Range": "bytes=0-9"})
    assert answer.status_code == 206
    assert "Content-Encoding" not in answer.headers
    assert answer.data == whole[:10]


def test_the_shop_s_own_answers_are_never_compressed(client):
    """They hold names and a token; a compressed length would tell of them."""
    for url in ("/api/session", "/api/ring-sets", "/desk/"):
        assert "Content-Encoding" not in client.get(url, headers={"Accept-Encoding": "br, gzip"}).headers


@pytest.mark.parametrize(
    ("accepted", "encoding"),
    [
        (None, None), ("", None), ("identity", None), ("br;q=0", None), ("deflate, zstd", None), ("gzip", "gzip"),
        ("gzip, deflate, br, zstd", "br"), ("gzip, br;q=0", "gzip"), ("*", "br"), ("GZIP", "gzip"),
    ],
)  # fmt: skip
def test_the_encoding_is_the_best_that_the_asker_takes(accepted, encoding):
    """RFC 9110, section 12.5.3."""
    assert encoding_for(accepted) == encoding
