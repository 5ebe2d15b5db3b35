"""Reads a request's body to its end, within bounds: how large, how slow, and how many of one sender at once.

Who sends is looked up in the store, because a cookie says only who somebody was: a sign-in or pairing that has ended is
a stranger's. What a stranger may send is short; of too many the oldest goes, so that those who stall keep nobody out.
What is not read is not refused here: the application is asked all the same, and says why (web/slow_bodies.py).
"""

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import dataclass

import h11

from server.listen import limits
from server.web.slow_bodies import NO_ROOM, TOO_MANY, TOO_SLOW, UNREAD


@dataclass(frozen=True)
class Sender:
    """`name`: the pairing or person in force, None for a stranger; `place`: the address, behind a proxy its own."""

    name: str | None
    place: str


Who = Callable[[dict], Awaitable[Sender]]


class Bodies:
    """`largest`: how many bytes anybody known may send to a path."""

    def __init__(self, who: Who, largest: Callable[[str], int]):
        self._who, self._largest = who, largest
        self._on_the_way: dict[Sender, list[asyncio.Timeout]] = {}

    async def read(self, line, request: h11.Request, environ: dict, into) -> None:
        """Put the body `into` the file, or say in `environ` why it was not read."""
        if _has_no_body(request):
            await line.next()  # its end
            return
        declared = int(environ.get("CONTENT_LENGTH", 0))
        if declared <= limits.LARGEST_BODY_OF_STRANGERS and _is_at_hand(line, into):
            reason = None  # most are: they came with their head, and nobody waits for anything
        else:
            reason = await self._read_slowly(line, await self._who(environ), environ, declared, into)
        environ["CONTENT_LENGTH"] = str(max(declared, into.tell()))
        into.seek(0)
        if reason is not None:
            environ[UNREAD] = reason
            into.truncate()

    async def _read_slowly(self, line, sender: Sender, environ: dict, declared: int, into) -> str | None:
        """Return why it was not read, or None. What is too large the application refuses by its length."""
        is_stranger = sender.name is None
        largest = limits.LARGEST_BODY_OF_STRANGERS if is_stranger else self._largest(environ["PATH_INFO"])
        if declared > largest:
            return UNREAD
        if is_stranger:
            self._send_off_oldest(sender)
        elif self._are_too_many(sender):
            return TOO_MANY
        seconds = (
            limits.STRANGERS_BODY_S if is_stranger else limits.BODY_S + (declared or largest) / limits.BODY_BYTES_A_S
        )
        try:
            async with asyncio.timeout(seconds) as deadline:
                theirs = self._on_the_way.setdefault(sender, [])
                theirs.append(deadline)
                return await _read_rest(line, into, largest)
        except TimeoutError:
            return TOO_SLOW
        finally:
            theirs.remove(deadline)
            if not theirs:
                self._on_the_way.pop(sender, None)

    def _are_too_many(self, sender: Sender) -> bool:
        known = {each: len(theirs) for each, theirs in self._on_the_way.items() if each.name is not None}
        of_one = sum(number for each, number in known.items() if each.name == sender.name)
        of_address = sum(number for each, number in known.items() if each.place == sender.place)
        return (
            of_one >= limits.BODIES_OF_ONE
            or of_address >= limits.BODIES_OF_AN_ADDRESS
            or sum(known.values()) >= limits.BODIES_OF_KNOWN
        )

    def _send_off_oldest(self, sender: Sender) -> None:
        now = asyncio.get_running_loop().time()
        strangers = [
            (each.when(), other.place, each)
            for other, theirs in self._on_the_way.items()
            for each in theirs
            if other.name is None and each.when() > now
        ]
        here = [each for each in strangers if each[1] == sender.place]
        if len(here) >= limits.BODIES_OF_A_STRANGE_ADDRESS:
            min(here)[2].reschedule(now)
        elif len(strangers) >= limits.BODIES_OF_STRANGERS:
            min(strangers)[2].reschedule(now)


def _has_no_body(request: h11.Request) -> bool:
    return not any(name in (b"content-length", b"transfer-encoding") for name, _ in request.headers)


def _is_at_hand(line, into) -> bool:
    while isinstance(event := line.next_at_hand(), h11.Data):
        into.write(event.data)
    return isinstance(event, h11.EndOfMessage)


async def _read_rest(line, into, largest: int) -> str | None:
    while True:
        async with asyncio.timeout(limits.SILENCE_S):
            event = await line.next()
        if isinstance(event, h11.EndOfMessage):
            return None
        try:
            into.write(event.data)
        except OSError:  # the disk is full
            return NO_ROOM
        if into.tell() > largest:
            return UNREAD
