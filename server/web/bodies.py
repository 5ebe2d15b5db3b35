"""Reads JSON bodies, and checks that addresses and forms are text. It judges nothing of what they say."""

import json

from flask import Flask, request

from server.limits import DEEPEST_ENTRY
from server.web.errors import Problem


def read_json(raw: bytes):
    """Return what the bytes say as JSON, or refuse them as a whole. Problems: `not-json`, `json-too-deep`."""
    try:
        return json.loads(raw.decode("utf-8"))
    except RecursionError:
        raise Problem("json-too-deep", deepest=DEEPEST_ENTRY) from None
    except ValueError as error:
        raise Problem("not-json", why=str(error) if raw else "it is empty") from None


def refuse_what_is_no_text() -> None:
    """A NUL is no character of any text, and of two databases only one would keep it. Problem: `not-text`."""
    typed = [request.path, *request.args.keys(), *(value for _, value in request.args.items(multi=True))]
    if request.method == "POST":
        typed += [*request.form.keys(), *(value for _, value in request.form.items(multi=True))]
    if any("\0" in text for text in typed):
        raise Problem("not-text")


def init_app(app: Flask) -> None:
    """After the token check: forms are read there, and who may send nothing is not told what of it is wrong."""
    app.before_request(refuse_what_is_no_text)
