"""Sends files and tables as brotli or gzip where the client accepts it; each is compressed once, at the first request.

Only what is the same for everybody goes through here: the length of an answer that held a secret beside a stranger's
words would tell of it.
"""

import gzip
import io
from functools import lru_cache

import brotli
from flask import Response, request
from werkzeug.datastructures import Accept
from werkzeug.http import parse_accept_header
from whitenoise.responders import Response as FileAnswer
from whitenoise.responders import StaticFile

VARY = "Accept-Encoding"
_COMPRESSED_ALREADY = (".png", ".jpg")


def encoding_for(accepted: str | None) -> str | None:
    """Return "br", the smaller one, "gzip" or None, by what an Accept-Encoding says."""
    wanted = parse_accept_header(accepted, Accept)
    return next((encoding for encoding in ("br", "gzip") if wanted.quality(encoding) > 0), None)


@lru_cache(maxsize=1024)
def compressed(content: bytes, encoding: str) -> bytes:
    """Return `content` as small as the encoding gets it."""
    return brotli.compress(content) if encoding == "br" else gzip.compress(content, mtime=0)


def compress_response(response: Response) -> Response:
    """Return Flask's whole answer, its body compressed where the asker takes it; before `make_conditional`."""
    response.vary.add(VARY)
    encoding = encoding_for(request.headers.get(VARY))
    if encoding:
        response.set_data(compressed(response.get_data(), encoding))
        response.content_encoding = encoding
    return response


class CompressedFile:
    """A file of WhiteNoise's that can also go out compressed. Parts of it, and 304, go as WhiteNoise has them."""

    def __init__(self, file: StaticFile):
        self._file = file

    def get_response(self, method: str, request_headers: dict) -> FileAnswer:
        """WhiteNoise calls this for each request; `request_headers` is the WSGI environment."""
        answer = self._file.get_response(method, request_headers)
        encoding = encoding_for(request_headers.get("HTTP_ACCEPT_ENCODING"))
        if encoding is None or answer.status != 200 or answer.file is None:
            return answer
        with answer.file as file:
            body = compressed(file.read(), encoding)
        headers = [pair for pair in answer.headers if pair[0] != "Content-Length"]
        headers += [("Content-Encoding", encoding), ("Content-Length", str(len(body)))]
        return FileAnswer(answer.status, headers, io.BytesIO(body))


def compress_files(files: dict) -> None:
    """Let every file of WhiteNoise's, URL -> what answers for it, go out compressed where that makes it smaller."""
    for url, file in files.items():
        if isinstance(file, StaticFile) and not url.endswith(_COMPRESSED_ALREADY):
            files[url] = CompressedFile(file)
