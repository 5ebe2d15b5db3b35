"""The modules that open the first screen, and their list of preloads in pwa/index.html.

Run as `python tests/pwa/start_modules.py` it writes the list anew; tests/pwa/test_sizes.py holds it complete. Without
the list a browser finds each module only in the one that imports it, one after the other.
"""

import re
from pathlib import Path

PWA = Path(__file__).resolve().parents[2] / "pwa"
PAGE = PWA / "index.html"
_IMPORT = re.compile(r"""^(?:import|export)\b[^;"']*["'](\.[^"']+)["']""", re.M)
_LINKS = re.compile(r'(?: *<link rel="modulepreload"[^\n]*\n)+')


def _modules_of(first: str) -> list[Path]:
    found, waiting = set(), [PWA / "js" / first]
    while waiting:
        module = waiting.pop()
        if module not in found:
            found.add(module)
            waiting += [(module.parent / target).resolve() for target in _IMPORT.findall(module.read_text("utf-8"))]
    return sorted(found)


def start_modules() -> list[Path]:
    """Return early.js and main.js and all that they import, directly or not; what early.js waits for comes first."""
    return list(dict.fromkeys(_modules_of("early.js") + _modules_of("main.js")))


def first_texts() -> list[str]:
    """Return the names of the text files that the first screen waits for."""
    source = (PWA / "js" / "sync" / "shell-files.js").read_text("utf-8")
    return re.findall(r'"(\w+)"', re.search(r"FIRST_TEXTS = \[(.*?)\]", source)[1])


def first_files(language: str) -> list[Path]:
    """Return all that a phone fetches before the first screen can be used."""
    styles = re.findall(r'rel="stylesheet" href="/([^"]+)"', PAGE.read_text("utf-8"))
    texts = [f"text/{language}/{name}.json" for name in first_texts()]
    named = (*styles, "js/first-look.js", *texts, "checklist.json")
    return [PAGE, *start_modules(), *(PWA / name for name in named)]


def links() -> str:
    """Return the lines that index.html has to hold; what stands at the top of js/ has a script element instead."""
    names = [module.relative_to(PWA).as_posix() for module in start_modules()]
    return "".join(f'    <link rel="modulepreload" href="/{name}">\n' for name in names if name.count("/") > 1)


if __name__ == "__main__":
    page = PAGE.read_text("utf-8")
    PAGE.write_text(_LINKS.sub(links(), page, count=1), "utf-8")
