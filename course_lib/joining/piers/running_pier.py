"""What a member needs of the network at its pier, however it runs: live or simulated."""

__all__ = ["Hears", "RunningPier", "is_between"]

from collections.abc import Callable, Mapping
from typing import Any, Protocol

from course_lib.headers.assigned_numbers import ETHER_TYPE_IPV4
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.joining.messages import LineTold, Placed, Report
from course_lib.prefixes.text import parse_address

_TYPE = slice(ETHERNET_OCTETS - 2, ETHERNET_OCTETS)
_ENDS = slice(ETHERNET_OCTETS + 12, ETHERNET_OCTETS + 20)  # RFC 791: source and destination

Hears = Callable[[Any], None]
"""Takes a message for the room, such as `Arrived` or `Passed`; from any thread."""


class RunningPier(Protocol):
    """One host, one router, and a line to each neighbour. Calls may take long: none is async.

    where: "live" between kernels, or "simulated".
    """

    where: str

    def open(self, placed: Placed, tell: Hears) -> Mapping[int, int]:
        """Make the network, and return at which UDP port each line is, by its number.

        tell: to whom is said what comes up between reports. Called once.
        """

    def set_line(self, line: LineTold) -> None:
        """Go by what the room says of a line. Addresses of None: those from before still hold."""

    def report(self) -> Report:
        """Return what the room is told once a second."""

    def do(self, wish: Any) -> None:
        """Begin or end a stream, or follow a packet, as a message of the room says."""

    def close(self) -> None:
        """End it, and all that runs in it."""


def is_between(frame: bytes, source: str, destination: str) -> bool:
    """Tell whether a frame holds a packet from one address to the other."""
    ends = b"".join(parse_address(each).to_bytes(4, "big") for each in (source, destination))
    return frame[_TYPE] == ETHER_TYPE_IPV4.to_bytes(2, "big") and frame[_ENDS] == ends
