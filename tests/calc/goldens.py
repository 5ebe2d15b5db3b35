"""The recorded cases of a golden file, for the tests that look at them."""

import json


def cases_of(generator) -> list[dict]:
    """Return the cases that `generator`, a module of fixtures.golden, has recorded."""
    return json.loads(generator.PATH.read_text(encoding="utf-8"))["cases"]
