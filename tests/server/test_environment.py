"""The start: the environment's script, a port that is taken, a clean stop, and nothing left behind."""

import json
import os
import selectors
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
import uuid
from collections import Counter
from contextlib import ExitStack
from pathlib import Path

import pytest

from server import environment
from server.limits import MOST_BODIES
from server.serve import _THREADS, _listens
from tests.live_server import LiveServer, free_port

ROOT = Path(__file__).resolve().parent.parent.parent
LIMIT_S = 30  # for what takes a moment where nothing is wrong; a busy machine is slow


def test_requirements_are_those_of_pyproject():
    project = (ROOT / "pyproject.toml").read_text("utf-8")
    server, tests = environment.requirements(project, []), environment.requirements(project, ["test"])
    assert any(line.startswith("granian") for line in server)
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
        [sys.executable, "server/environment.py", "everything"], cwd=ROOT, capture_output=True, text=True, check=False
    )
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


@pytest.fixture
def connections():
    with ExitStack() as stack:
        yield stack


def paired(server):
    """A browser that the demo shop has paired: the headers of its writes."""
    with urllib.request.urlopen(f"{server.url}/api/session", timeout=LIMIT_S) as answer:
        cookie = answer.headers["Set-Cookie"].partition(";")[0]
        return {"Cookie": cookie, "X-CSRFToken": json.load(answer)["csrf"], "Content-Type": "application/json"}


def stall(server, path, headers):
    """Begin to send a body, and wait."""
    client = socket.create_connection(("127.0.0.1", server.port), timeout=LIMIT_S)
    lines = {"Host": "127.0.0.1", "Content-Length": "100000"} | headers
    head = "".join(f"{name}: {text}\r\n" for name, text in lines.items())
    client.sendall(f"POST {path} HTTP/1.1\r\n{head}\r\n{{".encode())
    return client


def answered(clients, number):
    """The first bytes of the answers of so many of them, as soon as these have come."""
    codes = Counter()
    with selectors.DefaultSelector() as waiting:
        for client in clients:
            waiting.register(client, selectors.EVENT_READ)
        while codes.total() < number and (ready := waiting.select(LIMIT_S)):
            for key, _ in ready:
                codes[key.fileobj.recv(12)] += 1
                waiting.unregister(key.fileobj)
    return codes


def are_asked_after(server, clients):
    """Tell whether the system has a timer on each connection that ends it when its other end is gone (Linux)."""
    ports, established, keep_alive = {client.getsockname()[1] for client in clients}, "01", "02"
    rows = [line.split() for line in Path("/proc/net/tcp").read_text().splitlines()[1:]]
    ends = [(int(row[1][-4:], 16), int(row[2][-4:], 16), row[3], row[5][:2]) for row in rows]
    ours = [(state, timer) for here, there, state, timer in ends if here == server.port and there in ports]
    return {timer for state, timer in ours if state == established} == {keep_alive}


def test_who_stalls_bodies_holds_up_nobody_else(own_live, connections):
    """Cause: 32 stalled bodies of one paired browser held every thread; nobody else was answered any more.

    A phone, and a stranger whose form is read for its token: most of their bodies are refused unread at once.
    """
    a_phone, a_form = paired(own_live), {"Content-Type": "application/x-www-form-urlencoded"}
    for path, headers in (("/api/entries", a_phone), ("/desk/sign-in", a_form)):
        ours = [connections.enter_context(stall(own_live, path, headers)) for _ in range(_THREADS + 8)]
        assert answered(ours, _THREADS + 8 - MOST_BODIES) == {b"HTTP/1.1 429": _THREADS + 8 - MOST_BODIES}
    body = json.dumps({"device": str(uuid.uuid4()), "since": None, "entries": []}).encode()
    request = urllib.request.Request(f"{own_live.url}/api/entries", body, paired(own_live))
    with urllib.request.urlopen(request, timeout=LIMIT_S) as answer:
        assert answer.status == 200, "another phone syncs meanwhile"
    assert are_asked_after(own_live, ours) or sys.platform != "linux"
    start = time.monotonic()
    own_live.stop()
    assert time.monotonic() - start < LIMIT_S


def test_looking_for_the_listening_socket_leaves_nothing_open(tmp_path):
    """Cause: each file that was no socket was opened once more at every look, until no file could be opened."""
    with socket.create_server(("127.0.0.1", 0)) as listening, open(tmp_path / "x", "w") as file:
        before = os.listdir("/dev/fd")
        assert (_listens(listening.fileno()), _listens(file.fileno()), _listens(10_000)) == (True, False, False)
        assert os.listdir("/dev/fd") == before


def test_strangers_without_a_token_are_answered_without_their_bodies(live, connections):
    clients = [connections.enter_context(stall(live, "/api/entries", {})) for _ in range(_THREADS + 8)]
    assert answered(clients, _THREADS + 8) == {b"HTTP/1.1 400": _THREADS + 8}


@pytest.mark.parametrize("port", ["0", "70000", "x"])
def test_a_port_that_is_none_is_refused(port):
    run = subprocess.run(
        [sys.executable, "-m", "server", "serve", "--port", port], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 2
    assert "--port" in run.stderr


def test_free_ports_are_free():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", free_port()))
