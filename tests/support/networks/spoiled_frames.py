"""Routers that see their frames changed, or whose frames are changed when they leave."""

from collections.abc import Callable
from dataclasses import dataclass, field

from course_lib.checksum import checksum
from course_lib.conformance.bench import (
    CABLE,
    OWN_ADDRESSES,
    QUAY,
    RADIO,
)
from course_lib.forwarding.router import Router
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader
from course_lib.ip.icmp_errors import is_error
from course_lib.ip.packets import OutgoingFrame

CARDS = {each.name: each.hardware_address for each in (QUAY, RADIO, CABLE)}


def library_router(interfaces, routes, **options):
    """Return the library's router with these routes."""
    router = Router("North Pier", interfaces, **options)
    for route in routes:
        router.add_route(*route)
    return router


@dataclass
class Around:
    """A router whose frames are changed on the way in or out."""

    router: Router
    inwards: Callable = field(default=lambda interface, frame: frame)
    outwards: Callable = field(default=lambda sent: [sent])

    def receive(self, now_s, interface, frame):
        frame = self.inwards(interface, frame)
        return [] if frame is None else self._out(self.router.receive(now_s, interface, frame))

    def tick(self, now_s):
        return self._out(self.router.tick(now_s))

    def next_tick_s(self):
        return self.router.next_tick_s()

    def _out(self, frames):
        return [each for sent in frames for each in self.outwards(sent)]


# ---- faults in what comes in ----------------------------------------------------------------


def inwards(change, **options):
    """A router that sees its IPv4 frames changed: it overlooks what is wrong with them."""

    def seen(interface, frame):
        if frame[12:14] != b"\x08\x00":
            return frame
        return frame[:14] + change(frame[14:])

    return lambda i, r: Around(library_router(i, r, **options), inwards=seen)


def frames_in(change):
    return lambda i, r: Around(library_router(i, r), inwards=change)


def resummed(datagram):
    octets = max(20, (datagram[0] & 15) * 4)
    bare = datagram[:10] + bytes(2) + datagram[12:octets]
    return datagram[:10] + checksum(bare).to_bytes(2, "big") + datagram[12:]


def is_intact(datagram):
    octets = max(20, (datagram[0] & 15) * 4)
    return len(datagram) >= 20 and checksum(datagram[:octets]) in (0, 0xFFFF)


def mended(datagram, first=None, total=None):
    """Return an intact datagram with its first octet or total length as they should be."""
    if not is_intact(datagram):
        return datagram
    octets = bytes([datagram[0] if first is None else first(datagram[0])]) + datagram[1:]
    if total is not None:
        octets = octets[:2] + total(octets).to_bytes(2, "big") + octets[4:]
    return resummed(octets)


def any_sum(datagram):
    return resummed(datagram) if len(datagram) >= 20 else datagram


def length_there(datagram):
    """Believe the length of the frame, wherever the total length is less than the header."""
    total = int.from_bytes(datagram[2:4], "big")
    return len(datagram) if total < 20 else total


def length_that_came(datagram):
    return min(int.from_bytes(datagram[2:4], "big"), len(datagram))


class Fragile(Around):
    """A router that unpacks before it looks whether enough is there."""

    def receive(self, now_s, interface, frame):
        if frame[12:14] == b"\x08\x00" and len(frame) < 34:
            raise IndexError("index out of range")
        return super().receive(now_s, interface, frame)


def to_us(interface, frame):
    is_single = not frame[0] & 1
    return CARDS[interface] + frame[6:] if is_single else frame


def broadcast_to_us(interface, frame):
    """Take a frame to all for one to us, unless its datagram is for all too."""
    return CARDS[interface] + frame[6:] if frame[0] & 1 and frame[12:14] == b"\x08\x00" else frame


# ---- faults in what goes out ----------------------------------------------------------------


def forwarded(change):
    """A router that spoils what it forwards: `change` gets header and payload, and gives both."""

    def out(sent):
        found = taken_apart(sent)
        if found is None or found[0].source in OWN_ADDRESSES:
            return [sent]
        header, payload = change(*found)
        return [sent._replace(frame=sent.frame[:14] + header.build() + payload)]

    return lambda i, r: Around(library_router(i, r), outwards=out)


def fields(*, summed=True, **changes):
    def change(header, payload):
        new = {name: value(header) if callable(value) else value for name, value in changes.items()}
        header = header._replace(**new)
        return (header.with_checksum() if summed else header), payload

    return forwarded(change)


def taken_apart(sent):
    if sent.frame[12:14] != b"\x08\x00":
        return None
    header = IPv4Header.parse(sent.frame[14:])
    return header, header.payload(sent.frame[14:])


def frames_out(change, **options):
    """A router all of whose IPv4 frames that it forwards go through `change`."""

    def out(sent):
        found = taken_apart(sent)
        return [sent] if found is None or found[0].source in OWN_ADDRESSES else change(sent)

    return lambda i, r: Around(library_router(i, r, **options), outwards=out)


def own(change, *, errors):
    """A router that spoils its own errors, or its own replies."""

    def out(sent):
        found = taken_apart(sent)
        if found is None or found[0].source not in OWN_ADDRESSES or found[0].protocol != 1:
            return [sent]
        if is_error(*found) != errors or found[0].fragment_offset or found[0].flags & 1:
            return [sent]
        header, payload = change(*found)
        header = header._replace(total_length=20 + len(header.options) + len(payload))
        frame = sent.frame[:14] + header.with_checksum().build() + payload
        return [sent._replace(frame=frame)]

    return lambda i, r: Around(library_router(i, r), outwards=out)


def message(change):
    """A change of an ICMP message, whose checksum is made right."""

    def both(header, payload):
        icmp, data = change(ICMPHeader.parse(payload), payload[8:])
        return header, icmp.with_checksum(data).build() + data

    return both


def resolution(change):
    """A router that spoils its address resolution: `change` gets Ethernet header and packet."""

    def out(sent):
        if sent.frame[12:14] != b"\x08\x06":
            return [sent]
        ethernet, packet = EthernetHeader.parse(sent.frame), ARPPacket.parse(sent.frame[14:])
        ethernet, packet = change(ethernet, packet)
        return [sent._replace(frame=ethernet.build() + packet.build())]

    return lambda i, r: Around(library_router(i, r), outwards=out)


def flooded(sent):
    return [OutgoingFrame(name, sent.frame) for name in CARDS]
