"""The parts that exercise 12.1 puts together, over real octets: made of answers of earlier units.

    parts = my_parts("is_header_intact", "new_table", "lower_time_to_live", "new_cache",
                     "new_waiting", "answer_echo", "build_error", "new_reporter")
    kit = octet_parts(parts, interfaces, routes)
    own = {each.name: kit.names_of(each) for each in interfaces}
    router = assembled(new_router(kit, own), kit)

The rules are those of the parts, whosever they are. What stands here takes frames apart and joins
them, and keeps a table of neighbours for each interface.

Not here: options, fragments, and packets for all; the parts know nothing of them. Real routers:
they have a limit on neighbours, too, so that nobody fills their memory.
"""

__all__ = ["AssembledRouter", "OctetParts", "assembled", "octet_parts"]

import math
from collections.abc import Iterable, Sequence
from typing import Any

from course_lib.headers.assigned_numbers import (
    ARP_REPLY,
    ARP_REQUEST,
    ETHER_TYPE_ARP,
    ETHER_TYPE_IPV4,
)
from course_lib.headers.errors import PacketError
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.special import broadcasts_of
from course_lib.prefixes.text import format_address, format_mac, parse_address, parse_mac

RouteGiven = tuple[Prefix, int | None, str]  # prefix, next hop or None, interface

LIFETIME_S = 300  # of what is known about a neighbour: common practice, no published source
MOST_WAITING = 4  # for one neighbour; RFC 1122, section 2.3.2.2, asks for one at least
MOST_ERRORS = 10  # in a second; RFC 1812, section 4.3.2.8, asks for some limit
KINDS = {ETHER_TYPE_IPV4: "packet", ETHER_TYPE_ARP: "message"}
FOR_ALL = b"\xff" * 6


def octet_parts(
    parts: Any, interfaces: Sequence[Interface], routes: Iterable[RouteGiven]
) -> "OctetParts":
    """Return the functions of exercise 12.1 for a router with these interfaces and routes.

    `parts` has the eight functions named above. Links are routes as well, and need not be listed.
    """
    return OctetParts(parts, interfaces, routes)


def assembled(router: Any, kit: "OctetParts") -> "AssembledRouter":
    """Return an answer to exercise 12.1 as the network, the board and the live router take it."""
    return AssembledRouter(router, kit)


class OctetParts:
    """The functions of exercise 12.1 over octets; addresses are texts, as in the exercise."""

    def __init__(
        self, parts: Any, interfaces: Sequence[Interface], routes: Iterable[RouteGiven]
    ) -> None:
        self.now_s = 0.0  # errors need the time, and their part is not told
        self._parts = parts
        self._interfaces = {each.name: each for each in interfaces}
        self._table = parts.new_table()
        self._ways: dict[str, tuple[str, str | None]] = {}
        links: list[RouteGiven] = [(each.prefix, None, each.name) for each in interfaces]
        for route in (*links, *routes):
            self.add_route(*route)
        self._caches = {
            each.name: parts.new_cache(format_address(each.address), LIFETIME_S)
            for each in interfaces
        }
        self._rooms = {each.name: parts.new_waiting(MOST_WAITING) for each in interfaces}
        self._lost: list[bytes] = []
        self._asked: dict[tuple[str, str], None] = {}
        broadcasts = {one for each in interfaces for one in broadcasts_of(each.prefix)}
        self._reporter = parts.new_reporter(sorted(map(format_address, broadcasts)), MOST_ERRORS)

    def names_of(self, interface: Interface) -> tuple[str, str]:
        """Return an interface's address and hardware address, as `own` has them."""
        return format_address(interface.address), format_mac(interface.hardware_address)

    def add_route(self, prefix: Prefix, next_hop: int | None, interface: str) -> None:
        """Add a route, or give its prefix another way; None where the link itself has it."""
        self._table.insert(str(prefix), str(prefix))
        hop = None if next_hop is None else format_address(next_hop)
        self._ways[str(prefix)] = interface, hop

    def open_frame(self, frame: bytes) -> tuple[str, str, bytes]:
        """Return for whom a frame is, what kind of thing it holds, and that, without padding."""
        try:
            header = EthernetHeader.parse(frame)
        except PacketError:
            return "", "other", b""
        inside = header.payload(frame)
        kind = KINDS.get(header.ether_type, "other")
        if kind == "packet":
            inside = inside[: int.from_bytes(inside[2:4], "big")] or inside
        return format_mac(header.destination), kind, inside

    def close_frame(self, interface: str, hardware_address: str, packet: bytes) -> bytes:
        """Return the frame for a neighbour."""
        return self._frame(interface, parse_mac(hardware_address), ETHER_TYPE_IPV4, packet)

    def is_sound(self, packet: bytes) -> bool:
        """Tell whether the header passes the checks of RFC 1812, section 5.2.2."""
        if len(packet) < 20 or packet[0] >> 4 != 4:
            return False
        header = 4 * (packet[0] & 0x0F)
        total = int.from_bytes(packet[2:4], "big")
        is_whole = 20 <= header <= total <= len(packet)
        return is_whole and bool(self._parts.is_header_intact(packet))

    def ends(self, packet: bytes) -> tuple[str, str]:
        """Return source and destination."""
        header = IPv4Header.parse(packet)
        return format_address(header.source), format_address(header.destination)

    def look_up(self, address: str) -> tuple[str, str | None] | None:
        """Return the way to an address: an interface and perhaps a next hop."""
        prefix = self._table.look_up(address)
        return None if prefix is None else self._ways[prefix]

    def lower(self, packet: bytes) -> bytes:
        """Return the packet one hop older; raise `ValueError` if it may go no further."""
        header = 4 * (packet[0] & 0x0F)
        return bytes(self._parts.lower_time_to_live(packet[:header])) + packet[header:]

    def answer(self, packet: bytes) -> bytes | None:
        """Return the answer to an echo, None to all else."""
        header = IPv4Header.parse(packet)
        if header.protocol != 1 or int.from_bytes(packet[6:8], "big") & 0x3FFF:
            return None
        reply: bytes | None = self._parts.answer_echo(packet)
        return reply

    def error(self, packet: bytes, reason: str, address: str) -> bytes | None:
        """Return the message to the sender, if it may be told."""
        has_data = len(packet) > 4 * (packet[0] & 0x0F)
        if not has_data or not self._reporter.may_report(self.now_s, packet, False):
            return None  # to_all is False: no packet is taken from a frame for all
        message: bytes = self._parts.build_error(packet, reason, address)
        return message

    def find(self, now_s: float, interface: str, address: str) -> str | None:
        """Return a neighbour's hardware address."""
        found = self._caches[interface].find(now_s, address)
        return None if found is None else format_mac(found)

    def wait(self, now_s: float, interface: str, address: str, packet: bytes) -> list[bytes]:
        """Keep a packet; return the questions, if somebody has to be asked at once."""
        self._rooms[interface].wait(address, packet.hex())
        self._asked[interface, address] = None
        return self._tick(now_s, interface)

    def hear(
        self, now_s: float, interface: str, message: bytes
    ) -> tuple[list[bytes], list[tuple[str, bytes]]]:
        """Learn from a message; return the answers, and packets that may go."""
        try:
            said = ARPPacket.parse(message)
        except PacketError:
            return [], []
        sender = format_address(said.sender_protocol_address)
        asker, target = said.sender_hardware_address, format_address(said.target_protocol_address)
        asks_us = self._caches[interface].receive(now_s, said.opcode, asker, sender, target)
        ready = []
        if self.find(now_s, interface, sender) is not None:
            ready = self._rooms[interface].answered(sender)
            self._asked.pop((interface, sender), None)
        answers = [self._said(interface, ARP_REPLY, asker, sender)] if asks_us else []
        return answers, [(sender, bytes.fromhex(packet)) for packet in ready]

    def give_up(self, now_s: float) -> tuple[list[tuple[str, bytes]], list[bytes]]:
        """Return questions to send once more, and packets that waited in vain."""
        questions = [(name, one) for name in self._rooms for one in self._tick(now_s, name)]
        lost, self._lost = self._lost, []
        return questions, lost

    def next_tick_s(self) -> float:
        """Return when `give_up` is wanted next: in a second, as long as packets wait."""
        return self.now_s + 1 if self._asked or self._lost else math.inf

    def _tick(self, now_s: float, interface: str) -> list[bytes]:
        """Return the questions that are due, and keep what is given up."""
        asked, lost = self._rooms[interface].tick(now_s)
        self._lost += map(bytes.fromhex, lost)
        for packet in map(bytes.fromhex, lost):
            _, destination = self.ends(packet)
            way = self.look_up(destination)
            if way is not None:
                self._asked.pop((interface, way[1] or destination), None)
        return [self._said(interface, ARP_REQUEST, FOR_ALL, address) for address in asked]

    def _said(self, interface: str, operation: int, to: bytes, about: str) -> bytes:
        """Return a frame with a question or an answer about hardware addresses."""
        own = self._interfaces[interface]
        wanted = bytes(6) if operation == ARP_REQUEST else to
        ends = own.hardware_address, own.address, wanted, parse_address(about)
        return self._frame(interface, to, ETHER_TYPE_ARP, ARPPacket(operation, *ends).build())

    def _frame(self, interface: str, to: bytes, ether_type: int, inside: bytes) -> bytes:
        own = self._interfaces[interface].hardware_address
        return EthernetHeader(to, own, ether_type).build() + inside


class AssembledRouter:
    """A router of parts, with the three methods that a network calls."""

    def __init__(self, router: Any, kit: OctetParts) -> None:
        self._router, self._kit = router, kit

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        """Take in a frame; return what to send."""
        self._kit.now_s = now_s
        return [OutgoingFrame(*sent) for sent in self._router.receive(now_s, interface, frame)]

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        """Do what is due; return what to send."""
        self._kit.now_s = now_s
        return [OutgoingFrame(*sent) for sent in self._router.tick(now_s)]

    def next_tick_s(self) -> float:
        """Return when `tick` is wanted next, infinity for never."""
        return self._kit.next_tick_s()

    def add_route(self, prefix: Prefix, next_hop: int | None, interface: str) -> None:
        """Add a route, or give its prefix another way."""
        self._kit.add_route(prefix, next_hop, interface)

    @property
    def counters(self) -> dict[str, int]:
        """What became of packets that came in."""
        counts: dict[str, int] = self._router.counters()
        return counts
