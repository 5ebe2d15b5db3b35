"""`python -m calc VERB`: one JSON object on standard input, one on standard output.

Exit status 0, or 2 with one line on standard error that says which field, what was expected and what came. What a verb
writes, without the line's end, is canonical: the SHA-256 of `table`'s output is the table's name.
"""

import sys

from calc.numbers.errors import InputError
from calc.numbers.strict_json import bytes_from_object, object_from_bytes
from calc.verbs import VERBS

USAGE = "usage: python -m calc VERB < input.json > output.json"


def help_text() -> str:
    """Return the text of --help: every verb with its line."""
    width = max(map(len, VERBS))
    lines = [f"  {name:{width}}  {line}" for name, (_, line) in VERBS.items()]
    return "\n".join([USAGE, "", "Angles are whole millidegrees. Verbs:", *lines])


def main(arguments: list[str], read_input, write_output) -> int:
    """Run one verb; `read_input()` gives bytes, `write_output(bytes)` takes them. Returns the exit status."""
    if arguments in (["--help"], ["-h"]):
        write_output(help_text().encode() + b"\n")
        return 0
    try:
        if len(arguments) != 1 or arguments[0] not in VERBS:
            raise InputError("verb", "one of " + ", ".join(VERBS), " ".join(arguments) or "nothing")
        verb = VERBS[arguments[0]][0]
        write_output(bytes_from_object(verb(object_from_bytes(read_input()))) + b"\n")
    except InputError as error:
        print(" ".join(str(error).split()), file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:], sys.stdin.buffer.read, sys.stdout.buffer.write))
