"""Protects the shape of the house: what stands at the top, which way imports go, size and lint of the files."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "pwa", "server", "calc", "tests", "fixtures"}
LONGEST_FILE = 400  # lines; beyond this a file holds more than one idea
LONGEST_LINE = 120  # characters; Python's own are held by ruff
AS_RELEASED = ROOT / "tests" / "pwa" / "released"  # code of an earlier release, never edited

# Folder of the phone -> the folders it may import from. Only what is listed may be imported.
PHONE_MAY_IMPORT = {
    "domain": {"domain"},
    "store": {"store", "domain"},
    "sync": {"sync", "store", "domain"},
    "ui": {"ui", "sync", "store", "domain"},
}

# Room of the server, or module beside the rooms -> what else of the server it may import; limits and the shop's time
# are everybody's. What is nowhere at the right none of them imports: the commands, and the pages of api and desk.
SERVER_MAY_IMPORT = {
    "limits": set(),
    "shop_time": set(),
    "store": set(),
    "migrations": {"store"},
    "keys": set(),
    "records": set(),
    "context": {"store"},
    "config": {"context", "keys"},
    "web": {"context", "store"},
    "photos": {"store", "web"},
    "letterhead": {"photos", "store", "web"},
    "auth": {"context", "store", "web"},
    "sync": {"records", "store", "web"},
    "transfer": {"photos", "records", "store", "sync", "web"},
    "demo": {"photos", "store", "sync"},
    "listen": {"create_app", "web"},
    "commands": {"auth", "config", "context", "create_app", "keys", "listen",
                 "photos", "records", "store", "transfer", "web"},
    "api": {"auth", "context", "letterhead", "photos", "records", "store", "sync", "web"},
    "desk": {"auth", "context", "keys", "letterhead", "records", "store", "sync", "transfer", "web"},
}  # fmt: skip
EVERYBODYS = {"limits", "shop_time"}
WIRING = {"__init__", "__main__", "environment"}  # the factory, the arguments, and what runs before anything is there

# Room of the desk -> those that it may import from beside itself; the pages stand in the desk's own folder.
DESK_MAY_IMPORT = {
    "words": set(),
    "drawings": {"words"},
    "sheet": {"words", "drawings"},
    "ring_form": set(),
}

# Package of calc -> those that it may import from beside itself: numbers carry rings, and so on up to proving.
CALC_MAY_IMPORT = {
    "numbers": set(),
    "rings": {"numbers"},
    "choose": {"numbers", "rings"},
    "fit": {"numbers", "rings"},
    "measure": {"numbers", "rings"},
    "picture": {"numbers", "rings"},
    "prove": {"numbers", "rings", "choose", "fit"},
}

# Folder of pwa/js/domain -> those it may import from, as calc's packages of the same names do.
DOMAIN_MAY_IMPORT = {
    "numbers": {"numbers"},
    "rings": {"rings", "numbers"},
    "choose": {"choose", "rings", "numbers"},
    "fit": {"fit", "rings", "numbers"},
    "picture": {"picture", "rings", "numbers"},
    "prove": {"prove", "fit", "choose", "rings", "numbers"},
    "job": {"job", "picture", "fit", "choose", "rings", "numbers"},
    "types": {"types", "job", "fit", "choose", "rings", "numbers"},
}
CONSTANTS = "constants.js"  # beside them, made from calc: each of them may read it, and it imports nothing


def tracked(*patterns: str) -> list[Path]:
    listing = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", *patterns],
        cwd=ROOT, capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    return [ROOT / name for name in listing.stdout.split("\n") if name and (ROOT / name).exists()]


def test_only_the_agreed_names_stand_at_the_top():
    names = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL


def imported_modules(path: Path) -> set[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            names.add(node.module.split(".")[0])
    return names


def test_calc_imports_numpy_and_the_standard_library_alone():
    allowed = set(sys.stdlib_module_names) | {"calc", "numpy"}
    strays = {p.name: extra for p in tracked("calc/*.py") if (extra := imported_modules(p) - allowed)}
    assert not strays


@pytest.mark.parametrize("package", CALC_MAY_IMPORT)
def test_the_packages_of_calc_stand_in_layers(package):
    modules = tracked(f"calc/{package}/*.py")
    assert modules
    for path in modules:
        found = set(re.findall(r"^\s*(?:from|import) calc\.(\w+)", path.read_text("utf-8"), re.M))
        assert found <= CALC_MAY_IMPORT[package] | {package}, path.name


def test_every_module_of_calc_stands_in_a_layer():
    beside = {path.name for path in tracked("calc/*.py") if path.parent == ROOT / "calc"}
    assert beside == {"__init__.py", "__main__.py", "verbs.py"}
    assert {path.parent.name for path in tracked("calc/*.py")} == {"calc", *CALC_MAY_IMPORT}


def test_server_never_imports_the_tests():
    assert not [p.name for p in tracked("server/*.py") if "tests" in imported_modules(p)]


def imported_of(package: str, path: Path) -> set[str]:
    """Return what a module imports of a package of ours: the first name below it."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        else:
            continue
        found |= {name.removeprefix(f"{package}.").split(".")[0] for name in names if name.startswith(f"{package}.")}
    return found


@pytest.mark.parametrize("room", SERVER_MAY_IMPORT)
def test_the_rooms_of_the_server_know_only_what_they_may(room):
    modules = tracked(f"server/{room}.py", f"server/{room}/*.py")
    assert modules
    for path in modules:
        assert imported_of("server", path) <= SERVER_MAY_IMPORT[room] | EVERYBODYS | {room}, path.relative_to(ROOT)


@pytest.mark.parametrize("room", DESK_MAY_IMPORT)
def test_the_rooms_of_the_desk_know_none_of_its_pages(room):
    modules = tracked(f"server/desk/{room}/*.py")
    assert modules
    for path in modules:
        assert imported_of("server.desk", path) <= DESK_MAY_IMPORT[room] | {room}, path.name


def test_every_module_of_the_server_stands_in_a_room():
    parts = [path.relative_to(ROOT / "server").with_suffix("").parts for path in tracked("server/*.py")]
    assert {each[0] for each in parts} == {*SERVER_MAY_IMPORT, *WIRING}
    assert {each[1] for each in parts if each[0] == "desk" and len(each) > 2} == {*DESK_MAY_IMPORT}


def test_tests_of_the_server_stand_in_its_rooms():
    """Beside the rooms stands what many of them use; which database, which shop, which phone."""
    folder = ROOT / "tests" / "server"
    rooms = {path.parent.name for path in (ROOT / "server").glob("*/__init__.py")}
    places = {path.relative_to(folder).parent.as_posix() for path in folder.rglob("test_*.py")}
    assert places <= rooms, f"no room of the server: {sorted(places - rooms)}"


def test_every_import_of_the_server_says_its_room():
    """`import server` and `from . import` would slip past the rules above."""
    slips = re.compile(r"^\s*(?:import server\s|from \.)", re.M)
    assert [path.name for path in tracked("server/*.py") if slips.search(path.read_text("utf-8"))] == []


def test_the_records_know_neither_flask_nor_sql_nor_the_disk():
    allowed = set(sys.stdlib_module_names) - {"os", "pathlib", "shutil", "sqlite3"} | {"calc", "server"}
    assert not {p.name: extra for p in tracked("server/records/*.py") if (extra := imported_modules(p) - allowed)}


def test_only_the_store_speaks_sql():
    speakers = [p.relative_to(ROOT) for p in tracked("server/*.py") if {"sqlalchemy", "alembic"} & imported_modules(p)]
    strays = [str(p) for p in speakers if p.parts[1] not in ("store", "migrations")]
    assert speakers
    assert not strays


@pytest.mark.parametrize("folder", PHONE_MAY_IMPORT)
def test_phone_imports_go_one_way(folder):
    base = ROOT / "pwa" / "js"
    for path in tracked(f"pwa/js/{folder}/**.js"):
        for target in re.findall(r"""(?:from|import)\s*\(?\s*["'](\.[^"']+)["']""", path.read_text("utf-8")):
            assert target.endswith(".js"), f"{path.name} imports {target} without .js"
            resolved = (path.parent / target).resolve()
            assert resolved.exists(), f"{path.name} imports {target}, which does not exist"
            assert resolved.relative_to(base).parts[0] in PHONE_MAY_IMPORT[folder], f"{path.name}: {target}"


def test_the_layers_of_the_domain_go_one_way():
    base = ROOT / "pwa" / "js" / "domain"
    modules = tracked("pwa/js/domain/**.js")
    assert {path.relative_to(base).parts[0] for path in modules} == {*DOMAIN_MAY_IMPORT, CONSTANTS}
    for path in modules:
        folder = path.relative_to(base).parts[0]
        for target in re.findall(r"""from\s*["'](\.[^"']+)["']""", path.read_text("utf-8")):
            layer = (path.parent / target).resolve().relative_to(base).parts[0]
            assert layer in DOMAIN_MAY_IMPORT.get(folder, set()) | {CONSTANTS}, f"{path.name}: {target}"


def test_only_the_store_touches_indexeddb_and_only_sync_fetches():
    for path in tracked("pwa/js/**.js"):
        folder = path.relative_to(ROOT / "pwa" / "js").parts[0]
        text = path.read_text("utf-8")
        if folder != "store":
            assert "indexedDB" not in text, path
        if folder != "sync":
            assert not re.search(r"(?<![.\w])fetch\(", text), path


def test_no_file_of_ours_is_longer_than_one_idea():
    code = tracked("calc/*.py", "server/*.py", "pwa/*.js", "tests/*.py", "fixtures/*.py")
    long = {str(p.relative_to(ROOT)): n for p in code if (n := len(p.read_text("utf-8").splitlines())) > LONGEST_FILE}
    assert not long


@pytest.mark.parametrize("kind", ["js", "css", "html"])
def test_no_line_is_longer_than_a_reader_sees(kind):
    files = [path for path in tracked(f"*.{kind}") if AS_RELEASED not in path.parents]
    assert len(files) > 9
    lines = [(path, at, text) for path in files for at, text in enumerate(path.read_text("utf-8").splitlines(), 1)]
    assert [f"{path.relative_to(ROOT)}:{at}" for path, at, text in lines if len(text) > LONGEST_LINE] == []


@pytest.mark.parametrize("arguments", [["check"], ["format", "--check"]], ids=["lint", "format"])
def test_python_is_clean(arguments):
    run = subprocess.run(
        [sys.executable, "-m", "ruff", *arguments, "."],
        cwd=ROOT, capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert run.returncode == 0, run.stdout + run.stderr
