"""The door for members: a WebSocket on which every message is sealed, and only the room's own come.

What a stranger can do is bounded: an address outside the room's own is refused, a connection that
has not proved within some seconds that it has the code is closed, and there are only so many of
these at once. Whoever has the code may still say anything, so each message is read field by field,
and comes at a rate that is bounded too.
"""

__all__ = ["MemberDoor", "Room"]

import asyncio
import ipaddress
import secrets
from typing import Any, Protocol

from tornado.ioloop import IOLoop
from tornado.iostream import StreamClosedError
from tornado.web import HTTPError
from tornado.websocket import WebSocketClosedError, WebSocketHandler

from course_lib.joining.messages import READER, TO_ROOM
from course_lib.joining.plain_messages import MessageError
from course_lib.joining.room_talk import ANOTHER_CODE
from course_lib.joining.sealed_talk import DRAWN_OCTETS, SealedTalk, TalkError, for_room
from instructor.joined_room.open_lines import note_line

PROVES_WITHIN_S = 10.0
MOST_UNPROVED, MOST_CONNECTIONS = 64, 256
MESSAGES_PER_S, BURST = 60, 300  # of one member; four a second are usual
PROTOCOL_ERROR, TOO_MUCH = 1002, 1008  # RFC 6455, section 7.4.1


class Room(Protocol):
    """Who is told what comes through the door."""

    secret: bytes
    network: ipaddress.IPv4Network

    def came(self, connection: int, address: str, message: Any) -> None:
        """Take in a message."""

    def disconnected(self, connection: int) -> None:
        """Take note that nobody is there any more."""

    def entered(self, door: "MemberDoor") -> int | None:
        """Give a new connection its number; None: there are too many."""


class MemberDoor(WebSocketHandler):
    """One connection. `tell` says something; `shut` hangs up."""

    def initialize(self, room: Room) -> None:
        """Take note of the room; Tornado calls this first."""
        self._room, self.number = room, -1
        self._talk: SealedTalk | None = None
        self.is_proved = False
        self._left, self._left_s = float(BURST), 0.0

    def prepare(self) -> None:
        """Refuse who comes from elsewhere."""
        address = ipaddress.ip_address(self.request.remote_ip or "0.0.0.0")
        if address not in self._room.network:
            raise HTTPError(403)

    def check_origin(self, origin: str) -> bool:
        """Refuse pages: a member is a program, and sends no origin."""
        return False

    def open(self, *_: str, **__: str) -> None:
        """Let a connection in, and give it some time to prove that it has the code."""
        note_line(self)
        number = self._room.entered(self)
        if number is None:
            self.close(TOO_MUCH, "too many at the door; try again")
            return
        self.number = number
        IOLoop.current().call_later(PROVES_WITHIN_S, self._must_have_proved)

    def on_message(self, message: str | bytes) -> None:
        """Take in a message, or hang up with a reason."""
        if self.number < 0:
            return
        try:
            self._take(message if isinstance(message, bytes) else b"")
        except TalkError:
            self.close(*((PROTOCOL_ERROR, "tampered") if self.is_proved else (ANOTHER_CODE, "")))
        except MessageError as problem:
            self.close(PROTOCOL_ERROR, str(problem).encode()[:120].decode(errors="ignore"))

    def on_close(self) -> None:
        """Take note that nobody is there any more."""
        if self.number >= 0:
            self._room.disconnected(self.number)

    def tell(self, message: Any) -> None:
        """Say something to the member; whoever is gone meanwhile does not hear it."""
        if self._talk is None:
            return
        try:
            said = self.write_message(self._talk.seal(READER.octets_of(message)), binary=True)
        except WebSocketClosedError:
            return
        asyncio.ensure_future(said).add_done_callback(_heard)

    def shut(self) -> None:
        """Hang up, behind all that was said."""
        self.close()

    def _take(self, octets: bytes) -> None:
        if self._talk is None:
            drawn = secrets.token_bytes(DRAWN_OCTETS)
            self._talk = for_room(self._room.secret, octets, drawn)
            asyncio.ensure_future(self.write_message(drawn, binary=True)).add_done_callback(_heard)
            return
        content = self._talk.open(octets)
        self.is_proved = True
        if not self._has_room():
            self.close(TOO_MUCH, "too many messages")
            return
        message = READER.message_from(content)
        if not isinstance(message, TO_ROOM):
            raise MessageError(f"{type(message).__name__} is not for the room")
        self._room.came(self.number, self.request.remote_ip or "", message)

    def _has_room(self) -> bool:
        now_s = IOLoop.current().time()
        added = (now_s - self._left_s) * MESSAGES_PER_S
        self._left, self._left_s = min(float(BURST), self._left + added) - 1, now_s
        return self._left > 0

    def _must_have_proved(self) -> None:
        if not self.is_proved:
            self.close(TOO_MUCH, "nothing came")


def _heard(said: "asyncio.Future[None]") -> None:
    """Let go of what was said to somebody who has gone meanwhile; other faults are shown."""
    problem = said.exception()
    if problem is not None and not isinstance(problem, WebSocketClosedError | StreamClosedError):
        raise problem
