"""The line to the room: a WebSocket (RFC 6455) on which every message is sealed.

The first message of each side is what it has drawn, in the clear; see `sealed_talk`.
"""

__all__ = ["ANOTHER_CODE", "LONGEST_OCTETS", "LostRoomError", "RoomTalk", "WrongCodeError"]

import asyncio
import contextlib
import secrets
from typing import Any

from tornado.httpclient import HTTPClientError, HTTPRequest
from tornado.websocket import WebSocketClientConnection, WebSocketClosedError, websocket_connect

from course_lib.joining.messages import READER
from course_lib.joining.plain_messages import MessageError
from course_lib.joining.sealed_talk import DRAWN_OCTETS, SealedTalk, TalkError, for_member

ANOTHER_CODE = 4001  # of closing; RFC 6455, section 7.4.2: 4000 to 4999 are for private use
LONGEST_OCTETS = 1 << 18
CONNECTS_WITHIN_S = 10.0
GIVES_UP_WITHIN_S = 1.0
ADDRESS = "/member"


class LostRoomError(Exception):
    """The room is not reached, or has hung up; the text says so for people. Links go on."""


class WrongCodeError(LostRoomError):
    """The room at this address has another code."""


class RoomTalk:
    """One talk with the room. `connect` makes one."""

    def __init__(self, line: WebSocketClientConnection, sealed: SealedTalk) -> None:
        self._line, self._sealed = line, sealed

    @classmethod
    async def connect(cls, at: str, secret: bytes) -> "RoomTalk":
        """Reach the room at "address:port"; raises `LostRoomError`."""
        line = await _line(at)
        try:
            drawn = secrets.token_bytes(DRAWN_OCTETS)
            await line.write_message(drawn, binary=True)
            rooms = await asyncio.wait_for(line.read_message(), CONNECTS_WITHIN_S)
            if not isinstance(rooms, bytes):
                raise LostRoomError(f"what answers at {at} is no room")
            return cls(line, for_member(secret, drawn, rooms))
        except (TalkError, TimeoutError, WebSocketClosedError) as problem:
            _hang_up(line)
            raise LostRoomError(f"what answers at {at} is no room: {problem}") from problem
        except BaseException:
            _hang_up(line)
            raise

    async def say(self, message: Any) -> None:
        """Tell the room something; raises `LostRoomError`."""
        try:
            await self._line.write_message(self._sealed.seal(READER.octets_of(message)), True)
        except WebSocketClosedError:
            raise self._closed() from None

    async def hear(self) -> Any:
        """Return what the room says next; raises `LostRoomError`."""
        octets = await self._line.read_message()
        if octets is None:
            raise self._closed()
        try:
            return READER.message_from(self._sealed.open(octets if type(octets) is bytes else b""))
        except (TalkError, MessageError) as problem:
            raise LostRoomError(f"the room said what nobody can read: {problem}") from problem

    def close(self) -> None:
        """Hang up."""
        _hang_up(self._line)

    def _closed(self) -> LostRoomError:
        if self._line.close_code == ANOTHER_CODE:
            return WrongCodeError("the room has another code; look at the screen at the front")
        why = self._line.close_reason
        return LostRoomError("the room's machine has hung up" + (f": {why}" if why else ""))


async def _line(at: str) -> WebSocketClientConnection:
    """Return a new line; raises `LostRoomError`. Whoever gives up waiting leaves none open."""
    request = HTTPRequest(f"ws://{at}{ADDRESS}", connect_timeout=CONNECTS_WITHIN_S)
    made = asyncio.ensure_future(websocket_connect(request, max_message_size=LONGEST_OCTETS))
    try:
        return await asyncio.shield(made)
    except asyncio.CancelledError:
        with contextlib.suppress(*_NOT_REACHED):
            _hang_up(await asyncio.wait_for(made, GIVES_UP_WITHIN_S))
        raise
    except _NOT_REACHED as problem:
        raise LostRoomError(f"the room at {at} is not reached: {problem}") from problem


def _hang_up(line: WebSocketClientConnection) -> None:
    """Say so, and wait for no answer: before one comes the loop may end, and a socket be left."""
    stream = line.protocol and line.protocol.stream  # unknown to the line once it is closed
    line.close()
    if stream is not None:
        stream.close()


_NOT_REACHED = (OSError, HTTPClientError, ValueError, TimeoutError)
