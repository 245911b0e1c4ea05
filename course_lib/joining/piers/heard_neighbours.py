"""What neighbours have said of their hardware addresses, for a router that is made anew.

A router of somebody's own knows its neighbours by the messages of address resolution that it has
heard (RFC 826), and can be asked for nothing of that. So the messages are kept here, and the next
router hears them first. None is older than what it teaches would be believed.
"""

__all__ = ["HeardNeighbours"]

from collections.abc import Mapping
from typing import NamedTuple

from course_lib.headers.assigned_numbers import ETHER_TYPE_ARP
from course_lib.headers.errors import PacketError
from course_lib.headers.ethernet import ETHERNET_OCTETS, ARPPacket
from course_lib.ip.neighbours import LIFETIME_S
from course_lib.ip.packets import Interface

MOST_KEPT = 64  # far more than a pier has neighbours
_ARP, _TYPE = ETHER_TYPE_ARP.to_bytes(2, "big"), slice(ETHERNET_OCTETS - 2, ETHERNET_OCTETS)


class _Heard(NamedTuple):
    at_s: float
    hardware_address: bytes
    frame: bytes


class HeardNeighbours:
    """The latest message of each neighbour that was for us, by interface and address."""

    def __init__(self, interfaces: Mapping[str, Interface]) -> None:
        self._interfaces = interfaces
        self._heard = dict[tuple[str, int], _Heard]()

    def note(self, now_s: float, interface: str, frame: bytes) -> None:
        """Look at a frame that came in, whatever it is.

        A message for somebody else teaches nobody a new neighbour; but if it tells another hardware
        address of one, what was heard before no longer holds.
        """
        if frame[_TYPE] != _ARP:
            return
        try:
            said = ARPPacket.parse(frame[ETHERNET_OCTETS:])
        except PacketError:
            return
        who = interface, said.sender_protocol_address
        before = self._heard.pop(who, None)
        if said.target_protocol_address == self._interfaces[interface].address:
            self._heard[who] = _Heard(now_s, said.sender_hardware_address, frame)
            if len(self._heard) > MOST_KEPT:
                del self._heard[next(iter(self._heard))]
        elif before is not None and before.hardware_address == said.sender_hardware_address:
            self._heard[who] = before

    def fresh(self, now_s: float) -> list[tuple[str, bytes]]:
        """Return interface and frame of each message that may still be believed."""
        return [
            (interface, heard.frame)
            for (interface, _), heard in self._heard.items()
            if now_s < heard.at_s + LIFETIME_S
        ]
