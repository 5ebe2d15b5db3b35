"""Holds the documents to the code: every route, verb, setting, entry kind, error code and dependency is described."""

import re
import subprocess
import tomllib
from pathlib import Path

import pytest

from calc.verbs import VERBS
from server import create_app
from server.__main__ import main
from server.records.entry_rules import REASONS
from server.records.fold import KINDS
from server.web.errors import CATALOGUE

ROOT = Path(__file__).resolve().parent.parent
DOCUMENTS = [
    "README.md", "DEVELOPERS.md", "calc/README.md", "pwa/README.md", "server/README.md", "tests/README.md",
    "tests/faults/README.md",
]  # fmt: skip
LONGEST_MAP = 220  # lines: DEVELOPERS.md leads to the others and repeats nothing of them


def text_of(document: str) -> str:
    return (ROOT / document).read_text("utf-8")


def undescribed(names, document: str) -> list[str]:
    text = text_of(document)
    return [name for name in names if f"`{name}`" not in text]


def test_the_map_stays_short():
    assert len(text_of("DEVELOPERS.md").splitlines()) <= LONGEST_MAP


def test_the_map_leads_to_every_document():
    listing = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "*.md"],
        cwd=ROOT, capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    assert sorted(listing.stdout.split()) == sorted(DOCUMENTS)
    assert [name for name in DOCUMENTS[2:] if f"]({name})" not in text_of("DEVELOPERS.md")] == []


@pytest.mark.parametrize(
    ("names", "document"),
    [
        (VERBS, "calc/README.md"),
        (KINDS, "server/README.md"),
        (CATALOGUE, "server/README.md"),
        (REASONS, "server/README.md"),
    ],
    ids=["verbs", "kinds", "errors", "reasons"],
)
def test_every_name_is_described(names, document):
    assert len(names) > 3
    assert undescribed(names, document) == []


def test_every_verb_of_the_server_is_described(capsys):
    with pytest.raises(SystemExit):
        main(["--help"])
    verbs = re.findall(r"^    ([a-z-]+)\b", capsys.readouterr().out, re.M)
    assert "serve" in verbs
    assert undescribed(verbs, "server/README.md") == []


def test_every_route_is_described(tmp_path):
    routes = text_of("server/README.md").split("\n## Routes\n")[1].split("\n## ")[0]
    app = create_app({"STORE_FOLDER": tmp_path, "DEMO_JOBS": False})
    rules = [rule.rule for rule in app.url_map.iter_rules()]
    below_a_person = [rule for rule in rules if re.fullmatch(r"/desk/people/<person_id>/\w+", rule)]
    assert [rule for rule in below_a_person if f"`/{rule.rsplit('/', 1)[1]}`" not in routes] == []
    others = [rule for rule in rules if rule not in below_a_person]
    assert [rule for rule in others if not re.search(rf"[ `]{re.escape(rule)}`", routes)] == []


def test_every_setting_is_described():
    code = "".join(path.read_text("utf-8") for path in (ROOT / "server").rglob("*.py"))
    settings = set(re.findall(r'"(TAPERMARK_[A-Z_]+|DATABASE_URL)"', code))
    assert settings
    assert undescribed(sorted(settings), "server/README.md") == []


def test_every_dependency_has_its_reason():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    wanted = project["dependencies"] + [each for extra in project["optional-dependencies"].values() for each in extra]
    names = {re.match(r"[\w-]+", each)[0] for each in wanted}
    reasons = text_of("DEVELOPERS.md").split("## Dependencies")[1].split("\n## ")[0]
    assert sorted(name for name in names if not re.search(rf"\b{name}\b", reasons)) == []


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_path_named_in_the_docs_exists(document):
    text, folder = text_of(document), (ROOT / document).parent
    linked = {folder / path for path in re.findall(r"\]\(((?!http)[^)#]+)\)", text)}
    named = {ROOT / path for path in re.findall(r"`((?:calc|server|pwa|tests|fixtures)/[\w./-]+)`", text)}
    assert sorted(str(path) for path in linked | named if not path.exists()) == []


def test_every_heading_that_code_cites_exists():
    """Code says "calc/README: Choosing" and means that heading; between two words a line may turn."""
    cited = set()
    for folder in ("calc", "server", "pwa", "tests", "fixtures"):
        for path in (ROOT / folder).rglob("*"):
            if path.suffix in (".py", ".js", ".json"):
                text = re.sub(r"\s+(?:#|//|\*)?\s*", " ", path.read_text("utf-8"))
                cited |= set(re.findall(r"\b(calc|server|pwa|tests)/README: ([A-Z]\w*(?: [a-z]\w*)*)", text))
    assert len(cited) > 4
    for folder, words in cited:
        headings = re.findall(r"^#+ (.+)$", text_of(f"{folder}/README.md"), re.M)
        assert any(words == heading or words.startswith(f"{heading} ") for heading in headings), (folder, words)


def test_every_rule_of_what_must_not_be_lost_names_code_and_tests_that_exist():
    section = text_of("tests/faults/README.md").split("\n## What must not be lost")[1].split("\n## ")[0]
    rows = section.split("|---|---|---|\n")[1].splitlines()
    sources = [*(ROOT / "tests").rglob("*.py"), *(ROOT / "tests").rglob("*.js")]
    tests = "".join(path.read_text("utf-8") for path in sources)
    assert len(rows) > 60
    for row in filter(None, rows):
        _, code, shown = row.strip("| ").split(" | ")
        assert (ROOT / code.strip("`")).is_file(), row
        names = shown.strip("`").split("`; `")
        assert [name for name in names if (f"def {name}(" if name.startswith("test_") else name) not in tests] == []
