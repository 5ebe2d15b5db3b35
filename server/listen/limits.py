"""How much of anything the listener takes at once, and for how long. Numbers only, but for what the system allows."""

import sys

THREADS = 32  # in which the application answers; no request has one before it is whole
PICTURE_THREADS = 4  # the same for pictures: they wait for one another, and nobody with an entry waits for them
CONNECTIONS = 2_000  # at once, where the system allows so many files
FILES_KEPT_FREE = 320  # for the store, its log and shared memory in each thread, and for bodies that lie on the disk
CONNECTIONS_OF_ONE = 4  # a part of all connections: one address may have a quarter of them
WAITING = 1_024  # connections that the system accepts in the meantime

HANDSHAKE_S = 10
HEAD_S = 30  # from the end of one request to the end of the next one's head
SILENCE_S = 30  # in the middle of a body or an answer
BODY_S, BODY_BYTES_A_S = 30, 50_000  # a body has so long, and more by its size
STRANGERS_BODY_S = 10
LINGER_S = 2  # an answer before its request's end is read by the other end only if nothing is cut off
LARGEST_HEAD = 64_000  # bytes
LARGEST_CHUNK = 65_536
IN_MEMORY = 1_000_000  # bytes of a body or an answer; the rest lies in a file that the system takes away

LARGEST_BODY_OF_STRANGERS = 64_000  # bytes; a sign-in, a pairing, a form
BODIES_OF_ONE = 4  # on their way from one phone or one person signed in; a phone sends one after the other
BODIES_OF_AN_ADDRESS = 64  # a whole shop may stand behind one
BODIES_OF_KNOWN = 128
BODIES_OF_A_STRANGE_ADDRESS = 4
BODIES_OF_STRANGERS = 64
FINISHING_S = 2  # a stop waits so long for what is being answered

_FILES_WANTED = 4_096


def most_connections() -> int:
    """Return how many connections leave files for everything else. The soft limit is raised where it may be."""
    if sys.platform == "win32":
        return CONNECTIONS
    import resource

    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if soft < _FILES_WANTED:
        wanted = _FILES_WANTED if hard == resource.RLIM_INFINITY else min(hard, _FILES_WANTED)
        resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, wanted), hard))
        soft = max(soft, wanted)
    return max(32, min(CONNECTIONS, soft - FILES_KEPT_FREE))
