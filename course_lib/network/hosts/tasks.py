"""What a host does of its own accord: ask for echoes, trace a path, send a stream of datagrams.

A task is made with its settings and handed to a host (`Host.begin`), once. From then on it says
when it wants to act (`due_s`), what it then sends, and is told the answers. It knows nothing of
frames and neighbours.

* `EchoRequests` asks a host; who is asked sends the same data back (RFC 792; RFC 1122, 3.2.2.6).
* `PathTrace` sends echo requests with time to live 1, 2, 3 and so on. The first expires at the
  first router, which says so (RFC 792, time exceeded), the second at the second router, until the
  destination itself answers. Nobody on the way keeps a list of the path.
* `Stream` sends UDP datagrams at a steady pace and expects nothing back. Each holds its number and
  the time when it was sent, so that the receiver can tell delay and loss.
"""

__all__ = ["STREAM_PORT", "EchoRequests", "HostTask", "PathTrace", "Stream", "read_stream_data"]

import math
import struct
from abc import ABC, abstractmethod

from course_lib.ip.datagrams import Datagram, echo_request, udp
from course_lib.ip.fragmentation import DONT_FRAGMENT
from course_lib.network.hosts.pace import Answer, Pace, Questions, Steps
from course_lib.network.records import What
from course_lib.prefixes.special import is_invalid_source

STREAM_PORT = 5004  # common for media: RFC 3551, section 8
WAIT_S = 2.0  # for an answer
ICMP_HEADER_OCTETS = UDP_HEADER_OCTETS = 8
TRACE_DATA = bytes(range(28))
_STREAM_DATA = struct.Struct("!HId")  # stream, number of the datagram, time when it was sent


class HostTask(ABC):
    """What all tasks have in common, and what a host asks of them."""

    content_octets: int  # what each datagram carries behind the IP header
    dont_fragment = False
    _pace: Pace

    def __init__(self, destination: int, wait_s: float = WAIT_S) -> None:
        if is_invalid_source(destination):  # who cannot be the source of an answer is not asked
            raise ValueError(
                f"destination must be the address of one host, not {destination:#010x}"
            )
        self.destination = destination
        self._questions = Questions(wait_s)
        self._source = self._identifier = 0

    @property
    def due_s(self) -> float:
        """When it wants to act next; infinity if it waits for answers only, or is done."""
        return min(self._pace.due_s, self._questions.due_s())

    @property
    def is_done(self) -> bool:
        """True if it will neither send nor wait any more."""
        return self._pace.due_s == math.inf and not self._questions

    def start(self, now_s: float, source: int, identifier: int) -> None:
        """Learn when it begins, from which address it sends, and what number it has."""
        self._pace.start_s, self._source, self._identifier = now_s, source, identifier

    def act(self, now_s: float) -> tuple[list[Datagram], list[Answer]]:
        """Return what is due to be sent, and the questions that are given up."""
        given_up = self._questions.expire(now_s)
        return [self._datagram(now_s, each) for each in self._pace.departures(now_s)], given_up

    def take(self, now_s: float, answer: Answer) -> Answer | None:
        """Take in an answer; return it with its delay, None if it answers no open question."""
        return self._questions.close(now_s, answer)

    @abstractmethod
    def _datagram(self, now_s: float, number: int) -> Datagram:
        """Return the datagram with this number; note if an answer is expected."""


class EchoRequests(HostTask):
    """Send `count` echo requests, one every `interval_s`, and wait `wait_s` for each answer."""

    def __init__(
        self,
        destination: int,
        *,
        count: int = 1,
        interval_s: float = 1.0,
        payload_octets: int = 56,
        wait_s: float = WAIT_S,
        dont_fragment: bool = False,
    ) -> None:
        super().__init__(destination, wait_s)
        self._pace = Pace(count, interval_s)
        self._data = _filling(payload_octets)
        self.content_octets = ICMP_HEADER_OCTETS + payload_octets
        self.dont_fragment = dont_fragment

    def _datagram(self, now_s: float, number: int) -> Datagram:
        self._questions.ask(now_s, number)
        request = echo_request(self.destination, self._identifier, number, self._data)
        return request._replace(flags=DONT_FRAGMENT if self.dont_fragment else 0)


class PathTrace(HostTask):
    """Ask with ever longer time to live until the destination answers, or after `most_hops`.

    A router that does not answer within `wait_s` is passed over. Whoever says that the destination
    cannot be reached ends the search.
    """

    content_octets = ICMP_HEADER_OCTETS + len(TRACE_DATA)

    def __init__(self, destination: int, *, most_hops: int = 30, wait_s: float = WAIT_S) -> None:
        if not 1 <= most_hops <= 255:
            raise ValueError(f"most_hops must be 1 to 255 (8 bits on the wire), not {most_hops}")
        super().__init__(destination, wait_s)
        self._pace = Steps(most_hops)

    def act(self, now_s: float) -> tuple[list[Datagram], list[Answer]]:
        """Give up a question that nobody answers, and ask one hop further."""
        if self._questions.due_s() <= now_s:
            self._pace.start_s = now_s
        return super().act(now_s)

    def take(self, now_s: float, answer: Answer) -> Answer | None:
        """Go on at once after a router's answer; stop after the destination's."""
        closed = super().take(now_s, answer)
        if closed is not None and answer.what is What.TIME_EXCEEDED:
            self._pace.start_s = now_s
        return closed

    def _datagram(self, now_s: float, number: int) -> Datagram:
        self._questions.ask(now_s, number)
        request = echo_request(self.destination, self._identifier, number, TRACE_DATA)
        return request._replace(time_to_live=number)


class Stream(HostTask):
    """Send `count` UDP datagrams, one every `interval_s`, with `payload_octets` of data each."""

    def __init__(
        self,
        destination: int,
        *,
        count: int,
        interval_s: float,
        payload_octets: int = 160,
        port: int = STREAM_PORT,
    ) -> None:
        smallest = _STREAM_DATA.size
        if payload_octets < smallest:
            raise ValueError(
                f"payload_octets must be {smallest} or more, to hold the number and the time of a "
                f"datagram, not {payload_octets}"
            )
        if not 0 < port < 1 << 16:
            raise ValueError(f"port must be 1 to 65535 (RFC 768: 16 bits), not {port}")
        super().__init__(destination)
        self._pace, self._port = Pace(count, interval_s), port
        self._padding = _filling(payload_octets - smallest)
        self.content_octets = UDP_HEADER_OCTETS + payload_octets

    def _datagram(self, now_s: float, number: int) -> Datagram:
        data = _STREAM_DATA.pack(self._identifier, number, now_s) + self._padding
        return udp(self._source, self.destination, (self._port, self._port), data)


def read_stream_data(data: bytes) -> tuple[int, int, float] | None:
    """Return stream, number and sending time from a datagram's data; None if they are too short."""
    if len(data) < _STREAM_DATA.size:
        return None
    stream, number, sent_s = _STREAM_DATA.unpack_from(data)
    return stream, number, sent_s


def _filling(octets: int) -> bytes:
    if octets < 0:
        raise ValueError(f"payload_octets must be 0 or more, not {octets}")
    return bytes(i % 256 for i in range(octets))
