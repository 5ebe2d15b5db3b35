"""Loads the JSON Schemas in fixtures/schema as validators. It asserts nothing."""

import json
from functools import cache
from pathlib import Path

from jsonschema import Draft202012Validator
from referencing import Registry, Resource

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
FOLDER = FIXTURES / "schema"


def schema_names() -> list[str]:
    return sorted(path.relative_to(FOLDER).with_suffix("").as_posix() for path in FOLDER.rglob("*.json"))


def schema(name: str) -> dict:
    return json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))


@cache
def _registry() -> Registry:
    schemas = [schema(name) for name in schema_names()]
    return Registry().with_resources([(each["$id"], Resource.from_contents(each)) for each in schemas])


@cache
def validator(name: str) -> Draft202012Validator:
    return Draft202012Validator(schema(name), registry=_registry())


def wrongs(name: str, value) -> list[str]:
    """Return what is wrong with a value by a schema, one line each."""
    return [f"{error.json_path}: {error.message[:200]}" for error in validator(name).iter_errors(value)]
