"""One connection: its requests one after the other, by HTTP/1.1, each read whole and then answered.

Whoever says nothing, or takes nothing of an answer, is waited for so long and no longer (limits.py).
"""

import asyncio
import tempfile
from contextlib import suppress
from email.utils import formatdate

import h11

from server.listen import limits
from server.listen.accept import Visitor
from server.listen.read_bodies import Bodies
from server.listen.wsgi_calls import Answer, Calls

_NOTHING_TO_SAY = (204, 304)


class Talk:
    """What the acceptor hands its connections to."""

    def __init__(self, calls: Calls, bodies: Bodies):
        self._calls, self._bodies = calls, bodies

    async def __call__(self, visitor: Visitor, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        line = Line(visitor, reader, writer)
        is_open = True
        with suppress(TimeoutError, OSError, Gone):
            while is_open:
                try:
                    is_open = await self._one_request(line)
                except h11.RemoteProtocolError as error:
                    await line.refuse(error.error_status_hint)
                    is_open = False
            await line.end()

    async def _one_request(self, line: "Line") -> bool:
        async with asyncio.timeout(limits.HEAD_S):
            request = await line.next()
        if isinstance(request, h11.ConnectionClosed):
            raise Gone
        environ = self._calls.environ(request, line.ends())
        with tempfile.SpooledTemporaryFile(limits.IN_MEMORY) as body:
            await self._bodies.read(line, request, environ, body)
            environ["wsgi.input"] = body
            line.visitor.is_served = True
            answer = await self._calls.answer(environ)
            line.visitor.is_served = False
        with answer:
            await line.send(answer, request.method == b"HEAD")
        return line.begin_anew()


class Gone(Exception):
    """The other end has closed the connection."""


class Line:
    """The connection's two ends and where its protocol stands."""

    def __init__(self, visitor: Visitor, reader: asyncio.StreamReader, writer: asyncio.StreamWriter):
        self.visitor, self._reader, self._writer = visitor, reader, writer
        self._http = h11.Connection(h11.SERVER, limits.LARGEST_HEAD)

    def ends(self) -> dict:
        info = self._writer.get_extra_info
        return {"here": info("sockname"), "there": info("peername")}

    def next_at_hand(self):
        """Return the next event of what has come already, or h11.NEED_DATA."""
        return self._http.next_event()

    async def next(self):
        """Return the protocol's next event, as soon as it has come."""
        while (event := self._http.next_event()) is h11.NEED_DATA:
            if self._http.they_are_waiting_for_100_continue:
                self._write(h11.InformationalResponse(status_code=100, headers=[]))
            data = await self._reader.read(limits.LARGEST_CHUNK)
            if not data and self._http.their_state is h11.SEND_BODY:
                raise Gone  # a body that was cut off
            self._note()
            self._http.receive_data(data)
        return event

    async def send(self, answer: Answer, is_head: bool) -> None:
        headers = answer.headers
        names = {name.lower() for name, _ in headers}
        says_nothing = is_head or answer.status in _NOTHING_TO_SAY
        if "content-length" not in names and not says_nothing:
            headers = [*headers, ("Content-Length", str(answer.length))]
        if "date" not in names:
            headers = [*headers, ("Date", formatdate(usegmt=True))]
        if self._http.their_state is h11.SEND_BODY:  # what is left of the request is not read
            headers = [*headers, ("Connection", "close")]
        self._write(h11.Response(status_code=answer.status, reason=answer.reason, headers=headers))
        async with asyncio.timeout(limits.BODY_S + answer.length / limits.BODY_BYTES_A_S):
            while not says_nothing and (chunk := answer.read(limits.LARGEST_CHUNK)):
                self._write(h11.Data(data=chunk))
                await self._drain()
            self._write(h11.EndOfMessage())
            await self._drain()

    async def refuse(self, status: int) -> None:
        """Answer what is no HTTP; nothing of the application has seen it."""
        if self._http.our_state not in (h11.IDLE, h11.SEND_RESPONSE):
            return
        text = b"The request cannot be read; nothing was stored. Send it again.\n"
        headers = [("Content-Type", "text/plain"), ("Content-Length", str(len(text))), ("Connection", "close")]
        for event in (
            h11.Response(status_code=status, headers=headers, reason=b"Refused"),
            h11.Data(data=text),
            h11.EndOfMessage(),
        ):
            self._write(event)
        async with asyncio.timeout(limits.SILENCE_S):
            await self._drain()

    def begin_anew(self) -> bool:
        """Tell whether another request may come on this connection."""
        if self._http.our_state is not h11.DONE or self._http.their_state is not h11.DONE:
            return False
        self._http.start_next_cycle()
        return True

    async def end(self) -> None:
        """Let the other end read the answer: a connection closed with something unread is reset."""
        with suppress(TimeoutError, OSError):
            async with asyncio.timeout(limits.LINGER_S):
                if self._writer.can_write_eof():
                    self._writer.write_eof()
                while await self._reader.read(limits.LARGEST_CHUNK):
                    pass
        self._writer.close()
        with suppress(TimeoutError, OSError):
            async with asyncio.timeout(limits.LINGER_S):
                await self._writer.wait_closed()

    def _write(self, event) -> None:
        if data := self._http.send(event):
            self._writer.write(data)

    async def _drain(self) -> None:
        async with asyncio.timeout(limits.SILENCE_S):
            await self._writer.drain()
        self._note()

    def _note(self) -> None:
        self.visitor.heard_at = asyncio.get_running_loop().time()
