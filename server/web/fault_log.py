"""What the log says about a fault: where it happened and what kind it is, never what anybody typed.

Messages of exceptions quote values: a registration that is no number, the key that is there twice, a statement with its
parameters. So only classes, codes and lines of the program are told, and of an address its rule.
"""

import traceback
from collections.abc import Iterator

from flask import Request


def told(request: Request, error: BaseException) -> str:
    rule = request.url_rule.rule if request.url_rule else "an unknown address"
    return "\n".join([f"{request.method} {rule} failed", *_lines(error)])


def _lines(error: BaseException) -> Iterator[str]:
    for each in reversed(list(_chain(error))):
        yield from (line.rstrip() for line in traceback.format_tb(each.__traceback__))
        code = getattr(each, "sqlstate", None) or getattr(each, "sqlite_errorname", None)
        yield f"{type(each).__module__}.{type(each).__qualname__}{f' ({code})' if code else ''}"


def _chain(error: BaseException | None) -> Iterator[BaseException]:
    """Yield the exception and what it came from, the latest first; a database's own error stands in `orig` too."""
    seen = set()
    while error is not None and id(error) not in seen:
        seen.add(id(error))
        yield error
        error = error.__cause__ or (None if error.__suppress_context__ else error.__context__)
