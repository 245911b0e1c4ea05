"""The library's stages for one frame at once, if all of it is plain.

The same questions as in `burst_path`, asked of a single frame with whole numbers: few frames are
carried sooner so than as columns, and in a fraction of the time that stages take one after the
other, with the care for a router that somebody is still writing. A frame of which anything is not
plain is left to the stages.
"""

__all__ = ["PlainFrames"]

from course_lib.forwarding.router import Router
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.ip.packets import OutgoingFrame, link_broadcasts
from course_lib.prefixes.special import NEVER_SOURCE

_HEADER_END = ETHERNET_OCTETS + 20
_IPV4_PLAIN = b"\x08\x00\x45"  # ether type, then version 4 and five words, so no options
_ALL_ONES = 0xFFFF


class PlainFrames:
    """Carries single frames for one router that has the library's own stages. Counts nothing."""

    def __init__(self, router: Router) -> None:
        links = list(router.interfaces.values())
        self._neighbours, self._decide = router.neighbours, router.decide
        self._own = {each.name: each.hardware_address for each in links}
        self._most = {each.name: each.mtu for each in links}
        self._special = {*link_broadcasts(links), *(each.address for each in links)}

    def carry(self, now_s: float, interface: str, frame: bytes) -> OutgoingFrame | None:
        """Return what is sent because of this frame, None if the stages must look at it."""
        if frame[12:15] != _IPV4_PLAIN or frame[:6] != self._own[interface]:
            return None
        if len(frame) < _HEADER_END:
            return None
        total, time_to_live = frame[16] << 8 | frame[17], frame[22]
        header = int.from_bytes(frame[ETHERNET_OCTETS:_HEADER_END], "big")
        # In base 0x10000 each digit counts as much as any other: see `course_lib.checksum`.
        if not 20 <= total <= len(frame) - ETHERNET_OCTETS or header % _ALL_ONES:
            return None
        if time_to_live < 2 or frame[26] in NEVER_SOURCE or frame[30] in NEVER_SOURCE:
            return None
        destination = header & 0xFFFFFFFF
        if destination in self._special or header >> 32 & 0xFFFFFFFF in self._special:
            return None
        entry = self._decide.entry_for(destination)
        if entry is None or entry.interface == interface or total > self._most[entry.interface]:
            return None
        link = self._neighbours[entry.interface]
        hardware = link.find(now_s, entry.hop_towards(destination))
        if hardware is None:
            return None
        # RFC 1624, equation 3, with ~m + m' = -0x0100; then the carry comes in.
        kept = (frame[24] << 8 | frame[25]) ^ _ALL_ONES
        kept += _ALL_ONES - 0x0100
        kept = (kept & _ALL_ONES) + (kept >> 16) ^ _ALL_ONES
        rewritten = (
            hardware, link.hardware_address, frame[12:22], bytes((time_to_live - 1, frame[23])),
            kept.to_bytes(2, "big"), frame[26 : ETHERNET_OCTETS + total],
        )  # fmt: skip
        return OutgoingFrame(entry.interface, b"".join(rewritten))
