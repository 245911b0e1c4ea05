"""What a rehearsal hears of its stream, from the records."""

__all__ = ["HeardStream", "StreamPacket", "read_stream_packet"]

from collections import deque
from typing import NamedTuple

from course_lib.headers.assigned_numbers import ETHER_TYPE_IPV4, PROTOCOL_UDP
from course_lib.network.hosts.tasks import read_stream_data
from instructor.joined_room.room_view import Heard, StreamView

PLAY_OUT_S = 0.1  # what comes later than this cannot be played; our choice
SETTLED_S = 0.5  # what has not come by then counts as lost
QUIET_S = 0.25  # a longer silence is told
STRIP = 150


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


class HeardStream:
    """A stream from its first packet on."""

    def __init__(self, source: str, destination: str, now_s: float) -> None:
        self.source, self.destination = source, destination
        self.path: tuple[str, ...] = ()
        self._open: dict[tuple[int, int], float] = {}  # task and number: when it was sent
        self._delays_s: dict[tuple[int, int], float] = {}
        self._strip: deque[Heard] = deque(maxlen=STRIP)
        self._sent = self._received = self._late = self._lost = 0
        self._last_s = now_s
        self._back_after_s: float | None = None

    def sent(self, packet: StreamPacket, now_s: float) -> None:
        """Take note that a packet left."""
        self._sent += 1
        self._open[packet.task, packet.number] = now_s

    def heard(self, task: int, number: int, now_s: float) -> None:
        """Take note that a packet came."""
        silence_s = now_s - self._last_s
        if self._received and silence_s >= QUIET_S:
            self._back_after_s = silence_s
        self._received, self._last_s = self._received + 1, now_s
        sent_s = self._open.get((task, number))
        if sent_s is not None:
            self._delays_s[task, number] = now_s - sent_s

    def view(self, now_s: float) -> StreamView:
        """Return what is to be seen now; packets are settled in the order in which they left."""
        ripe = [key for key, sent_s in self._open.items() if sent_s <= now_s - SETTLED_S]
        for key in ripe:
            del self._open[key]
            delay_s = self._delays_s.pop(key, None)
            fate: Heard = (
                "lost" if delay_s is None else "late" if delay_s > PLAY_OUT_S else "played"
            )
            self._strip.append(fate)
            self._late += fate == "late"
            self._lost += fate == "lost"
        quiet_s = now_s - self._last_s
        return StreamView(
            self.source, self.destination, self.path, self._sent, self._received, self._late,
            self._lost, tuple(self._strip),
            quiet_s if quiet_s >= QUIET_S else None, self._back_after_s,
        )  # fmt: skip
