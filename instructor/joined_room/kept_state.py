"""The small file by which a room that was ended goes on: ids that were drawn by lot, and counters.

No name, no address of a machine, and not the code are in it; links go on without it. It is good for
the day on which it was written, and deleted when the room ends.
"""

__all__ = ["KeptState", "KeptStateError", "RoomFile", "read_room_file", "write_room_file"]

from dataclasses import dataclass
from pathlib import Path

from course_lib.exercises.whole_file import write_whole
from course_lib.joining.plain_messages import MessageError, Reader

OWNER_ALONE = 0o600


class KeptStateError(ValueError):
    """A file that is no state of a room, or of another one; the text says what to do."""


@dataclass(frozen=True)
class KeptState:
    """What the register knows: students by pier, links that are pulled, and the last number."""

    given: tuple[tuple[int, str], ...] = ()
    pulled: tuple[int, ...] = ()
    numbers: int = 0


@dataclass(frozen=True)
class RoomFile:
    """All of the file. check: derived from the code, tells whether the code is that of the room.

    ends_at: seconds since 1970.
    """

    room: str
    check: str
    plan: str
    piers: int
    way: str
    ends_at: float
    state: KeptState


_READER = Reader([RoomFile])


def write_room_file(path: Path, kept: RoomFile) -> None:
    """Write the file, whole or not at all."""
    write_whole(path, _READER.octets_of(kept).decode(), OWNER_ALONE)


def read_room_file(path: Path) -> RoomFile:
    """Return what the file holds; raises `KeptStateError`, `FileNotFoundError`."""
    try:
        kept: RoomFile = _READER.message_from(path.read_bytes())
    except MessageError as problem:
        raise KeptStateError(f"{path} is no state of a room ({problem}); delete it") from None
    return kept
