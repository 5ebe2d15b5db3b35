"""Serves an application to a browser from a thread of the test's own process."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from werkzeug.serving import make_server


@contextmanager
def served(app) -> Iterator[str]:
    """Yield the address without a slash at its end; afterwards nothing listens there any more."""
    server = make_server("127.0.0.1", 0, app, threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
