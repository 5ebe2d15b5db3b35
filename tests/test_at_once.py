"""What a test waits for has an end: by tests/at_once.py in threads, by a limit wherever else it could wait for ever."""

import ast
import threading
from pathlib import Path

import pytest

from tests.at_once import NeverEnded, all_ended, begun, ended, meanwhile, until
from tests.test_layout import ROOT, tracked

ENDLESS_WITHOUT = ("wait", "join", "result", "communicate", "acquire", "get")  # without any argument
NEED_TIMEOUT = ("run", "check_call", "check_output", "call", "urlopen", "HTTPConnection")
POOLS = ("ThreadPoolExecutor", "ProcessPoolExecutor")  # at their end they wait for whatever hangs


def test_what_each_returned_comes_in_the_order_of_asking():
    both = threading.Barrier(2)  # so they run at the same time
    assert all_ended(lambda number: both.wait(60) >= 0 and number * 2, [1, 2]) == [2, 4]


def test_what_fails_in_a_thread_fails_where_it_is_waited_for():
    with pytest.raises(ZeroDivisionError):
        ended(begun(lambda: 1 / 0))


def test_what_is_done_meanwhile_ends_with_its_block_and_fails_there():
    times = []
    with meanwhile(lambda: times.append(1), 0.001):
        until(lambda: len(times) >= 3, "three times")
    count = len(times)
    assert not [each for each in threading.enumerate() if "go_on" in each.name], "nothing goes on"
    assert len(times) == count
    with pytest.raises(ZeroDivisionError), meanwhile(lambda: times.clear() or 1 / 0, 0.001):
        until(lambda: not times, "the act that fails")


def test_what_hangs_is_said_with_its_place():
    goes_on = threading.Event()
    hanging = begun(goes_on.wait, 60)
    try:
        with pytest.raises(NeverEnded, match=r"2 threads to end within 0.2 s; 1 did not: Event.wait, .*threading.py"):
            ended(begun(int), hanging, limit_s=0.2)
    finally:
        goes_on.set()
    assert ended(hanging) == [True]


def test_what_never_becomes_so_is_said():
    with pytest.raises(NeverEnded, match=r"expected rain within 0\.1 s"):
        until(lambda: False, "rain", limit_s=0.1)


def _waits(path: Path) -> list[str]:
    """Each call of a file that may wait without an end."""
    tree = ast.parse(path.read_text("utf-8"))
    # A coroutine's wait is bounded by whoever runs its loop.
    awaited = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Await)}
    return [
        f"{path.relative_to(ROOT)}:{node.lineno} {ast.unparse(node)[:60]}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and id(node) not in awaited and _is_endless(node)
    ]


def _is_endless(call: ast.Call) -> bool:
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    owner = ast.unparse(call.func.value) if isinstance(call.func, ast.Attribute) else ""
    if name in POOLS:
        return True
    if name in ENDLESS_WITHOUT and owner:
        return not call.args and not call.keywords
    if name in NEED_TIMEOUT and (owner != "subprocess") == (name in ("urlopen", "HTTPConnection")):
        return "timeout" not in {each.arg for each in call.keywords}
    return name == "create_connection" and len(call.args) < 2 and "timeout" not in {each.arg for each in call.keywords}


def test_no_test_waits_without_an_end():
    assert [wait for path in tracked("tests/*.py") for wait in _waits(path)] == []


@pytest.mark.parametrize(
    ("call", "is_found"),
    [("thread.join()", True), ("thread.join(9)", False), ("', '.join(x)", False), ("subprocess.run(x)", True),
     ("subprocess.run(x, timeout=9)", False), ("phone.run()", False), ("urlopen(x)", True), ("barrier.wait()", True),
     ("ThreadPoolExecutor()", True), ("socket.create_connection(x, 9)", False)],
)  # fmt: skip
def test_such_calls_are_found(call, is_found):
    assert _is_endless(ast.parse(call, mode="eval").body) is is_found
