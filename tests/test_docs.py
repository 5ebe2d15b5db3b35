"""Holds DEVELOPERS.md to the code: every route, verb, setting, entry kind, error code and dependency is described."""

import re
import tomllib
from pathlib import Path

import pytest

from calc.verbs import VERBS
from server import create_app
from server.entry_rules import REASONS
from server.errors import CATALOGUE
from server.fold import KINDS

ROOT = Path(__file__).resolve().parent.parent
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")
README = (ROOT / "README.md").read_text("utf-8")


def undescribed(names) -> list[str]:
    return [name for name in names if f"`{name}`" not in DEVELOPERS]


@pytest.mark.parametrize("names", [VERBS, KINDS, CATALOGUE, REASONS], ids=["verbs", "kinds", "errors", "reasons"])
def test_every_name_is_described(names):
    assert undescribed(names) == []


def test_every_route_is_described(tmp_path):
    app = create_app({"STORE_FOLDER": tmp_path, "DEMO_JOBS": False})
    rules = [rule.rule for rule in app.url_map.iter_rules()]
    below_a_person = [rule for rule in rules if re.fullmatch(r"/desk/people/<person_id>/\w+", rule)]
    assert undescribed(f"/{rule.rsplit('/', 1)[1]}" for rule in below_a_person) == []
    others = [rule for rule in rules if rule not in below_a_person]
    assert [rule for rule in others if not re.search(rf"[ `]{re.escape(rule)}`", DEVELOPERS)] == []


def test_every_setting_is_described():
    code = "".join(path.read_text("utf-8") for path in (ROOT / "server").rglob("*.py"))
    settings = set(re.findall(r'"(TAPERMARK_[A-Z_]+|DATABASE_URL)"', code))
    assert undescribed(sorted(settings)) == []


def test_every_dependency_has_its_reason():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    wanted = project["dependencies"] + [each for extra in project["optional-dependencies"].values() for each in extra]
    names = {re.match(r"[\w-]+", each)[0] for each in wanted}
    reasons = DEVELOPERS.split("## Dependencies")[1].split("\n## ")[0]
    assert sorted(name for name in names if not re.search(rf"\b{name}\b", reasons)) == []


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_path_named_in_the_docs_exists(text):
    named = set(re.findall(r"\]\(((?!http)[^)#]+)\)", text)) | set(
        re.findall(r"`((?:calc|server|pwa|tests|fixtures)/[\w./-]+)`", text)
    )
    assert sorted(path for path in named if not (ROOT / path).exists()) == []


def test_every_rule_of_what_must_not_be_lost_names_code_and_tests_that_exist():
    rows = DEVELOPERS.split("### What must not be lost")[1].split("\n## ")[0].split("|---|---|---|\n")[1].splitlines()
    sources = [*(ROOT / "tests").rglob("*.py"), *(ROOT / "tests").rglob("*.js")]
    tests = "".join(path.read_text("utf-8") for path in sources)
    for row in filter(None, rows):
        _, code, shown = row.strip("| ").split(" | ")
        assert (ROOT / code.strip("`")).is_file(), row
        names = shown.strip("`").split("`; `")
        assert [name for name in names if (f"def {name}(" if name.startswith("test_") else name) not in tests] == []
