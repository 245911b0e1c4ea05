"""What a host does of its own accord: ping, trace a path, send a stream of datagrams.

A task is made with its settings and handed to a host (`Host.begin`), once. From then on it says
when it wants to act (`due_s`), what it then sends, and is told the answers. It knows nothing of
frames and neighbours.

* `Ping` sends echo requests; who is asked sends the same data back (RFC 792; RFC 1122, 3.2.2.6).
* `PathTrace` sends echo requests with time to live 1, 2, 3 and so on. The first expires at the
  first router, which says so (RFC 792, time exceeded), the second at the second router, until the
  destination itself answers. Nobody on the way keeps a list of the path.
* `Stream` sends UDP datagrams at a steady pace and expects nothing back. Each holds its number and
  the time when it was sent, so that the receiver can tell delay and loss.
"""

__all__ = ["STREAM_PORT", "HostTask", "PathTrace", "Ping", "Stream", "read_stream_data"]

import math
import struct
from typing import Protocol

from course_lib.ip.fragmentation import DONT_FRAGMENT
from course_lib.network.hosts.datagrams import Datagram, echo_request, udp
from course_lib.network.hosts.pace import Answer, Pace, Questions
from course_lib.network.records import What
from course_lib.prefixes.special import is_invalid_source

STREAM_PORT = 5004  # common for media: RFC 3551, section 8
ICMP_HEADER_OCTETS = UDP_HEADER_OCTETS = 8
TRACE_DATA = bytes(range(28))
_STREAM_DATA = struct.Struct("!HId")  # stream, number of the datagram, time when it was sent


class HostTask(Protocol):
    """What a host asks of a task."""

    destination: int
    dont_fragment: bool
    content_octets: int  # what each of its datagrams carries behind the IP header

    @property
    def due_s(self) -> float:
        """When it wants to act next; infinity if it waits for answers only, or is done."""

    @property
    def is_done(self) -> bool:
        """True if it will neither send nor wait any more."""

    def start(self, now_s: float, source: int, identifier: int) -> None:
        """Learn when it begins, from which address it sends, and what number it has."""

    def act(self, now_s: float) -> tuple[list[Datagram], list[Answer]]:
        """Return what is due to be sent, and the questions that are given up."""

    def take(self, now_s: float, answer: Answer) -> Answer | None:
        """Take in an answer; return it with its delay, None if it answers no open question."""


class Ping:
    """Send `count` echo requests, one every `interval_s`, and wait `wait_s` for each answer."""

    def __init__(
        self,
        destination: int,
        *,
        count: int = 1,
        interval_s: float = 1.0,
        payload_octets: int = 56,
        wait_s: float = 2.0,
        dont_fragment: bool = False,
    ) -> None:
        self.destination = _checked_destination(destination)
        self._pace, self._questions = Pace(count, interval_s), Questions(wait_s)
        self._data = _filling(payload_octets)
        self.content_octets = ICMP_HEADER_OCTETS + payload_octets
        self.dont_fragment = dont_fragment
        self._identifier = 0

    @property
    def due_s(self) -> float:
        """When the next request goes out, or the oldest open one has waited long enough."""
        return min(self._pace.due_s, self._questions.due_s())

    @property
    def is_done(self) -> bool:
        """True once all requests are sent, and answered or given up."""
        return self._pace.is_over and not self._questions

    def start(self, now_s: float, source: int, identifier: int) -> None:
        """Begin with the first request now."""
        self._pace.start_s, self._identifier = now_s, identifier

    def act(self, now_s: float) -> tuple[list[Datagram], list[Answer]]:
        """Send the requests that are due, and give up those that have waited long enough."""
        given_up = self._questions.expire(now_s)
        out = []
        for number in self._pace.departures(now_s):
            self._questions.ask(now_s, number)
            request = echo_request(self.destination, self._identifier, number, self._data)
            out.append(request._replace(flags=DONT_FRAGMENT if self.dont_fragment else 0))
        return out, given_up

    def take(self, now_s: float, answer: Answer) -> Answer | None:
        """Close the question that was answered."""
        return self._questions.close(now_s, answer)


class PathTrace:
    """Ask with ever longer time to live until the destination answers, or after `most_hops`.

    A router that does not answer within `wait_s` is passed over. Whoever says that the destination
    cannot be reached ends the search.
    """

    dont_fragment = False
    content_octets = ICMP_HEADER_OCTETS + len(TRACE_DATA)

    def __init__(self, destination: int, *, most_hops: int = 30, wait_s: float = 2.0) -> None:
        if not 1 <= most_hops <= 255:
            raise ValueError(f"most_hops must be 1 to 255 (8 bits on the wire), not {most_hops}")
        self.destination = _checked_destination(destination)
        self._most_hops, self._questions = most_hops, Questions(wait_s)
        self._identifier = 0
        self._next_s = math.inf
        self._hops = 0

    @property
    def due_s(self) -> float:
        """When the next question goes out, or the open one has waited long enough."""
        return min(self._next_s, self._questions.due_s())

    @property
    def is_done(self) -> bool:
        """True once the path is known, or as much of it as can be."""
        return self._next_s == math.inf and not self._questions

    def start(self, now_s: float, source: int, identifier: int) -> None:
        """Begin with the nearest router now."""
        self._next_s, self._identifier = now_s, identifier

    def act(self, now_s: float) -> tuple[list[Datagram], list[Answer]]:
        """Give up a question that nobody answers, and ask one hop further."""
        given_up = self._questions.expire(now_s)
        if given_up:
            self._go_on(now_s)
        if self._next_s > now_s:
            return [], given_up
        self._hops += 1
        self._next_s = math.inf
        self._questions.ask(now_s, self._hops)
        request = echo_request(self.destination, self._identifier, self._hops, TRACE_DATA)
        return [request._replace(time_to_live=self._hops)], given_up

    def take(self, now_s: float, answer: Answer) -> Answer | None:
        """Go on at once after a router's answer; stop after the destination's."""
        closed = self._questions.close(now_s, answer)
        if closed is not None and answer.what is What.TIME_EXCEEDED:
            self._go_on(now_s)
        return closed

    def _go_on(self, now_s: float) -> None:
        self._next_s = now_s if self._hops < self._most_hops else math.inf


class Stream:
    """Send `count` UDP datagrams, one every `interval_s`, with `payload_octets` of data each."""

    dont_fragment = False

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
        self.destination = _checked_destination(destination)
        self._pace, self._port = Pace(count, interval_s), port
        self._padding = _filling(payload_octets - smallest)
        self.content_octets = UDP_HEADER_OCTETS + payload_octets
        self._source = self._identifier = 0

    @property
    def due_s(self) -> float:
        """When the next datagram goes out."""
        return self._pace.due_s

    @property
    def is_done(self) -> bool:
        """True once all are sent."""
        return self._pace.is_over

    def start(self, now_s: float, source: int, identifier: int) -> None:
        """Begin with the first datagram now."""
        self._pace.start_s, self._source, self._identifier = now_s, source, identifier

    def act(self, now_s: float) -> tuple[list[Datagram], list[Answer]]:
        """Send the datagrams that are due."""
        return [self._datagram(now_s, number) for number in self._pace.departures(now_s)], []

    def take(self, now_s: float, answer: Answer) -> Answer | None:
        """Take no notice: nothing was asked."""
        return None

    def _datagram(self, now_s: float, number: int) -> Datagram:
        data = _STREAM_DATA.pack(self._identifier, number, now_s) + self._padding
        return udp(self._source, self.destination, (self._port, self._port), data)


def read_stream_data(data: bytes) -> tuple[int, int, float] | None:
    """Return stream, number and sending time from a datagram's data; None if they are too short."""
    if len(data) < _STREAM_DATA.size:
        return None
    stream, number, sent_s = _STREAM_DATA.unpack_from(data)
    return stream, number, sent_s


def _checked_destination(address: int) -> int:
    if is_invalid_source(address):  # what cannot be the source of an answer need not be asked
        raise ValueError(f"destination must be the address of one host, not {address:#010x}")
    return address


def _filling(octets: int) -> bytes:
    if octets < 0:
        raise ValueError(f"payload_octets must be 0 or more, not {octets}")
    return bytes(i % 256 for i in range(octets))
