"""Other accounts of the machine read nothing of the store: not what is made, nor what an older program left open."""

import os
import stat

import pytest

from server import create_app
from server.__main__ import main
from server.keys.private_folder import make_private, open_to_others
from tests.server.phones import BufferedClient, Phone

pytestmark = pytest.mark.skipif(os.name != "posix", reason="modes of files are POSIX's")


@pytest.fixture(autouse=True)
def open_handed():
    """An account that gives everybody everything by default."""
    before = os.umask(0)
    yield
    os.umask(before)


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("TAPERMARK_STORE", str(tmp_path / "store"))
    monkeypatch.delenv("DATABASE_URL", raising=False)
    return tmp_path / "store"


@pytest.fixture
def app(folder):
    made = create_app({"STORE_FOLDER": folder, "DEMO_JOBS": False})
    made.test_client_class = BufferedClient
    yield made
    made.extensions["database"].close()


def modes(folder):
    found = {path.relative_to(folder).as_posix(): path for path in [folder, *folder.rglob("*")]}
    return {name: (path.is_dir(), stat.S_IMODE(path.stat().st_mode)) for name, path in found.items()}


def assert_private(folder):
    for name, (is_folder, mode) in modes(folder).items():
        assert mode & 0o077 == 0, f"{name}: {mode:o}"
        assert mode == (0o700 if is_folder else 0o600), f"{name}: {mode:o}"


def test_what_a_first_start_makes_is_private_also_the_write_ahead_files(app, folder):
    phone = Phone(app)
    phone.sync([phone.entry("5d3c6a52-9f0e-4b57-8a0b-3b1e6f6c2d11")])
    assert {"tapermark.db", "tapermark.db-wal", "tapermark.db-shm", "secret-key"} <= modes(folder).keys()
    assert_private(folder)


def test_backup_certificate_and_restore_are_private_too(app, folder):
    assert app
    app.extensions["database"].close()
    assert main(["backup"]) == 0
    assert main(["certificate", "--name", "shop.local"]) == 0
    (backup,) = (folder / "backups").glob("*.backup")
    assert main(["restore", str(backup)]) == 0
    assert {"backups", "certificate", "certificate/authority.crt"} <= modes(folder).keys()
    assert_private(folder)


def test_what_an_older_program_left_open_is_shut_at_the_next_start(app, folder, capsys):
    phone = Phone(app)
    phone.sync([phone.entry("5d3c6a52-9f0e-4b57-8a0b-3b1e6f6c2d11")])
    for path in [folder, *folder.rglob("*")]:
        path.chmod(0o755 if path.is_dir() else 0o644)
    assert main(["check"]) == 1
    assert "Other accounts of this machine may open" in capsys.readouterr().out
    create_app({"STORE_FOLDER": folder}).extensions["database"].close()
    assert_private(folder)
    assert main(["check"]) == 0


def test_what_is_not_ours_stays_as_it_is(tmp_path):
    (tmp_path / "letters").mkdir()
    other = tmp_path / "letters" / "letter.txt"
    other.write_text("not ours")
    (tmp_path / "tapermark.db-wal").symlink_to(other)
    make_private(tmp_path)
    assert stat.S_IMODE(other.stat().st_mode) == 0o666
    assert open_to_others(tmp_path) == []
