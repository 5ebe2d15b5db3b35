"""A list that phones ask for again and again, with an ETag by content, so that nothing new costs next to nothing."""

import gzip
import hashlib
import json
from collections.abc import Callable

import brotli
from flask import Response, request

from server.web.compressed import VARY, encoding_for

_BROTLI_QUALITY = 5  # such a list changes: what the best quality saves on the way, it costs many times here


def listed(marks, build: Callable[[], str]) -> Response:
    """Answer with the JSON that `build` makes, or with 304. `marks`: JSON that differs wherever the list does."""
    tag = hashlib.sha256(json.dumps(marks).encode()).hexdigest()
    response = Response(mimetype="application/json")
    response.headers["Cache-Control"] = "private, no-cache"
    response.set_etag(tag, weak=True)  # one for the list and its compressed forms
    response.vary.add(VARY)
    if request.if_none_match.contains_weak(tag):
        response.status_code = 304
        return response
    body, encoding = build().encode(), encoding_for(request.headers.get(VARY))
    if encoding:
        body = brotli.compress(body, quality=_BROTLI_QUALITY) if encoding == "br" else gzip.compress(body, 5, mtime=0)
        response.content_encoding = encoding
    response.set_data(body)
    return response
