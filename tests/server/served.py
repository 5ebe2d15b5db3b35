"""Serves an application to a browser from a thread of the test's own process."""

from collections.abc import Iterator
from contextlib import contextmanager

from werkzeug.serving import make_server

from tests.at_once import begun, ended


@contextmanager
def served(app) -> Iterator[str]:
    """Yield the address without a slash at its end; afterwards nothing listens there any more."""
    server = make_server("127.0.0.1", 0, app, threaded=True)
    serving = begun(server.serve_forever)
    try:
        yield f"http://127.0.0.1:{server.port}"
    finally:
        server.shutdown()
        ended(serving)
        server.server_close()
