"""The line between a member and the room, sealed: bytes in, bytes out.

Both draw 32 octets. The member says its own first, the room answers with its own, both in the
clear; from these and the secret of the room come two keys, one for each direction. All that follows
is sealed with them and numbered, so nothing of another talk can be said again, and whoever has
another code can say nothing at all: the room sees that on the first message, and so does the
member.

A WebSocket keeps messages in order and loses none. So a number that is not the next one means that
somebody has tampered, and the talk ends.
"""

__all__ = ["DRAWN_OCTETS", "SealedTalk", "TalkError", "for_member", "for_room"]

from course_lib.links.keys import two_keys
from course_lib.links.sealing import Opener, Sealer, SealError

DRAWN_OCTETS = 32
_PURPOSE = "talk of a member and the room"


class TalkError(ValueError):
    """A message that does not open: another code, or somebody who tampered."""


class SealedTalk:
    """One talk, from the moment on when both have drawn."""

    def __init__(self, to_say: bytes, to_hear: bytes) -> None:
        self._sealer, self._opener = Sealer(to_say), Opener(to_hear)

    def seal(self, octets: bytes) -> bytes:
        """Return the message that says these octets."""
        return self._sealer.seal(octets)

    def open(self, message: bytes) -> bytes:
        """Return what a message says; raises `TalkError`."""
        try:
            content = self._opener.open(message)
        except SealError as problem:
            raise TalkError(str(problem)) from None
        window = self._opener.window
        if window.lost or window.late:
            raise TalkError(f"messages came out of turn, up to message {window.highest}")
        return content


def for_member(secret: bytes, members: bytes, rooms: bytes) -> SealedTalk:
    """Return the member's half of a talk, by what both have drawn; raises `TalkError`."""
    return SealedTalk(*_keys(secret, members, rooms))


def for_room(secret: bytes, members: bytes, rooms: bytes) -> SealedTalk:
    """Return the room's half; raises `TalkError`."""
    return SealedTalk(*reversed(_keys(secret, members, rooms)))


def _keys(secret: bytes, members: bytes, rooms: bytes) -> tuple[bytes, bytes]:
    if len(members) != DRAWN_OCTETS or len(rooms) != DRAWN_OCTETS:
        raise TalkError(f"a talk begins with {DRAWN_OCTETS} octets by chance from each side")
    return two_keys(secret, _PURPOSE, members, rooms)
