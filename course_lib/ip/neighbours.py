"""Address resolution: which hardware address belongs to an IPv4 address on this link? (RFC 826)

Whoever wants to send to a neighbour broadcasts a question and keeps the packet until the answer is
here. One `Neighbours` serves one interface; a router has one for each. It reads no clock and sends
nothing by itself: time and packets come in, and a `ResolutionResult` says what there is to do.

An address is *unknown*, then *asked for*, then *known* for a while:

* unknown: the first packet causes a question at once;
* asked for: the question is repeated once a second (RFC 1122, section 2.3.2.1, allows no more).
  Packets wait, the latest few of each address; an older one makes room (section 2.3.2.2);
* after `requests` questions without an answer, the waiting packets are given back as unreachable.
  Nothing is remembered of the failure, so that the next packet tries anew, a second later;
* known: what was learnt is used for `lifetime_s`, in use or not, and asked for again after that.

What a received packet teaches is the merge rule of RFC 826, "Packet Reception": update what is
known of the sender; if the packet is for us, add the sender; only *then* look whether it asks or
answers. So a question teaches as much as an answer, and two neighbours need one exchange, not two.

Nobody proves anything in this protocol. Three things are not believed even so: a group address as
hardware address (RFC 1812, section 3.3.2), anybody else's claim to our own address, and a sender
without an address, which only asks whether one is free (RFC 5227, section 2.1.1).

Padding to Ethernet's least length is left to the hardware, as for all frames here.

Real routers: entries live for much longer, some minutes to hours, and are asked for again shortly
before their time is up, by a question to the neighbour alone (common practice).
"""

__all__ = ["BROADCAST", "Neighbours", "ResolutionResult"]

import math
from collections import deque
from collections.abc import Iterator
from typing import Generic, NamedTuple, TypeVar

from course_lib.headers.assigned_numbers import ARP_REPLY, ARP_REQUEST, ETHER_TYPE_ARP
from course_lib.headers.ethernet import ARPPacket, EthernetHeader

BROADCAST = b"\xff" * 6
LIFETIME_S = 60.0  # RFC 1122, section 2.3.2.1: of the order of a minute
REQUEST_INTERVAL_S = 1.0  # RFC 1122, section 2.3.2.1
REQUESTS = 3  # common practice, no published source
WAITING_PACKETS = 3  # RFC 1122, section 2.3.2.2: at least the latest one
MOST_ADDRESSES = 1024  # known or asked for: a scan of the link must not fill our memory

_NOBODY = bytes(6)

T = TypeVar("T")


class ResolutionResult(NamedTuple, Generic[T]):
    """What follows from a call: frames to send, and packets that need not wait any longer."""

    frames: tuple[bytes, ...] = ()
    ready: tuple[T, ...] = ()  # oldest first; `find` knows their address now
    unreachable: tuple[T, ...] = ()  # nobody answered
    displaced: tuple[T, ...] = ()  # had to make room


class _Known(NamedTuple):
    hardware_address: bytes
    until_s: float


class _Asked(NamedTuple, Generic[T]):
    waiting: deque[T]
    due_s: float  # when to ask again, or to give up
    questions: int


class Neighbours(Generic[T]):
    """The addresses of one link, and the packets (values of any type) that wait for one.

    >>> north = Neighbours[str](bytes.fromhex("00005e005301"), 0xC0000201)
    >>> outcome = north.wait(0.0, 0xC0000202, "a packet")
    >>> len(outcome.frames), north.find(0.0, 0xC0000202)
    (1, None)
    """

    def __init__(
        self,
        hardware_address: bytes,
        address: int,
        *,
        lifetime_s: float = LIFETIME_S,
        requests: int = REQUESTS,
        waiting_packets: int = WAITING_PACKETS,
    ) -> None:
        """Speak for `address`; the three limits are those told at the top of this module."""
        if requests < 1 or waiting_packets < 1 or not lifetime_s > 0:
            raise ValueError(
                "requests and waiting_packets must be at least 1 and lifetime_s more than 0, "
                f"not {requests}, {waiting_packets} and {lifetime_s}"
            )
        self.hardware_address = hardware_address
        self.address = address
        self.conflicts = 0  # packets in which somebody else claimed our address
        self._lifetime_s = lifetime_s
        self._requests = requests
        self._room = waiting_packets
        self._known: dict[int, _Known] = {}
        self._asked: dict[int, _Asked[T]] = {}

    def find(self, now_s: float, address: int) -> bytes | None:
        """Return the hardware address of a neighbour, None if it is not known or too old."""
        known = self._known.get(address)
        if known is None or now_s >= known.until_s:
            return None
        return known.hardware_address

    def keep(self, address: int, hardware_address: bytes) -> None:
        """Enter an address that nobody needs to ask for, and that never ages."""
        self._known[address] = _Known(hardware_address, math.inf)

    def wait(self, now_s: float, address: int, item: T) -> ResolutionResult[T]:
        """Keep `item` until `address` is known, and ask for it unless that was just done."""
        asked = self._asked.get(address)
        if asked is not None:
            full = len(asked.waiting) >= self._room
            displaced = (asked.waiting.popleft(),) if full else ()
            asked.waiting.append(item)
            return ResolutionResult(displaced=displaced)
        if not self._make_room(now_s):
            return ResolutionResult(displaced=(item,))
        question = self._question(address)  # first of all, since it fails for what is no address
        self._known.pop(address, None)  # too old, or we would not be here
        self._asked[address] = _Asked(deque([item]), now_s + REQUEST_INTERVAL_S, 1)
        return ResolutionResult(frames=(question,))

    def receive(self, now_s: float, data: bytes) -> ResolutionResult[T]:
        """Take in an address resolution packet, without its Ethernet header.

        Raises `PacketError` for one that is none, or is for other kinds of addresses.
        """
        packet = ARPPacket.parse(data)
        hardware_address, sender = packet.sender_hardware_address, packet.sender_protocol_address
        for_us = packet.target_protocol_address == self.address
        if sender == self.address:
            self.conflicts += 1
            return ResolutionResult()
        if hardware_address[0] & 1 or hardware_address == _NOBODY:
            return ResolutionResult()
        ready = self._merge(now_s, sender, hardware_address, add=for_us) if sender else ()
        if for_us and packet.opcode == ARP_REQUEST:
            return ResolutionResult(frames=(self._answer(packet),), ready=ready)
        return ResolutionResult(ready=ready)

    def tick(self, now_s: float) -> ResolutionResult[T]:
        """Ask again or give up where that is due."""
        frames: list[bytes] = []
        unreachable: list[T] = []
        due = [address for address, asked in self._asked.items() if now_s >= asked.due_s]
        for address in due:
            waiting, _, questions = self._asked[address]
            if questions < self._requests:
                self._asked[address] = _Asked(waiting, now_s + REQUEST_INTERVAL_S, questions + 1)
                frames.append(self._question(address))
            else:
                unreachable += waiting
                del self._asked[address]
        return ResolutionResult(frames=tuple(frames), unreachable=tuple(unreachable))

    def next_tick_s(self) -> float:
        """Return when `tick` will next have something to do; infinity means never."""
        return min((asked.due_s for asked in self._asked.values()), default=math.inf)

    def known(self, now_s: float) -> dict[int, bytes]:
        """Return all addresses that are known now."""
        return {
            address: entry.hardware_address
            for address, entry in self._known.items()
            if now_s < entry.until_s
        }

    def entries(self) -> dict[int, tuple[bytes, float]]:
        """Return each address that was learnt: its hardware address, and until when that holds."""
        return {address: (known[0], known[1]) for address, known in self._known.items()}

    def waiting(self) -> Iterator[T]:
        """Go through all packets that wait for some address."""
        for asked in self._asked.values():
            yield from asked.waiting

    def _merge(
        self, now_s: float, sender: int, hardware_address: bytes, *, add: bool
    ) -> tuple[T, ...]:
        """Learn the sender's address as RFC 826 says; return the packets that waited for it."""
        before = self._known.get(sender)
        if before is not None and before.until_s == math.inf:
            return ()
        # RFC 826 merges first and looks at who was meant later. So a stranger can replace what we
        # know of a neighbour; what was entered by hand (`keep`) has been left alone above.
        asked = self._asked.pop(sender, None)
        is_in_table = asked is not None or before is not None
        if is_in_table or (add and self._make_room(now_s)):
            self._known[sender] = _Known(hardware_address, now_s + self._lifetime_s)
        return tuple(asked.waiting) if asked is not None else ()

    def _make_room(self, now_s: float) -> bool:
        """Return True if one more address fits, if need be after forgetting the oldest one."""
        if len(self._known) + len(self._asked) < MOST_ADDRESSES:
            return True
        ageing = [address for address, known in self._known.items() if known.until_s < math.inf]
        if not ageing:
            return False
        del self._known[min(ageing, key=lambda address: self._known[address].until_s)]
        return True

    def _question(self, address: int) -> bytes:
        mine = (self.hardware_address, self.address)
        return self._frame(BROADCAST, ARPPacket(ARP_REQUEST, *mine, _NOBODY, address))

    def _answer(self, question: ARPPacket) -> bytes:
        mine = (self.hardware_address, self.address)
        asker = (question.sender_hardware_address, question.sender_protocol_address)
        return self._frame(asker[0], ARPPacket(ARP_REPLY, *mine, *asker))

    def _frame(self, destination: bytes, packet: ARPPacket) -> bytes:
        header = EthernetHeader(destination, self.hardware_address, ETHER_TYPE_ARP)
        return header.build() + packet.build()
