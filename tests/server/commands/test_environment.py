"""The start: the environment's script, a port that is taken, a clean stop, and nothing left behind."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from server import environment
from tests.live_server import LiveServer, free_port

pytestmark = pytest.mark.full

ROOT = Path(__file__).resolve().parents[3]
LIMIT_S = 30  # for what takes a moment where nothing is wrong; a busy machine is slow


def test_requirements_are_those_of_pyproject():
    project = (ROOT / "pyproject.toml").read_text("utf-8")
    server, tests = environment.requirements(project, []), environment.requirements(project, ["test"])
    assert any(line.startswith("h11") for line in server)
    assert not any(line.startswith("pytest") for line in server)
    assert set(server) < set(tests)


def test_a_python_that_is_too_old_is_named():
    assert "needs Python 3.11 or newer; this is 3.10.4" in environment.what_is_missing((3, 10, 4))
    assert environment.what_is_missing((3, 11, 0)) is None


@pytest.mark.parametrize("missing", ["venv", "ensurepip"])
def test_a_missing_venv_module_is_named_with_its_package(missing):
    said = environment.what_is_missing(has_module=lambda name: None if name == missing else name)
    assert "venv module is missing" in said
    assert "apt install python3-venv" in said


def test_an_unknown_extra_is_refused():
    run = subprocess.run(
        [sys.executable, "server/environment.py", "everything"], cwd=ROOT, capture_output=True, text=True, check=False,
        timeout=60,
    )  # fmt: skip
    assert run.returncode == 2
    assert "test, postgresql; got everything. Run it as: python server/environment.py test" in run.stderr


def test_a_second_run_installs_nothing(monkeypatch, tmp_path):
    commands = []
    monkeypatch.setattr(environment, "FOLDER", tmp_path / ".venv")
    monkeypatch.setattr(environment, "run", lambda command: commands.append(command) or make_python(tmp_path))
    assert [environment.main(["test"]) for _ in range(2)] == [0, 0]
    assert [command[2] for command in commands] == ["venv", "pip"]
    assert environment.main([]) == 0
    assert len(commands) == 2


def make_python(folder):
    python = environment.python_of(folder / ".venv")
    python.parent.mkdir(parents=True, exist_ok=True)
    python.touch()


def test_a_failed_installation_is_not_remembered(monkeypatch, tmp_path, capsys):
    def fail(command):
        make_python(tmp_path)
        raise subprocess.CalledProcessError(7, command)

    monkeypatch.setattr(environment, "FOLDER", tmp_path / ".venv")
    monkeypatch.setattr(environment, "run", fail)
    assert environment.main([]) == 1
    assert "could not be made" in capsys.readouterr().err
    assert not list((tmp_path / ".venv").glob("tapermark-*"))


def test_windows_keeps_its_python_elsewhere():
    assert environment.python_of(Path("x"), "nt").parts == ("x", "Scripts", "python.exe")


def test_the_script_uses_nothing_but_the_standard_library():
    source = (ROOT / "server" / "environment.py").read_text("utf-8")
    names = {line.split()[1].split(".")[0] for line in source.splitlines() if line.startswith(("import ", "from "))}
    assert names <= set(sys.stdlib_module_names)


@pytest.fixture
def live(fresh_store):
    """A server process on the session's fresh store; it only reads from it."""
    with LiveServer(fresh_store) as server:
        yield server


def test_it_serves_says_where_and_stops_at_once(live):
    assert f"http://127.0.0.1:{live.port}/" in live.output()
    assert "Ctrl+C" in live.output()
    start = time.monotonic()
    live.stop()
    assert time.monotonic() - start < LIMIT_S


def test_a_taken_port_is_said_plainly(live):
    run = subprocess.run(
        [sys.executable, "-m", "server", "serve", "--port", str(live.port)],
        cwd=ROOT, capture_output=True, text=True, check=False, timeout=30,
    )  # fmt: skip
    assert run.returncode == 1
    assert f"Cannot listen on 127.0.0.1:{live.port}: address already in use" in run.stderr
    assert "Traceback" not in run.stderr


def test_a_killed_server_leaves_its_port_free(live):
    """The worker is a process of its own; it must end with the one that was killed."""
    live.kill()
    deadline = time.monotonic() + LIMIT_S
    while time.monotonic() < deadline:
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", live.port)) != 0:
                return
        time.sleep(0.05)
    pytest.fail("something still listens")


@pytest.fixture
def own_live(fresh_store, tmp_path):
    """A server process on the test's own copy of it."""
    shutil.copytree(fresh_store, tmp_path / "store")
    with LiveServer(tmp_path / "store") as server:
        yield server


def worker_of(server) -> int:
    """The process that answers (Linux)."""
    return max(map(int, Path(f"/proc/{server.pid}/task/{server.pid}/children").read_text().split()))


@pytest.mark.skipif(sys.platform != "linux", reason="looks for the worker in /proc")
def test_a_killed_worker_is_started_again_and_it_is_said(own_live):
    """Cause: the parent went on without a worker, and nobody was answered any more."""
    with socket.create_connection(("127.0.0.1", own_live.port), timeout=LIMIT_S):
        for _ in range(2):
            os.kill(worker_of(own_live), signal.SIGKILL)
            with urllib.request.urlopen(f"{own_live.url}/sw.js", timeout=LIMIT_S) as answer:
                assert answer.status == 200
    assert "The serving process ended by itself (status -9); another is started" in own_live.output()
    begun = time.monotonic()
    own_live.stop()
    assert time.monotonic() - begun < LIMIT_S


@pytest.mark.skipif(sys.platform != "linux", reason="reads the timers in /proc")
def test_the_system_is_told_to_ask_after_silent_connections(own_live):
    """A phone that went out of reach would keep its connection for ever. 01: established, 02: keep-alive timer."""
    with socket.create_connection(("127.0.0.1", own_live.port), timeout=LIMIT_S) as client:
        client.sendall(b"GET /sw.js HTTP/1.1\r\nHost: x\r\n\r\n")
        client.recv(100)
        port = client.getsockname()[1]
        rows = [line.split() for line in Path("/proc/net/tcp").read_text().splitlines()[1:]]
        ours = [row for row in rows if int(row[1][-4:], 16) == own_live.port and int(row[2][-4:], 16) == port]
        assert [(row[3], row[5][:2]) for row in ours] == [("01", "02")]


@pytest.mark.parametrize("port", ["0", "70000", "x"])
def test_a_port_that_is_none_is_refused(port):
    run = subprocess.run(
        [sys.executable, "-m", "server", "serve", "--port", port],
        cwd=ROOT, capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert run.returncode == 2
    assert "--port" in run.stderr


def test_free_ports_are_free():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", free_port()))
