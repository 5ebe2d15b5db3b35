"""Every verb and every entry body has a JSON Schema; real inputs, outputs and entries keep to it, wrong ones do not."""

import json
import random
import time

import pytest
from jsonschema import Draft202012Validator
from schemas import FIXTURES, schema, schema_names, wrongs

from calc.numbers.strict_json import bytes_from_object, object_from_bytes
from calc.verbs import VERBS
from fixtures.golden import make_axle, make_choose, make_fit, make_prove
from fixtures.golden.choose_cases import RING_SETS
from fixtures.golden.prove_cases import filled as prove_filled
from server.demo.scenario import Scenario
from server.records.fold import KINDS
from tests.calc.changes import changed
from tests.calc.goldens import cases_of

SETS = {obj["id"]: obj for obj in RING_SETS}


def example(verb: str) -> dict:
    return object_from_bytes((FIXTURES / "examples" / f"{verb}.json").read_bytes())


@pytest.mark.parametrize("name", schema_names())
def test_schema_is_itself_valid(name):
    Draft202012Validator.check_schema(schema(name))


def test_every_verb_has_its_schemas_and_its_example():
    verbs = {name.split(".")[0] for name in schema_names() if "." in name}
    assert verbs == set(VERBS)
    assert {path.stem for path in (FIXTURES / "examples").glob("*.json")} == set(VERBS)


@pytest.mark.parametrize("verb", VERBS)
def test_example_runs_and_keeps_to_the_schemas(verb):
    shown = example(verb)
    assert wrongs(f"{verb}.input", shown["input"]) == []
    assert wrongs(f"{verb}.output", shown["output"]) == []
    assert json.loads(bytes_from_object(VERBS[verb][0](shown["input"]))) == shown["output"]


def removals(value, path=()):
    """Yield the paths of all keys in a JSON value."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        if isinstance(value, dict):
            yield (*path, key)
        yield from removals(inner, (*path, key))


OPEN_KEYS = {"figures", "words"}  # objects whose keys are not fixed


@pytest.mark.parametrize("verb", VERBS)
def test_output_schema_misses_every_key_that_is_taken_away(verb):
    shown = example(verb)
    paths = list(removals(shown["output"]))
    for path in random.Random(1).sample(paths, min(30, len(paths))):
        if not OPEN_KEYS & set(path[:-1]) and "detail" not in path[:-1]:
            less = changed(shown["output"], path, lambda holder, key: holder.pop(key))
            assert wrongs(f"{verb}.output", less), path


@pytest.mark.parametrize("verb", VERBS)
def test_schemas_refuse_unknown_keys(verb):
    shown = example(verb)
    for part in ("input", "output"):
        assert wrongs(f"{verb}.{part}", {**shown[part], "colour": 1})


@pytest.mark.parametrize(
    ("verb", "generator", "fill", "every"),
    [
        ("choose", make_choose, lambda case: {**case, "ring_sets": [SETS[name] for name in case["ring_sets"]]}, 15),
        ("fit", make_fit, make_fit.filled, 3),
        ("prove", make_prove, prove_filled, 5),
        ("axle", make_axle, lambda case: case, 1),
    ],
)
def test_golden_cases_keep_to_the_schemas(verb, generator, fill, every):
    for case in cases_of(generator)[::every]:
        assert wrongs(f"{verb}.input", fill(case["input"])) == []
        words = {"words": {}} if verb == "fit" else {}
        assert wrongs(f"{verb}.output", case["output"] | words) == []


def test_every_entry_kind_has_a_schema_of_its_body():
    assert {name.removeprefix("entry/") for name in schema_names() if name.startswith("entry/")} == set(KINDS)


@pytest.fixture(scope="module")
def demo_entries() -> list[dict]:
    """All entries of the demo job sheets, as a phone would have written them."""
    sets = [json.loads(path.read_text(encoding="utf-8")) for path in (FIXTURES / "demo/ring-sets").glob("*.json")]
    known = {each["id"]: {"ring_set": each, "table": "0" * 64} for each in sets}
    scenario = Scenario(known, int(time.time() * 1000))
    scripts = [json.loads(path.read_text(encoding="utf-8")) for path in sorted((FIXTURES / "demo/jobs").glob("*.json"))]
    return [entry for script in scripts for _, entries, _ in scenario.play(script) for entry in entries]


def test_demo_entries_keep_to_the_schema(demo_entries):
    found = {f"{entry['kind']} {entry['slot']}: {wrong}" for entry in demo_entries for wrong in wrongs("entry", entry)}
    assert found == set()


def test_demo_entries_show_most_kinds(demo_entries):
    assert len({entry["kind"] for entry in demo_entries}) >= 9


UUID = "3f2b8c1e-5a6d-4c7e-8f90-123456789abc"
ANGLE = {"mdeg": 330, "text": "0.33", "unit": "deg", "way": "in", "diameter_mm": None}
OPEN_WINDOW = {"value": {"low": None, "high": ANGLE}}
RIGHT_BODIES = {
    "job-opened": {"checklist": 1},
    "field-set": {"value": {"low": ANGLE, "high": ANGLE}},
    "reading-taken": {"camber": None, "toe": ANGLE},
    "consent-recorded": {
        "findings": "toe out",
        "work": "rings",
        "price": "",
        "risks_told": True,
        "customer": "N. N.",
        "how": "by telephone",
    },
    "step-done": {"hold": True},
    "step-undone": {},
    "hold-overridden": {"reason": "seen to by the foreman"},
    "photo-attached": {
        "sha256": "a" * 64,
        "mime": "image/jpeg",
        "bytes": 1,
        "width": 1,
        "height": 1,
        "about": "fit.left.witness-line",
        "caption": "",
    },
    "note-written": {"text": "hub came hard"},
    "job-stopped": {"reason": "hub seized", "vehicle_state": "on stands", "awaited": "", "key_kept": True},
    "job-signed": {"covers": [UUID]},
    "job-reopened": {"reopens": [UUID], "reason": "second pass"},
}
WRONG_BODIES = [
    ("job-opened", {}),
    ("field-set", {"values": 1}),
    ("field-set", {"value": 0.5}),
    ("reading-taken", {"camber": {**ANGLE, "mdeg": 0.5}, "toe": None}),
    ("reading-taken", {"camber": {**ANGLE, "way": "sideways"}, "toe": None}),
    ("plan-chosen", {"plan": None}),
    ("consent-recorded", {**RIGHT_BODIES["consent-recorded"], "risks_told": "yes"}),
    ("step-done", {}),
    ("step-undone", {"hold": True}),
    ("hold-overridden", {"reason": ""}),
    ("photo-attached", {**RIGHT_BODIES["photo-attached"], "bytes": 0}),
    ("photo-attached", {**RIGHT_BODIES["photo-attached"], "sha256": "A" * 64}),
    ("note-written", {"text": ""}),
    ("job-stopped", {**RIGHT_BODIES["job-stopped"], "key_kept": None}),
    ("job-signed", {"covers": ["x"]}),
    ("job-reopened", {"reopens": [], "reason": "x"}),
]


@pytest.mark.parametrize("kind", RIGHT_BODIES)
def test_right_bodies(kind):
    assert wrongs(f"entry/{kind}", RIGHT_BODIES[kind]) == []


def test_a_window_open_on_one_side_is_a_right_body():
    assert wrongs("entry/field-set", OPEN_WINDOW) == []


@pytest.mark.parametrize(("kind", "body"), WRONG_BODIES)
def test_wrong_bodies_are_refused(kind, body):
    assert wrongs(f"entry/{kind}", body)


def test_entries_that_stand_for_themselves_follow_nothing(demo_entries):
    note = next(entry for entry in demo_entries if entry["kind"] == "job-opened")
    assert wrongs("entry", {**note, "after": [UUID]})
    assert wrongs("entry", {**note, "kind": "later-kind"})
