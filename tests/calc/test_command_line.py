"""`python -m calc`: what it takes, what it gives, and one plain line for everything else."""

import hashlib
import json
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.__main__ import main
from calc.numbers.strict_json import object_from_bytes
from calc.rings.rings import RingSet
from calc.rings.table import table_bytes, table_name
from calc.verbs import VERBS
from fixtures.golden.choose_cases import RING_SETS, Cases
from tests.calc.changes import changed

ROOT = Path(__file__).resolve().parents[2]


def run(*arguments: str, stdin: bytes = b"") -> subprocess.CompletedProcess:
    """Run the real program in a process of its own."""
    command = [sys.executable, "-W", "error", "-m", "calc", *arguments]
    return subprocess.run(command, input=stdin, capture_output=True, cwd=ROOT, timeout=60, check=False)


def answer(verb: str, stdin: bytes, capsys) -> tuple[int, bytes, str]:
    """Run a verb in this process: (exit status, output, error text)."""
    written = []
    status = main([verb], lambda: stdin, written.append)
    return status, b"".join(written), capsys.readouterr().err


def choose_input(**changes) -> dict:
    return {**Cases().plain([]), "ring_sets": [RING_SETS[0]], **changes}


def with_value(path: str, value) -> dict:
    """Return the input of choose with another value at a dotted path."""
    return changed(choose_input(), path.split("."), lambda holder, key: holder.update({key: value}))


def test_help_lists_every_verb():
    done = run("--help")
    assert (done.returncode, done.stderr) == (0, b"")
    lines = [line.split()[0] for line in done.stdout.decode().splitlines() if line.startswith("  ")]
    assert lines == list(VERBS)


def test_table_writes_the_very_bytes_that_name_it():
    ring_set = RING_SETS[1]
    done = run("table", stdin=json.dumps(ring_set).encode())
    assert done.returncode == 0
    content = done.stdout.rstrip(b"\n")
    assert hashlib.sha256(content).hexdigest() == table_name(table_bytes(RingSet.from_json(ring_set)))


def test_choose_writes_plans():
    done = run("choose", stdin=json.dumps(choose_input()).encode())
    assert (done.returncode, done.stderr) == (0, b"")
    assert [plan["pairs"] for plan in json.loads(done.stdout)["plans"]]


def test_a_process_of_its_own_says_one_line_and_exits_with_2():
    done = run("choose", stdin=b'{"ring_sets": [')
    assert (done.returncode, done.stdout) == (2, b"")
    line = b"input: expected one complete JSON object, got text that stops making sense at line 1, column 16\n"
    assert done.stderr.replace(b"\r\n", b"\n") == line


NOT_JSON = [
    (b"", "input: expected one complete JSON object, got nothing"),
    (b'{"a": 1', "input: expected one complete JSON object, got text that stops making sense at line 1, column 8"),
    (b'{"a": 1} x', "input: expected one complete JSON object, got text that stops making sense at line 1, column 10"),
    (b"[1, 2]", "input: expected one complete JSON object, got [1, 2]"),
    (b'{"a": "\xff"}', "input: expected UTF-8 text, got byte 0xff at position 7"),
    (b'{"a": NaN}', "input: expected finite numbers, got NaN"),
    (b'{"a": -Infinity}', "input: expected finite numbers, got -Infinity"),
    (b'{"a": 1e999}', "input: expected finite numbers, got '1e999'"),
    (b'{"a": 1, "a": 2}', "'a': expected each key once, got the key twice"),
    (b'{"a": ' + b"9" * 5000 + b"}", "input: expected numbers of at most 300 digits, got 5000 digits"),
    (b'{"a": "\\ud800"}', "input: expected whole characters, got half of a surrogate pair"),
    (b'{"a": ' + b"[" * 100_000, "input: expected at most 40 levels of brackets, got more"),
    (b'{"a":' * 100_000, "input: expected at most 40 levels of brackets, got more"),
]


@pytest.mark.parametrize(("stdin", "line"), NOT_JSON, ids=range(len(NOT_JSON)))
def test_what_is_not_json_is_refused_in_one_line(stdin, line, capsys):
    assert answer("choose", stdin, capsys) == (2, b"", line + "\n")


WRONG = [
    ("wheels.left.toe", "abc", "wheels.left.toe: expected a whole number from -20000 to 20000, got 'abc'"),
    ("wheels.left.toe", 1.5, "wheels.left.toe: expected a whole number from -20000 to 20000, got 1.5"),
    ("wheels.left.toe", 10**250, "wheels.left.toe: expected a whole number from -20000 to 20000, got 1000000"),
    ("wheels.right.rings", "maybe", "wheels.right.rings: expected one of auto, yes, no, got 'maybe'"),
    ("wheels.middle", {}, "wheels.middle: expected one of left, right, got an unknown key"),
    ("windows.left.toe", [200, 0], "windows.left.toe: expected [low, high] with low not above high, got [200, 0]"),
    ("windows.left.toe", [0], "windows.left.toe: expected [low, high] or null, got [0]"),
    ("windows.left.toe", [0, True], "windows.left.toe[1]: expected a whole number from -20000 to 20000, got True"),
    ("windows.left.aim", 5, "windows.left.aim: expected [camber, toe] or null, got 5"),
    ("windows.left.aim", [1, None], "windows.left.aim.toe: expected a whole number from -20000 to 20000, got None"),
    ("axle.thrust", "wide", "axle.thrust: expected [low, high] or null, got 'wide'"),
    ("axle", None, "axle: expected an object, got None"),
    ("band", {"toe": 0}, "band.toe: expected a whole number from 1 to 5000, got 0"),
    ("spread", {"seat_sd": -1}, "spread.seat_sd: expected a number from 0 to 5000, got -1"),
    ("spread", {"toe_sd": {"both": 1}}, "spread.toe_sd.both: expected one of left, right, got an unknown key"),
    ("ring_sets", {}, "ring_sets: expected a list of 0 to 50 items, got {}"),
    ("ring_sets", [RING_SETS[0]] * 2, "ring_sets[1].id: expected an id of its own, got 'six'"),
    (
        "line\nbreak",
        1,
        "line break: expected one of ring_sets, wheels, windows, axle, band, spread, untrusted, put_in, "
        "got an unknown key",
    ),
]


@pytest.mark.parametrize(("path", "value", "line"), WRONG, ids=range(len(WRONG)))
def test_a_wrong_field_is_refused_in_one_line(path, value, line, capsys):
    status, output, error = answer("choose", json.dumps(with_value(path, value)).encode(), capsys)
    assert (status, output) == (2, b"")
    assert error.startswith(line)
    assert error.count("\n") == 1


def test_too_many_index_pairs_are_refused(capsys):
    big = {**RING_SETS[0]["inner"], "marks": 720}
    sets = [{**RING_SETS[0], "id": name, "inner": big, "outer": big} for name in ("a", "b")]
    _status, _output, error = answer("choose", json.dumps(choose_input(ring_sets=sets)).encode(), capsys)
    assert error == "ring_sets: expected at most 1000000 index pairs in all, got 1036800 index pairs\n"


@pytest.mark.parametrize("arguments", [[], ["bend"], ["table", "choose"]])
def test_an_unknown_verb_is_refused_with_the_list(arguments, capsys):
    assert main(arguments, lambda: b"{}", lambda _: None) == 2
    assert capsys.readouterr().err.startswith("verb: expected one of table, choose")


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
PATHS = [
    "ring_sets",
    "wheels.left",
    "wheels.right.camber",
    "windows",
    "windows.left.aim",
    "axle.total_toe",
    "band",
    "spread",
]


@settings(max_examples=300)
@given(st.sampled_from(PATHS), VALUES)
def test_rubbish_in_any_field_is_answered_or_refused(path, value):
    status = main(["choose"], lambda: json.dumps(with_value(path, value)).encode(), lambda _: None)
    assert status in (0, 2)


@settings(max_examples=200)
@given(st.binary(max_size=200) | st.text(max_size=100).map(str.encode))
def test_any_bytes_are_answered_or_refused(raw):
    assert main(["choose"], lambda: raw, lambda _: None) == 2


@settings(max_examples=200)
@given(st.integers(0, 10_000))
def test_input_cut_off_anywhere_is_refused(length):
    whole = json.dumps(choose_input()).encode()
    assert main(["choose"], lambda: whole[: length % len(whole)], lambda _: None) == 2


def test_a_byte_order_mark_is_no_harm():
    assert object_from_bytes(b'\xef\xbb\xbf{"a": 1}') == {"a": 1}


def test_brackets_within_text_do_not_count_as_depth():
    assert object_from_bytes(json.dumps({"a": "[" * 100 + '\\"{'}).encode())
