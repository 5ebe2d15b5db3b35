"""Rubbish and any scale, into every verb: an answer by the schema or an InputError, never a traceback, never a NaN."""

import copy
import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemas import FIXTURES, wrongs

from calc.__main__ import main
from calc.numbers.errors import InputError
from calc.numbers.strict_json import bytes_from_object, object_from_bytes
from calc.verbs import VERBS

EXAMPLES = {verb: object_from_bytes((FIXTURES / "examples" / f"{verb}.json").read_bytes())["input"] for verb in VERBS}
NUMBERS = st.one_of(
    st.integers(-(10**30), 10**30),
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from([0, 1, -1, 0.5, 1e-300, 1e300, -0.0, 20_000, 20_001, 4.9e-324, 2**53 + 1]),
)
SCALARS = st.one_of(
    st.none(), st.booleans(), NUMBERS, st.text(max_size=8), st.sampled_from(["left", "yes", "½", "1e5"])
)
RUBBISH = st.recursive(
    SCALARS,
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(st.text(max_size=6), inner, max_size=4)),
    max_leaves=8,
)


def places(value, path=()):
    """Yield the path of everything inside a JSON value."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        yield (*path, key)
        yield from places(inner, (*path, key))


PLACES = {verb: list(places(example)) for verb, example in EXAMPLES.items()}


@st.composite
def damaged(draw, verb: str):
    """An example with one to three things in it changed, most often by a little, or taken away."""
    value = copy.deepcopy(EXAMPLES[verb])
    for _ in range(draw(st.integers(1, 3))):
        path = draw(st.sampled_from(PLACES[verb]))
        holder = value
        try:
            for key in path[:-1]:
                holder = holder[key]
            old = holder[path[-1]]
        except (KeyError, IndexError, TypeError):
            continue  # an earlier change took this place away
        if isinstance(holder, str):
            continue  # or put a text there, of whose letters none can be changed
        if draw(st.integers(0, 5)) == 0:
            del holder[path[-1]]
        elif isinstance(old, int | float) and not isinstance(old, bool) and draw(st.booleans()):
            holder[path[-1]] = draw(st.sampled_from([old + 1, old - 1, -old, old * 10, old / 10, 0, old + 0.5]))
        else:
            holder[path[-1]] = draw(RUBBISH)
    return value


def answer_or_refusal(verb: str, value) -> None:
    before, refusal, output = copy.deepcopy(value), None, None
    try:
        output = VERBS[verb][0](value)
    except InputError as error:
        refusal = error
    assert value == before, "the input was changed"
    if refusal:
        assert refusal.field and refusal.expected and refusal.got  # noqa: PT018 - one thought
        assert "\n" not in str(refusal)
    else:
        assert wrongs(f"{verb}.output", json.loads(bytes_from_object(output))) == []


@pytest.mark.parametrize("verb", VERBS)
@settings(max_examples=70, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_damaged_input(verb, data):
    answer_or_refusal(verb, data.draw(damaged(verb)))


@pytest.mark.parametrize("verb", VERBS)
@settings(max_examples=60)
@given(value=RUBBISH)
def test_rubbish(verb, value):
    answer_or_refusal(verb, value)


@pytest.mark.parametrize("verb", VERBS)
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(raw=st.one_of(st.binary(max_size=40), RUBBISH.map(lambda value: json.dumps(value).encode())))
def test_command_line_gives_one_line_and_status_two(verb, raw, capsys):
    written: list[bytes] = []
    status = main([verb], lambda: raw, written.append)
    said = capsys.readouterr().err
    assert (status, said.count("\n"), written) == (2, 1, [])


@pytest.mark.parametrize("verb", VERBS)
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(cut=st.floats(0, 1))
def test_input_that_is_cut_off_is_refused(verb, cut, capsys):
    raw = bytes_from_object(EXAMPLES[verb])
    kept = raw[: int(cut * (len(raw) - 1))]
    assert main([verb], lambda: kept, lambda _: None) == 2
    said = capsys.readouterr().err
    assert said.startswith(
        ("input: expected one complete JSON object", "input: expected UTF-8 text")
    )  # cut in a letter
