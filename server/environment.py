"""Makes the project's environment in .venv and fills it with what pyproject.toml names. Standard library only.

`python server/environment.py` is enough for the server; `python server/environment.py test` adds what the tests need,
`python server/environment.py postgresql` the driver for a PostgreSQL.
A second run finds everything in place and ends at once. It never touches anything outside .venv.
"""

import hashlib
import os
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / ".venv"
OLDEST = (3, 11)
EXTRAS = ("test", "postgresql")


def main(extras: list[str]) -> int:
    reason = what_is_missing()
    if reason:
        print(reason, file=sys.stderr)
        return 1
    project = (ROOT / "pyproject.toml").read_bytes()
    needs = "\n".join([hashlib.sha256(project).hexdigest(), sys.version, str(ROOT)])
    wanted = {"server", *extras}
    if wanted <= installed(needs):
        return 0
    try:
        if not python_of(FOLDER).exists():
            print("Making the environment in .venv ...", flush=True)
            run([sys.executable, "-m", "venv", str(FOLDER)])
        print("Installing what pyproject.toml names (the first time takes a minute) ...", flush=True)
        run([str(python_of(FOLDER)), "-m", "pip", "install", "--quiet", "--disable-pip-version-check",
             *requirements(project.decode("utf-8"), extras)])  # fmt: skip
    except subprocess.CalledProcessError as error:
        print(
            f"The environment could not be made: '{' '.join(error.cmd[1:4])}' ended with status {error.returncode}."
            " The lines above say why. It needs the network the first time. Delete .venv and run this again.",
            file=sys.stderr,
        )
        return 1
    memory(needs).write_text("\n".join(sorted(wanted | installed(needs))), "utf-8")
    return 0


def what_is_missing(version=sys.version_info, has_module=find_spec):
    """Return what this Python lacks, in words, or None."""
    if tuple(version[:2]) < OLDEST:
        found = ".".join(str(part) for part in version[:3])
        return f"Tapermark needs Python 3.11 or newer; this is {found}. Install a newer one and run this again."
    if has_module("venv") is None or has_module("ensurepip") is None:
        return (
            "This Python cannot make environments: its venv module is missing."
            " Install it (Debian: apt install python3-venv) and run this again."
        )
    return None


def requirements(project: str, extras: list[str]) -> list[str]:
    """Return the requirement lines of pyproject.toml; the project itself is used from where it stands."""
    import tomllib

    table = tomllib.loads(project)["project"]
    chosen = list(table["dependencies"])
    for extra in extras:
        chosen += table["optional-dependencies"][extra]
    return chosen


def memory(needs: str) -> Path:
    """The file that says what was installed for this pyproject.toml, Python and place."""
    return FOLDER / f"tapermark-{hashlib.sha256(needs.encode()).hexdigest()[:16]}.txt"


def installed(needs: str) -> set[str]:
    if not python_of(FOLDER).exists() or not memory(needs).exists():
        return set()
    return set(memory(needs).read_text("utf-8").split())


def python_of(folder: Path, system: str = os.name) -> Path:
    """Return the environment's own Python; Windows keeps it elsewhere."""
    return folder / "Scripts" / "python.exe" if system == "nt" else folder / "bin" / "python"


def run(command: list[str]) -> None:
    subprocess.run(command, check=True, cwd=ROOT)


if __name__ == "__main__":
    unknown = [name for name in sys.argv[1:] if name not in EXTRAS]
    if unknown:
        print(
            f"Expected nothing, or any of {', '.join(EXTRAS)}; got {' '.join(unknown)}."
            f" Run it as: python server/environment.py {EXTRAS[0]}",
            file=sys.stderr,
        )
        sys.exit(2)
    sys.exit(main(sys.argv[1:]))
