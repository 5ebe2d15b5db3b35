"""The local authority and its certificate: what it may speak for, who trusts it and who does not."""

import os
import shutil
import ssl
import urllib.error
import urllib.request
from datetime import UTC, datetime, timedelta

import pytest
from cryptography import x509

from server.__main__ import main
from server.keys import certificate
from tests.live_server import LiveServer, free_port
from tests.server.desks import HTTPS

NOW = datetime.now(UTC)
NAMES = ["shop-pc.local", "shop-pc", "192.168.1.20", "localhost", "127.0.0.1", "::1"]


@pytest.fixture
def store(tmp_path):
    certificate.make(tmp_path, NAMES, NOW)
    return tmp_path


def read(store, name):
    return x509.load_pem_x509_certificate(certificate.paths(store)[name].read_bytes())


def test_the_certificate_is_for_the_names_and_ends_before_phones_refuse_it(store):
    server = read(store, "server.crt")
    assert certificate.names_of(store) == NAMES
    assert server.not_valid_after_utc - server.not_valid_before_utc < timedelta(days=825)
    assert server.issuer == read(store, "authority.crt").subject
    server.verify_directly_issued_by(read(store, "authority.crt"))


def test_the_authority_signs_certificates_for_the_shops_own_addresses_and_nothing_else(store):
    authority = read(store, "authority.crt")
    basic = authority.extensions.get_extension_for_class(x509.BasicConstraints)
    names = authority.extensions.get_extension_for_class(x509.NameConstraints)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    assert names.critical
    permitted = {str(name.value) for name in names.value.permitted_subtrees}
    assert {"local", "shop-pc", "192.168.0.0/16", "10.0.0.0/8", "127.0.0.0/8"} <= permitted
    assert not {"com", "example", "0.0.0.0/0"} & permitted


def test_a_name_beyond_the_authority_is_refused_and_a_new_authority_takes_it(store):
    with pytest.raises(certificate.NotCovered, match=r"desk\.example"):
        certificate.make(store, ["desk.example", *NAMES], NOW)
    with pytest.raises(certificate.NotCovered, match=r"203\.0\.113\.7"):
        certificate.make(store, ["203.0.113.7"], NOW)
    before = certificate.authority_der(store)
    certificate.make(store, ["desk.example", *NAMES], NOW, new_authority=True)
    assert "desk.example" in certificate.names_of(store)
    assert certificate.authority_der(store) != before


def test_a_new_certificate_keeps_the_authority_that_phones_know(store):
    before, first = certificate.authority_der(store), read(store, "server.crt")
    certificate.make(store, ["10.0.0.9", *NAMES], NOW)
    assert certificate.authority_der(store) == before
    assert read(store, "server.crt") != first


def test_an_old_certificate_is_renewed_and_a_fresh_one_is_left(store):
    first = read(store, "server.crt")
    assert not certificate.renew_if_old(store, NOW + timedelta(days=700))
    assert certificate.renew_if_old(store, NOW + timedelta(days=800))
    assert read(store, "server.crt").not_valid_after_utc > first.not_valid_after_utc
    assert certificate.names_of(store) == NAMES


@pytest.mark.skipif(os.name != "posix", reason="other systems have no such bits")
def test_keys_are_readable_by_their_owner_alone(store):
    for name in ("authority.key", "server.key"):
        assert certificate.paths(store)[name].stat().st_mode & 0o077 == 0


def test_this_machine_knows_its_names():
    names = certificate.names_of_this_machine()
    assert {"localhost", "127.0.0.1", "::1"} <= set(names)
    assert len(names) == len(set(names))


def test_the_page_shows_the_fingerprint_and_gives_the_authority_to_everybody(make_shop_app, tmp_path):
    app = make_shop_app()
    client = app.test_client()
    assert client.get("/desk/certificate", base_url=HTTPS).status_code == 404
    certificate.make(tmp_path / "shop", NAMES, NOW)
    page = client.get("/desk/certificate", base_url=HTTPS)
    assert certificate.fingerprint(certificate.authority_der(tmp_path / "shop")) in page.text
    got = client.get("/desk/certificate/tapermark-authority.crt", base_url=HTTPS)
    assert got.mimetype == "application/x-x509-ca-cert"
    assert x509.load_der_x509_certificate(got.data) == read(tmp_path / "shop", "authority.crt")
    assert "Set-Cookie" not in page.headers


def test_the_server_is_trusted_by_who_knows_the_authority_and_by_nobody_else(tmp_path, fresh_shop):
    shutil.copytree(fresh_shop, tmp_path / "own")
    certificate.make(tmp_path / "own", certificate.names_of_this_machine(), NOW)
    with LiveServer(tmp_path / "own", https=True) as server:  # it starts only once it answers with real validation
        with pytest.raises(urllib.error.URLError, match="CERTIFICATE_VERIFY_FAILED"):
            urllib.request.urlopen(f"{server.url}/sw.js", timeout=30, context=ssl.create_default_context())
        with urllib.request.urlopen(f"{server.url}/api/pair", timeout=30, context=server._trust()) as answer:
            cookie = answer.headers["Set-Cookie"]
        assert cookie.startswith("__Host-tapermark=")
        assert "; Secure" in cookie
        assert f"https://127.0.0.1:{server.port}/desk/" in server.output()


def test_https_without_a_certificate_is_refused_in_words(fresh_shop, capsys, monkeypatch):
    monkeypatch.setenv("TAPERMARK_STORE", str(fresh_shop))
    assert main(["serve", "--https", "--port", str(free_port())]) == 1
    assert "python -m server certificate" in capsys.readouterr().err
