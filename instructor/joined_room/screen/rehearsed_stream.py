"""What a rehearsal hears of its stream, from the records."""

__all__ = ["PACKETS_PER_S", "RehearsedStream", "StreamPacket", "read_stream_packet"]

from typing import NamedTuple

from course_lib.headers.assigned_numbers import ETHER_TYPE_IPV4, PROTOCOL_UDP
from course_lib.joining.messages import Arrived
from course_lib.network.hosts.tasks import read_stream_data
from instructor.joined_room.reported.stream_watch import StreamWatch
from instructor.joined_room.room_view import StreamView

PACKETS_PER_S, MOST_SECONDS = 150, 300


class StreamPacket(NamedTuple):
    """Whose datagram a frame carries: the address, the task there, and the number."""

    source: int
    task: int
    number: int


def read_stream_packet(frame: bytes) -> StreamPacket | None:
    """Return whose datagram this is; None for a frame that carries none of a stream."""
    is_ours = (
        int.from_bytes(frame[12:14], "big") == ETHER_TYPE_IPV4
        and frame[14:15] == b"\x45"
        and frame[23:24] == bytes([PROTOCOL_UDP])
    )
    told = read_stream_data(frame[42:]) if is_ours else None
    if told is None:
        return None
    return StreamPacket(int.from_bytes(frame[26:30], "big"), told[0], told[1])


class RehearsedStream:
    """A stream as the live room watches it; it is sent as one task of the host for each second."""

    def __init__(self, source: str, destination: str, now_s: float) -> None:
        self.source, self.destination = source, destination
        self.path: tuple[str, ...] = ()
        self._watch = StreamWatch(0, (0, 0), MOST_SECONDS * PACKETS_PER_S, 1 / PACKETS_PER_S, now_s)
        self._tasks = dict[tuple[int, int], int]()  # address and task, to what was sent before

    @property
    def is_over(self) -> bool:
        """True when all has been sent."""
        return len(self._tasks) >= MOST_SECONDS

    def begin(self, source: int, task: int) -> None:
        """Take note of the task for the next second."""
        self._tasks[source, task] = len(self._tasks) * PACKETS_PER_S

    def has(self, source: int, task: int) -> bool:
        """Tell whether a datagram is one of this stream."""
        return (source, task) in self._tasks

    def heard(self, now_s: float, source: int, task: int, number: int, delay_s: float) -> None:
        """Take note that one came."""
        number += self._tasks[source, task]
        self._watch.take(now_s, Arrived(0, ((number, delay_s),), 0.0))

    def view(self, now_s: float) -> StreamView:
        """Return what is to be seen now."""
        return self._watch.view(now_s, (self.source, self.destination), self.path)
