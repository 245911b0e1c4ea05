"""An end of a link and its UDP socket: frames in, frames out, and no waiting.

    link = UdpLink(open_udp_socket(5000), terms, room_secret(code))
    link.send(frame)
    for frame in link.arrivals(): ...
    link.tick()                        # after `wait_s` at the latest

What the kernel does not take is counted under its own word for it, and the others go on.
"""

__all__ = ["LinkReport", "UdpLink"]

import os
import secrets
import socket
import struct
import sys
import time
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from course_lib.links.counters import LinkCounters
from course_lib.links.link_end import LinkEnd
from course_lib.links.over_udp.address_filter import drop_strangers
from course_lib.links.terms import Address, LinkTerms

MOST_AT_ONCE = 256
_SO_MEMINFO, _DROPS = 55, 8  # linux/sock_diag.h: the ninth of these numbers counts what was dropped
_MEMINFO = struct.Struct("@9I")


@dataclass(frozen=True, slots=True)
class LinkReport:
    """What is to be told of a link: whether it is up, where the other machine is, all counted."""

    is_up: bool
    address: Address | None
    counters: LinkCounters

    def to_plain(self) -> dict[str, Any]:
        """Return it as what JSON can hold."""
        address = None if self.address is None else list(self.address)
        return {"is_up": self.is_up, "address": address, "counters": self.counters.to_plain()}

    @classmethod
    def from_plain(cls, data: Mapping[str, Any]) -> "LinkReport":
        """Return the report that `to_plain` gave."""
        address = None if data["address"] is None else (data["address"][0], data["address"][1])
        return cls(data["is_up"], address, LinkCounters.from_plain(data["counters"]))


class UdpLink:
    """A link over a socket of `open_udp_socket`, which it closes in the end.

    refused: datagrams that the kernel did not take, by its words.
    """

    def __init__(
        self,
        opened: socket.socket,
        terms: LinkTerms,
        secret: bytes,
        clock_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self.refused: Counter[str] = Counter()
        self._socket, self._clock_s = opened, clock_s
        self.end = LinkEnd(terms, secret, secrets.token_bytes(32), clock_s())
        drop_strangers(opened, terms)

    def fileno(self) -> int:
        """Return the descriptor that becomes readable when a datagram is there."""
        return self._socket.fileno()

    def change_terms(self, terms: LinkTerms) -> None:
        """Go by other terms from now on; raises `TermsError` for those of another link."""
        self.end.change_terms(terms)
        drop_strangers(self._socket, terms)

    def send(self, frame: bytes) -> bool:
        """Send a frame; return whether it is on its way."""
        datagram = self.end.send(self._clock_s(), frame)
        return datagram is not None and self._send(*datagram)

    def arrivals(self, most: int = MOST_AT_ONCE) -> list[bytes]:
        """Look at the datagrams that are there, so many at most; return the frames in them."""
        end, receive, now_s = self.end, self._socket.recvfrom, self._clock_s()
        found: list[bytes] = []
        take, enough = end.receive, end.longest_datagram + 1  # one more shows that it is too long
        for _ in range(most):
            try:
                datagram, origin = receive(enough)
            except BlockingIOError:
                break
            except OSError as error:  # Windows: too long, or nobody listens where we sent to
                self.refused[os.strerror(error.errno or 0)] += 1
                continue
            frame = take(now_s, origin[:2], datagram)
            if frame is not None:
                found.append(frame)
        return found

    def tick(self) -> None:
        """Send what is due: answers, hellos, keep-alives."""
        now_s = self._clock_s()
        if self.end.next_tick_s(now_s) <= now_s:
            for datagram in self.end.tick(now_s):
                self._send(*datagram)

    def wait_s(self) -> float:
        """Return how long it may take until `tick` is wanted next."""
        now_s = self._clock_s()
        return max(0.0, self.end.next_tick_s(now_s) - now_s)

    def dropped(self) -> int:
        """Return how many datagrams the kernel has dropped, as far as it tells.

        They found no room in the socket, or came from strangers (`address_filter`).
        """
        if sys.platform != "linux":
            return 0
        told = self._socket.getsockopt(socket.SOL_SOCKET, _SO_MEMINFO, _MEMINFO.size)
        return int(_MEMINFO.unpack(told)[_DROPS])

    def report(self) -> LinkReport:
        """Return what is to be told of the link now."""
        return LinkReport(self.end.is_up, self.end.address, self.end.counters())

    def close(self) -> None:
        """Send and receive nothing more."""
        self._socket.close()

    def _send(self, address: Address, octets: bytes) -> bool:
        try:
            self._socket.sendto(octets, address)
        except OSError as error:  # no way there, no room, or too long for the way
            self.refused[os.strerror(error.errno or 0)] += 1
            return False
        return True
