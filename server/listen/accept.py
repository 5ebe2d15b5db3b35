"""Accepts connections, and never more than there are files for: the oldest that says nothing goes for a new one.

All bounds hold before the handshake, because whoever only connects costs a file as well. It reads no request.
"""

import asyncio
import socket
import ssl
from collections.abc import Awaitable, Callable
from contextlib import suppress

from server.listen import limits
from server.web.addresses import place_of

_VANISHED = {"TCP_KEEPIDLE": 30, "TCP_KEEPINTVL": 10, "TCP_KEEPCNT": 3}  # s of silence, s between asking, how often
_NO_FILE_LEFT_S = 0.05  # then somebody has gone


class Visitor:
    """One connection: where it comes from, when it last said or took something, and whether it is being answered."""

    def __init__(self, place: str, now: float):
        self.place, self.heard_at, self.is_served, self.has_begun = place, now, False, False
        self.task: asyncio.Task | None = None


Talk = Callable[[Visitor, asyncio.StreamReader, asyncio.StreamWriter], Awaitable[None]]


class Acceptor:
    """`talk` has the whole of one connection; its end ends it. `shares`: addresses are people, and not proxies."""

    def __init__(self, listening: socket.socket, tls: ssl.SSLContext | None, talk: Talk, most: int, shares: bool):
        self._listening, self._tls, self._talk = listening, tls, talk
        self._most, self._most_of_one = most, most // limits.CONNECTIONS_OF_ONE if shares else most
        self._visitors: dict[Visitor, None] = {}  # in order of coming
        self._by_place: dict[str, int] = {}

    async def stand_open(self) -> None:
        """Accept until cancelled."""
        loop = asyncio.get_running_loop()
        self._listening.setblocking(False)
        while True:
            try:
                connection, address = await loop.sock_accept(self._listening)
            except OSError:  # no file left, or the other end has gone already
                self._send_off_oldest()
                await asyncio.sleep(_NO_FILE_LEFT_S)
                continue
            self._let_in(connection, place_of(address[0]))

    async def close(self, seconds: float) -> None:
        """End whoever is not being answered; wait so long for the others."""
        self._listening.close()
        for visitor in [each for each in self._visitors if not each.is_served]:
            visitor.task.cancel()
        if rest := [each.task for each in self._visitors]:
            _, late = await asyncio.wait(rest, timeout=seconds)
            for task in late:
                task.cancel()

    def _let_in(self, connection: socket.socket, place: str) -> None:
        if self._by_place.get(place, 0) >= self._most_of_one:
            is_room = self._send_off_oldest(place)
        else:
            is_room = len(self._visitors) < self._most or self._send_off_oldest()
        if not is_room:  # all of them are being answered
            connection.close()
            return
        visitor = Visitor(place, asyncio.get_running_loop().time())
        self._visitors[visitor] = None
        self._by_place[place] = self._by_place.get(place, 0) + 1
        visitor.task = asyncio.create_task(self._receive(visitor, connection))
        visitor.task.add_done_callback(lambda _task: self._is_done(visitor, connection))

    def _is_done(self, visitor: Visitor, connection: socket.socket) -> None:
        if not visitor.has_begun:  # it was sent off before its first word
            connection.close()
        self._has_left(visitor)

    def _has_left(self, visitor: Visitor) -> None:
        if visitor not in self._visitors:
            return
        del self._visitors[visitor]
        self._by_place[visitor.place] -= 1
        if not self._by_place[visitor.place]:
            del self._by_place[visitor.place]

    def _send_off_oldest(self, place: str | None = None) -> bool:
        silent = (each for each in self._visitors if not each.is_served and place in (None, each.place))
        oldest = min(silent, key=lambda each: each.heard_at, default=None)
        if oldest is None:
            return False
        self._has_left(oldest)
        oldest.task.cancel()
        return True

    async def _receive(self, visitor: Visitor, connection: socket.socket) -> None:
        visitor.has_begun = True
        loop = asyncio.get_running_loop()
        reader = asyncio.StreamReader(limit=limits.LARGEST_CHUNK)
        protocol = asyncio.StreamReaderProtocol(reader)
        transport = None
        try:
            with suppress(OSError, ssl.SSLError, asyncio.TimeoutError):
                connection.setblocking(False)
                _ask_whether_it_is_there(connection)
                handshake = {"ssl": self._tls, "ssl_handshake_timeout": limits.HANDSHAKE_S} if self._tls else {}
                transport, _ = await loop.connect_accepted_socket(lambda: protocol, connection, **handshake)
                writer = asyncio.StreamWriter(transport, protocol, reader, loop)  # kept until the transport is closed
                await self._talk(visitor, reader, writer)
        finally:
            if transport is None:
                connection.close()
            else:
                transport.abort()


def _ask_whether_it_is_there(connection: socket.socket) -> None:
    """Have the system end a connection whose other end has vanished, such as a phone that went out of reach."""
    connection.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
    connection.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    for name, number in _VANISHED.items():
        if hasattr(socket, name):
            connection.setsockopt(socket.IPPROTO_TCP, getattr(socket, name), number)
