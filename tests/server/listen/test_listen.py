"""The listener: connections within bounds, bodies whole or not at all, HTTP/1.1 as it is written (RFC 9112, read)."""

import time
from contextlib import ExitStack, suppress

import pytest

from server.listen import limits
from server.listen.limits import most_connections
from server.listen.read_bodies import Sender
from tests.server.listening import listening, request, said_by

CLOSE = "Connection: close"


def is_closed(client, within_s=5) -> bool:
    client.settimeout(within_s)
    try:
        return client.recv(1) == b""
    except ConnectionError:
        return True
    except TimeoutError:
        return False


def answered(served, source="127.0.0.1") -> bool:
    with served.connect(source) as client:
        client.sendall(request("/x", None, CLOSE, method="GET"))
        return said_by(client).endswith(b"whole")


@pytest.fixture
def clients():
    with ExitStack() as stack:
        yield stack


def test_the_oldest_silent_connection_goes_for_a_new_one(clients):
    with listening(8) as served:
        silent = [clients.enter_context(served.connect(f"127.0.0.{2 + k}")) for k in range(8)]
        assert answered(served, "127.0.0.99")
        assert is_closed(silent[0])
        assert not is_closed(silent[-1], 0.2)


def test_one_address_has_a_quarter_and_keeps_nobody_else_out(clients):
    with listening(8) as served:
        other = clients.enter_context(served.connect("127.0.0.2"))
        crowd = [clients.enter_context(served.connect("127.0.0.3")) for _ in range(8)]
        assert [is_closed(each) for each in crowd[:6]] == [True] * 6
        assert not is_closed(other, 0.2)
        assert answered(served, "127.0.0.3")


def test_behind_a_proxy_all_connections_are_of_one_address(clients):
    with listening(8, shares=False) as served:
        crowd = [clients.enter_context(served.connect()) for _ in range(8)]
        time.sleep(0.2)
        assert not any(is_closed(each, 0.05) for each in crowd)


def test_what_is_being_answered_is_never_sent_off(clients):
    with listening(4, shares=False) as served:
        served.answer = lambda _environ: time.sleep(1) or b"late"
        busy = clients.enter_context(served.connect())
        busy.sendall(request("/slow", b"", CLOSE))
        time.sleep(0.3)
        crowd = [clients.enter_context(served.connect()) for _ in range(8)]
        assert said_by(busy).endswith(b"late")
        assert is_closed(crowd[0])


def test_who_says_nothing_is_waited_for_so_long(clients, monkeypatch):
    monkeypatch.setattr(limits, "HEAD_S", 0.3)
    with listening() as served:
        bare, half = (clients.enter_context(served.connect()) for _ in range(2))
        half.sendall(b"GET / HTTP/1.1\r\nHost: ")
        assert (is_closed(bare), is_closed(half), served.asked) == (True, True, [])


def test_a_strangers_body_has_its_time_and_is_then_said_to_be_late(monkeypatch):
    monkeypatch.setattr(limits, "STRANGERS_BODY_S", 0.3)
    with listening() as served, served.connect() as client:
        client.sendall(request("/x", b"half", length=9))
        assert b"Connection: close" in said_by(client)
        assert served.asked == [("/x", b"", "body-too-slow")]


def test_a_strangers_long_body_is_not_read():
    with listening() as served, served.connect() as client:
        client.sendall(request("/x", b"{", length=limits.LARGEST_BODY_OF_STRANGERS + 1))
        assert said_by(client).endswith(b"whole")
        assert served.asked == [("/x", b"", "tapermark.unread")]


def test_of_a_strangers_stalled_bodies_the_oldest_goes_and_a_whole_one_is_taken(clients):
    with listening() as served:
        stalled = []
        for _ in range(limits.BODIES_OF_A_STRANGE_ADDRESS + 2):
            stalled.append(clients.enter_context(served.connect()))
            stalled[-1].sendall(request("/stalled", b"{", length=9))
            time.sleep(0.05)
        assert said_by(stalled[0])
        with served.connect() as client:
            client.sendall(request("/sign-in", b"whole", CLOSE))
            assert said_by(client).endswith(b"whole")
        assert served.asked == [("/stalled", b"", "body-too-slow")] * 2 + [("/sign-in", b"whole", None)]


def test_strangers_of_many_addresses_keep_nobody_out(clients, monkeypatch):
    monkeypatch.setattr(limits, "BODIES_OF_STRANGERS", 8)
    with listening(200) as served:
        for k in range(40):
            client = clients.enter_context(served.connect(f"127.0.0.{2 + k}"))
            client.sendall(request("/stalled", b"{", length=9))
        with served.connect("127.0.0.200") as client:
            for part in (request("/sign-in", b"wh", CLOSE, length=5), b"ole"):  # a slow line, too
                client.sendall(part)
                time.sleep(0.2)
            assert said_by(client).endswith(b"whole")
        assert ("/sign-in", b"whole", None) in served.asked


def test_of_somebody_known_so_many_bodies_are_read_at_once_and_no_more(clients):
    with listening(who=lambda environ: Sender(environ["HTTP_WHO"], environ["REMOTE_ADDR"])) as served:

        def stall(who):
            client = clients.enter_context(served.connect())
            client.sendall(request("/stalled", b"{", f"Who: {who}", length=100_000))
            return client

        for _ in range(limits.BODIES_OF_ONE):
            stall("a phone")
        time.sleep(0.3)
        assert said_by(stall("a phone")).endswith(b"whole")
        assert served.asked == [("/stalled", b"", "too-many-bodies")]
        with served.connect() as client:
            client.sendall(request("/x", b"of another", "Who: another", CLOSE))
            assert said_by(client).endswith(b"whole")


def test_a_body_of_somebody_known_is_large_enough_and_no_larger():
    known = {"who": lambda environ: Sender("a phone", environ["REMOTE_ADDR"])}
    with listening(**known) as served:
        for length, reason in ((1_000_000, None), (1_000_001, "tapermark.unread")):
            with served.connect() as client:
                client.sendall(request("/x", b"x" * length, CLOSE))
                assert said_by(client).endswith(b"whole")
            assert (len(served.asked[-1][1]), served.asked[-1][2]) == (0 if reason else length, reason)


def test_chunks_are_put_together_and_have_an_end():
    with listening() as served:
        for body, expected in (
            (b"5\r\nfirst\r\n4\r\nrest\r\n0\r\n\r\n", b"firstrest"),
            (b"fff0\r\n" + b"x" * 70_000, b""),
        ):
            with served.connect() as client:
                client.sendall(request("/x", None, "Transfer-Encoding: chunked", CLOSE) + body)
                said_by(client)
            assert served.asked[-1][1] == expected
    assert served.asked[-1][2] == "tapermark.unread"


def test_a_body_that_is_cut_off_reaches_nobody():
    with listening() as served:
        with served.connect() as client:
            client.sendall(request("/x", b"half of it", length=20))
        assert answered(served)
        assert [path for path, *_ in served.asked] == ["/x"]
        assert served.asked[0][1] == b""


def test_one_connection_carries_many_requests_also_unasked():
    with listening() as served, served.connect() as client:
        client.sendall(request("/1", b"a") + request("/2", None, method="GET") + request("/3", b"c", CLOSE))
        assert said_by(client).count(b"HTTP/1.1 200") == 3
        assert [path for path, *_ in served.asked] == ["/1", "/2", "/3"]


def test_who_asks_whether_to_go_on_is_told_so():
    with listening() as served, served.connect() as client:
        client.sendall(request("/x", b"", "Expect: 100-continue", CLOSE, length=4))
        assert client.recv(100).startswith(b"HTTP/1.1 100")
        client.sendall(b"body")
        assert said_by(client).endswith(b"whole")
        assert served.asked == [("/x", b"body", None)]


def test_what_head_asks_for_comes_without_its_body():
    with listening() as served, served.connect() as client:
        client.sendall(request("/x", None, CLOSE, method="HEAD"))
        assert said_by(client).endswith(b"\r\n\r\n")


def test_addresses_and_headers_come_as_they_were_sent():
    with listening() as served, served.connect() as client:
        seen = {}
        served.answer = lambda each: seen.update(each) or b""
        client.sendall(
            request("/%C3%A4%2F?q=%20", None, "Cookie: a=1", "X_Forwarded_For: 1.2.3.4", CLOSE, method="GET")
        )
        said_by(client)
    assert (seen["PATH_INFO"], seen["QUERY_STRING"], seen["HTTP_COOKIE"]) == ("/\xc3\xa4/", "q=%20", "a=1")
    assert seen["REMOTE_ADDR"] == "127.0.0.1"
    assert "HTTP_X_FORWARDED_FOR" not in seen


@pytest.mark.parametrize(
    ("raw", "status"),
    [
        (b"GARBAGE\r\n\r\n", b"400"),
        (b"GET / HTTP/1.1\r\n\r\n", b"400"),
        (b"GET / HTTP/1.1\r\nHost: x\r\nA: " + b"a" * 70_000, b"431"),
        (b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\n", b"400"),
        (b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: -1\r\n\r\n", b"400"),
    ],
)
def test_what_is_no_request_is_refused_and_reaches_nobody(raw, status):
    with listening() as served, served.connect() as client:
        client.sendall(raw)
        assert said_by(client)[9:12] == status
        assert served.asked == []


def test_who_takes_nothing_of_an_answer_is_waited_for_so_long(clients, monkeypatch):
    monkeypatch.setattr(limits, "SILENCE_S", 0.5)
    with listening() as served:
        served.answer = lambda _environ: b"x" * 30_000_000
        deaf = clients.enter_context(served.connect())
        deaf.sendall(request("/x", None, method="GET"))
        time.sleep(1.5)
        with suppress(ConnectionError):  # it was cut off
            assert len(said_by(deaf)) < 30_000_000


def test_a_large_answer_comes_whole():
    with listening() as served, served.connect() as client:
        served.answer = lambda _environ: bytes(range(256)) * 40_000
        client.sendall(request("/x", None, CLOSE, method="GET"))
        assert said_by(client).endswith(bytes(range(256)) * 40_000)


def test_a_fault_of_what_stands_around_the_application_is_an_answer(capfd):
    with listening() as served, served.connect() as client:
        served.answer = lambda _environ: 1 / 0
        client.sendall(request("/x", None, CLOSE, method="GET"))
        assert said_by(client).startswith(b"HTTP/1.1 500")
    assert "ZeroDivisionError" in capfd.readouterr().err


def test_connections_leave_files_for_the_store(monkeypatch):
    resource = pytest.importorskip("resource")
    for hard, most in ((1_024, 704), (100, 32), (1_000_000, 2_000)):
        monkeypatch.setattr(resource, "getrlimit", lambda _what, hard=hard: (min(hard, 1_024), hard))
        monkeypatch.setattr(resource, "setrlimit", lambda *_: None)
        assert most_connections() == most
