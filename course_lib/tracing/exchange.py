"""Follow all frames of a small network, and note after each what every place knows by then.

A `Moment` is the arrival of a frame, or its loss, or something that a place does because its time
has come. What follows at once belongs to it: what somebody drops, gives up or learns. The network
is the real one, run event by event; nothing here decides what happens, but for one thing: an answer
that shall get lost meets a wire that is cut while it is on it, and mended at once.
"""

__all__ = ["Answer", "Knowledge", "Moment", "Travel", "follow_exchange", "knowledge_of"]

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Any, NamedTuple, cast

from course_lib.forwarding.router import Router
from course_lib.headers.assigned_numbers import ARP_REPLY, ETHER_TYPE_ARP
from course_lib.headers.errors import Reason
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.ip.neighbours import BROADCAST, Neighbours
from course_lib.ip.packets import Packet
from course_lib.network.records import Record, What
from course_lib.network.simulation import Network

Answer = tuple[str, int]
"""The n-th answer (from 1 on) that a place gives to who asks for its hardware address."""

_ENDS = (What.DELIVERED, What.LOST, What.DROPPED)
_HEARD = {
    What.ECHO_REPLY: "has its answer",
    What.TIME_EXCEEDED: "is told: time exceeded",
    What.UNREACHABLE: "is told: unreachable",
    What.DATAGRAM: "takes it in",
}
ETHERNET_OCTETS = 14


class Travel(NamedTuple):
    """A frame on a wire: its ends, its octets, and whether it arrived."""

    origin: str
    target: str
    octets: bytes
    arrives: bool
    answer: Answer | None  # which one, if it answers who asked for a hardware address


class Knowledge(NamedTuple):
    """What a place knows of its neighbours, by address, and the frames of packets that wait."""

    known: tuple[tuple[int, bytes], ...]
    waiting: tuple[int, ...]  # how long the frames of these packets are, oldest first


class Moment(NamedTuple):
    """What happened at a time, and what each place knows after it; `notes` tell place and words."""

    time_s: float
    travel: Travel | None
    notes: tuple[tuple[str, str], ...]
    knowledge: dict[str, Knowledge]


def follow_exchange(
    network: Network, until_s: float, lost: Collection[Answer] = ()
) -> tuple[Moment, ...]:
    """Run a network and return all that happens in it, in order.

    `lost` are the answers that shall never arrive. Routers must be the library's own.
    """
    seen, given = 0, Counter[str]()
    dropped = {place: Counter[Reason]() for place in network.routers}
    answers: dict[tuple[str, str, int], Answer] = {}  # by wire, who sends, and number there
    places = [*network.routers, *network.hosts]
    moments: list[Moment] = []
    while len(network.records) > seen or network.now_s < until_s:
        if len(network.records) == seen:
            network.run_until(until_s, stop=partial(_has_more, network.records, seen))
        new, seen = network.records[seen:], len(network.records)
        for record in new:
            if record.what is What.SENT and _is_answer(record.frame):
                given[record.place] += 1
                answers[_key(record)] = (record.place, given[record.place])
        notes = (*_heard(new), *_dropped(network, dropped))
        travels = [_travel(network, one, answers) for one in new if one.wire and one.what in _ENDS]
        if travels or notes:
            knowledge = {place: knowledge_of(network, place) for place in places}
            moments.append(Moment(network.now_s, next(iter(travels), None), notes, knowledge))
        for record in new:
            if record.what is What.SENT and answers.get(_key(record)) in lost:
                network.cut(record.wire)
                network.mend(record.wire)
    return tuple(moments)


def knowledge_of(network: Network, place: str) -> Knowledge:
    """Return what a place knows now; addresses that stand for all are left out."""
    tables: Iterable[Neighbours[Any]]
    if place in network.hosts:
        tables = [network.hosts[place].neighbours]
        waiting = [len(one.octets) for table in tables for one in table.waiting()]
    else:
        router = cast(Router, network.routers[place])
        tables = router.neighbours.values()
        waiting = [_octets(packet) for table in tables for packet, _ in table.waiting()]
    known = {a: m for table in tables for a, m in table.known(network.now_s).items()}
    return Knowledge(
        tuple((address, mac) for address, mac in known.items() if mac != BROADCAST),
        tuple(ETHERNET_OCTETS + octets for octets in waiting),
    )


def _has_more(records: Sequence[Record], than: int) -> bool:
    return len(records) > than


def _octets(packet: Packet) -> int:
    return packet.header.total_length if packet.header else len(packet.payload)


def _heard(records: Iterable[Record]) -> Iterator[tuple[str, str]]:
    """Yield what hosts have found out."""
    for record in records:
        if record.what in _HEARD and not record.wire:
            yield record.place, record.text or _HEARD[record.what]


def _dropped(network: Network, before: dict[str, Counter[Reason]]) -> Iterator[tuple[str, str]]:
    """Yield what routers have dropped since this was asked last; `before` is brought up to date."""
    for place, counted in before.items():
        now = cast(Router, network.routers[place]).counters.dropped
        for reason, number in (now - counted).items():
            yield place, f"drops {number}: {reason}"
        before[place] = Counter(now)


def _travel(
    network: Network, record: Record, answers: Mapping[tuple[str, str, int], Answer]
) -> Travel:
    """Return the way of a frame that arrived, or that did not."""
    arrives = record.what is What.DELIVERED
    here, there = sorted(
        (end.place for end in network.wires[record.wire].ends),
        key=lambda place: place != record.place,
    )
    origin, target = (there, here) if arrives else (here, there)  # where the record is written
    answer = answers.get((record.wire, origin, record.number))
    return Travel(origin, target, record.frame, arrives, answer)


def _key(record: Record) -> tuple[str, str, int]:
    return record.wire, record.place, record.number


def _is_answer(frame: bytes) -> bool:
    if EthernetHeader.parse(frame).ether_type != ETHER_TYPE_ARP:
        return False
    return ARPPacket.parse(frame[ETHERNET_OCTETS:]).opcode == ARP_REPLY
