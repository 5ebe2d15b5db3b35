"""Reads the JSON body of a request. It judges nothing of what the JSON says."""

import json

from server.errors import Problem
from server.limits import DEEPEST_ENTRY


def read_json(raw: bytes):
    """Return what the bytes say as JSON, or refuse them as a whole. Problems: `not-json`, `json-too-deep`."""
    try:
        return json.loads(raw.decode("utf-8"))
    except RecursionError:
        raise Problem("json-too-deep", deepest=DEEPEST_ENTRY) from None
    except ValueError as error:
        raise Problem("not-json", why=str(error) if raw else "it is empty") from None
