"""Cut a datagram into fragments, and put fragments together again (RFC 791, section 3.2).

A fragment is a datagram of its own: each has a header with a total length and a checksum of its
own, and travels its own way. So routers only ever cut, and the destination puts together. (A router
is the destination of what is addressed to itself: RFC 1812, section 4.2.2.8.)

Where a fragment begins is counted in units of 8 octets. So all fragments but the last carry a
multiple of 8, and as much as fits: that makes their number as small as can be (RFC 1812, section
4.2.2.7). All but the very last carry the flag "more fragments".

Real routers: few packets are ever cut, since most senders forbid it and find out by themselves how
much the way carries (RFC 1191).
"""

__all__ = ["DONT_FRAGMENT", "MORE_FRAGMENTS", "SMALLEST_MTU", "Reassembler", "fragments"]

import math
from typing import TypeAlias

from course_lib.headers.errors import Reason, refusal
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.layouts import IPV4
from course_lib.ip.options import copied_options
from course_lib.ip.packets import Packet

DONT_FRAGMENT = 0b010  # of the three flags: RFC 791, section 3.1
MORE_FRAGMENTS = 0b001
SMALLEST_MTU = 68  # RFC 791, section 3.2: the longest header and one unit of 8 octets
REASSEMBLY_S = 60.0  # RFC 1122, section 3.3.2: 60 to 120 seconds
MOST_DATAGRAMS = 64  # being put together at one time
_MOST_OCTETS = 65_535 - 60  # so that the longest header still fits
_UNIT = 8
_LARGEST_OFFSET = (1 << 13) - 1  # the field has 13 bits: RFC 791, section 3.1
_OFFSETS = f"0 to {_LARGEST_OFFSET}, also in what it is cut into"

_Key: TypeAlias = tuple[int, int, int, int]


def fragments(header: IPv4Header, payload: bytes, mtu: int) -> list[tuple[IPv4Header, bytes]]:
    """Return the fragments of a datagram, in order, each at most `mtu` octets long.

    A fragment can be cut again. Raises `ValueError` for an MTU below 68, or if the header forbids,
    and `PacketError` for a fragment of which a part would begin beyond the largest datagram.

    >>> whole = IPv4Header(0, 4000, 1, 0, 0, 64, 17, 0, 0xC0000201, 0xC6336402)
    >>> cut = [header for header, _ in fragments(whole, bytes(3980), mtu=1500)]
    >>> [(each.total_length, each.fragment_offset, each.flags) for each in cut]
    [(1500, 0, 1), (1500, 185, 1), (1040, 370, 0)]
    """
    if mtu < SMALLEST_MTU:
        raise ValueError(f"mtu must be at least {SMALLEST_MTU} (RFC 791, section 3.2), not {mtu}")
    if header.flags & DONT_FRAGMENT:
        raise ValueError("the header forbids fragmentation (flag: don't fragment)")
    done: list[tuple[IPv4Header, bytes]] = []
    start, options = 0, header.options
    while start < len(payload) or not done:
        room = mtu - 20 - len(options)
        is_last = len(payload) - start <= room
        part = payload[start:] if is_last else payload[start : start + room // _UNIT * _UNIT]
        offset = header.fragment_offset + start // _UNIT
        if offset > _LARGEST_OFFSET:
            raise refusal(IPV4, "fragment_offset", Reason.FRAGMENT_TOO_FAR, offset, _OFFSETS)
        beginning = header._replace(
            total_length=20 + len(options) + len(part),
            flags=header.flags if is_last else header.flags | MORE_FRAGMENTS,
            fragment_offset=offset,
            options=options,
        )
        done.append((beginning.with_checksum(), part))
        start += len(part)
        options = copied_options(header.options)
    return done


class Reassembler:
    """Puts the datagrams together that are addressed to one host or router.

    Fragments belong together if source, destination, protocol and identification agree. They may
    overlap and tell the same octets twice, as those of a datagram that came on two ways, cut here
    and there in other places (RFC 791, section 3.2; RFC 5722 forbids it for IPv6 only). A datagram
    of which two fragments tell different octets is given up: as RFC 1858 and RFC 3128 show, such
    fragments are attacks.
    """

    def __init__(self) -> None:
        self._parts: dict[_Key, _Parts] = {}

    def take(self, packet: Packet) -> Packet | None:
        """Return the whole packet if this fragment was the last one missing, else None."""
        header = packet.header
        if header is None:
            raise ValueError("a packet without a header cannot be put together with others")
        key = (header.source, header.destination, header.protocol, header.identification)
        parts = self._parts.get(key) or _Parts(packet.now_s + REASSEMBLY_S)
        if not parts.add(packet, header):
            self._parts.pop(key, None)
            return None
        whole = parts.whole()
        if whole is not None:
            self._parts.pop(key, None)
            return whole
        if key not in self._parts and len(self._parts) >= MOST_DATAGRAMS:
            del self._parts[next(iter(self._parts))]  # the one that has waited longest
        self._parts[key] = parts
        return None

    def tick(self, now_s: float) -> list[Packet]:
        """Give up what waited too long; return the first fragments of those that have theirs."""
        late = [key for key, parts in self._parts.items() if now_s >= parts.until_s]
        given_up = [self._parts.pop(key) for key in late]
        return [parts.first._replace(now_s=now_s) for parts in given_up if parts.first]

    def next_tick_s(self) -> float:
        """Return when `tick` will next have something to do; infinity means never."""
        return min((parts.until_s for parts in self._parts.values()), default=math.inf)


class _Parts:
    """What is here of one datagram: units of 8 octets, by the octet at which each begins."""

    def __init__(self, until_s: float) -> None:
        self.until_s = until_s
        self.first: Packet | None = None  # the fragment with the beginning
        self.units: dict[int, bytes] = {}
        self.reach = 0  # where the octets that are here end,
        self.end: int | None = None  # and where those of the datagram do, if that is known

    def add(self, packet: Packet, header: IPv4Header) -> bool:
        """Put a fragment in its place; False if it contradicts those that are there."""
        start = header.fragment_offset * _UNIT
        end = start + len(packet.payload)
        if header.flags & MORE_FRAGMENTS:
            is_sound = len(packet.payload) % _UNIT == 0
        else:
            is_sound = self.end in (None, end)
            self.end = end
        if start == 0 and self.first is None:
            self.first = packet
        for at in range(start, end, _UNIT):
            unit = packet.payload[at - start : at - start + _UNIT]
            is_sound = is_sound and self.units.setdefault(at, unit) == unit
        self.reach = max(self.reach, end)
        most = _MOST_OCTETS if self.end is None else min(self.end, _MOST_OCTETS)
        return is_sound and self.reach <= most

    def whole(self) -> Packet | None:
        """Return the datagram if no octet is missing. Its header is that of the first fragment."""
        if self.end is None or len(self.units) * _UNIT < self.end:
            return None
        first = self.first
        if first is None or first.header is None:
            return None
        payload = b"".join(self.units[at] for at in range(0, self.end, _UNIT))
        total_length = 20 + len(first.header.options) + len(payload)
        header = first.header._replace(total_length=total_length, flags=0)
        return first._replace(header=header.with_checksum(), payload=payload)
