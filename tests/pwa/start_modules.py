"""The modules that open the list of jobs and a sheet, and the two made modules that name them.

Run as `python tests/pwa/start_modules.py` it writes those anew; tests/pwa/test_sizes.py holds them complete. Without
them a browser finds each module only in the one that imports it, one after the other. One module that imports all
costs a slow phone less than a preload link for each.
"""

import re
from pathlib import Path

PWA = Path(__file__).resolve().parents[2] / "pwa"
PAGE = PWA / "index.html"
_IMPORT = re.compile(r"""^(?:import|export)\b[^;"']*["'](\.[^"']+)["']""", re.M)
# In the order in which they are awaited.
_PROGRAM = ("read-shell.js", "preload.js", "main.js")
# What a sheet opens with, in js/; the cards come one by one.
_SHEET = (
    "ui/sheets/sheet-screen.js", "domain/job/living-job.js", "ui/words/angle-words.js", "ui/sheets/rows/tick-row.js",
    "ui/sheets/rows/hold-card.js", "ui/sheets/rows/choice-row.js", "ui/sheets/rows/text-row.js",
    "ui/sheets/rows/number-table.js", "ui/sheets/vehicle-history-card.js",
)  # fmt: skip


def _modules_of(first: str) -> list[Path]:
    found, waiting = set(), [PWA / "js" / first]
    while waiting:
        module = waiting.pop()
        if module not in found:
            found.add(module)
            waiting += [(module.parent / target).resolve() for target in _IMPORT.findall(module.read_text("utf-8"))]
    return sorted(found)


def start_modules() -> list[Path]:
    """Return what the list of jobs opens with: what the page names, the screen, and all that these import."""
    return _all_of(*_PROGRAM, "ui/screens/start-screen.js")


def sheet_modules() -> list[Path]:
    """Return what a sheet opens with."""
    return _all_of(*_PROGRAM, *_SHEET)


def _all_of(*first: str) -> list[Path]:
    return list(dict.fromkeys(module for name in first for module in _modules_of(name)))


def first_texts() -> list[str]:
    """Return the names of the text files that the first screen waits for."""
    source = (PWA / "js" / "sync" / "shell-files.js").read_text("utf-8")
    return re.findall(r'"(\w+)"', re.search(r"FIRST_TEXTS = \[(.*?)\]", source)[1])


def first_files(language: str) -> list[Path]:
    """Return all that a phone fetches before the first screen can be used."""
    head = PAGE.read_text("utf-8").split("</head>")[0]
    styles = re.findall(r'rel="stylesheet" href="/([^"]+)"', head)
    texts = [f"text/{language}/{name}.json" for name in first_texts()]
    named = (*styles, "js/draw-start-snapshot.js", "js/first-modules.js", *texts, "checklist.json")
    return [PAGE, *start_modules(), *(PWA / name for name in named)]


def made_modules() -> dict[Path, str]:
    """Return what the two made modules have to say."""
    return {
        PWA / "js" / "first-modules.js": _importing("the list of jobs", start_modules()),
        PWA / "js" / "sheet-modules.js": _importing("a sheet", sheet_modules()),
    }


def _importing(what: str, modules: list[Path]) -> str:
    """Return a module that has all others fetched at once; those that begin something by themselves the page names."""
    names = [module.relative_to(PWA / "js").as_posix() for module in modules]
    lines = "".join(f'import "./{name}";\n' for name in names if "/" in name)
    return f"// Made by tests/pwa/start_modules.py: every module that opens {what}.\n\n{lines}"


if __name__ == "__main__":
    for module, text in made_modules().items():
        module.write_text(text, "utf-8")
