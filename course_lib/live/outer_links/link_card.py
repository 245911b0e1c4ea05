"""A link to another machine, in the place of a network card: frames come from it and go to it.

The loop that carries frames asks it what it asks a `PacketRing` and a `PacketSender`. What is
behind it is a UDP socket that was opened outside the private network; nothing else of the machine
can be reached from here.
"""

__all__ = ["LinkCard", "LinkPort", "link_card"]

import socket
import time
from collections import Counter
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.ip.packets import Interface
from course_lib.links.over_udp.udp_link import UdpLink
from course_lib.links.terms import LinkTerms
from course_lib.live.carrying.line import Line
from course_lib.live.carrying.ports import Port
from course_lib.live.packet_sockets.packet_ring import MOST_IN_A_BURST, Burst


class LinkCard:
    """A `UdpLink` as a way in and a way out. largest_frame: octets, with the Ethernet header."""

    too_long = 0  # a link gives no frame that is longer than its terms say

    def __init__(self, link: UdpLink, largest_frame: int) -> None:
        self.link = link
        self._rows = np.zeros((MOST_IN_A_BURST, max(largest_frame, ETHERNET_OCTETS)), np.uint8)

    @property
    def refused(self) -> Counter[str]:
        """What the kernel did not take, and why."""
        return self.link.refused

    def fileno(self) -> int:
        """Return the descriptor that becomes readable when a datagram is there."""
        return self.link.fileno()

    def burst(self) -> Burst | None:
        """Return the frames that are there, or None; the next call writes over them."""
        came = self.link.arrivals(MOST_IN_A_BURST)
        if not came:
            return None
        for row, frame in zip(self._rows, came, strict=False):
            row[: len(frame)] = np.frombuffer(frame, np.uint8)
        # A datagram that was looked at has come; when the kernel got it would cost more to ask.
        stamps_ns = np.full(len(came), time.time_ns(), np.int64)
        octets = np.array([len(frame) for frame in came], np.int64)
        return Burst(stamps_ns, octets, self._rows[: len(came)])

    def give_back(self, burst: Burst) -> None:
        """Do nothing: the frames were copied."""

    def dropped(self) -> int:
        """Return how many datagrams found no room in the socket."""
        return self.link.dropped()

    def send(self, frame: bytes) -> bool:
        """Send a frame; return whether it is on its way."""
        return self.link.send(frame)

    def send_rows(
        self, rows: NDArray[np.uint8], places: NDArray[np.intp], octets: NDArray[np.int64]
    ) -> int:
        """Send the rows at these places; return how many are on their way."""
        return sum(
            self.link.send(rows[place, :length].tobytes())
            for place, length in zip(places.tolist(), octets.tolist(), strict=True)
        )

    def close(self) -> None:
        """Close the socket."""
        self.link.close()


class LinkPort(Port):
    """An interface whose card is a link: to cut it takes the link down, to mend it brings it up."""

    def __init__(self, interface: Interface, card: LinkCard, line_out: Line, line_in: Line) -> None:
        super().__init__(interface, card, card, line_out, line_in)
        self.link = card.link

    @property
    def is_up(self) -> bool:
        """Whether frames go through: nobody has cut it, and the other machine was heard lately."""
        return super().is_up and self.link.end.is_up

    def set_up(self, *, is_up: bool) -> None:
        """Cut or mend the lines, and the link."""
        super().set_up(is_up=is_up)
        (self.link.end.bring_up if is_up else self.link.end.take_down)()


def link_card(data: Mapping[str, Any]) -> LinkCard:
    """Return the card by its part of the order for a router's process: see `outer_link`."""
    terms = LinkTerms.from_plain(data["terms"])
    opened = socket.socket(fileno=int(data["descriptor"]))
    opened.setblocking(False)
    link = UdpLink(opened, terms, bytes.fromhex(data["secret"]))
    return LinkCard(link, terms.inner_mtu + ETHERNET_OCTETS)
