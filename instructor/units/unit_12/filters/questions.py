"""Questions about a filter with a memory (12.2): the public ones are two draws of many.

What one aspect asks for must not fall with another. Only "rules" has rules that overlap, sources,
protocols, another default than "drop", and whole packets of which somebody is told; only "ports"
has options; only "fragments" has fragments.
"""

__all__ = ["FILTER", "filter_questions"]

import random
from collections.abc import Callable
from typing import Any, NamedTuple

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_06.case_parts import datagram, ports
from instructor.units.unit_10.secret_events import events

RULES, PORTS, FRAGMENTS = "rules", "ports", "fragments"
ALL = "0.0.0.0/0"
NETS = ("192.0.2", "198.51.100", "203.0.113")
ICMP, TCP, UDP = 1, 6, 17
NO_PORTS = (47, 50, 89)  # protocols that have other fields where ports would be
MORE = 0x2000
AROUND = 9  # ports on both sides of one that is open, wherever the ends are not asked for
Rule = tuple[str, str, int | None, tuple[int, int] | None, str]
Draw = Callable[[random.Random], Question]


class Flow(NamedTuple):
    """What the fragments of a datagram share."""

    source: str
    destination: str
    protocol: int
    number: int


def filter_questions(rng: random.Random) -> list[Question]:
    """Draw rules that overlap, ports at both ends of a range, and datagrams in pieces."""
    kinds: tuple[tuple[Draw, int], ...] = (
        (_open_first, 1), (_closed_first, 1), (_narrow_first, 1), (_sources, 1), (_destinations, 1),
        (_protocols, 1), (_none_fits, 2), (_told, 2),
        (_range, 2), (_source_ports, 1), (_no_ports_pass, 1), (_no_ports_fit, 1), (_options, 2),
        (_not_read, 1), (_icmp_follows, 1), (_udp_follows, 1), (_not_passed, 2), (_orphans, 1),
        (_too_early, 1), (_other_number, 1), (_other_half, 1),
        (_other_protocol, 1), (_other_source, 1),
        (_other_destination, 1), (_short, 1), (_just_enough, 1), (_others_short, 1), (_second, 1),
        (_others_second, 1), (_forgotten, 1), (_not_renewed, 1), (_whole_between, 1),
    )  # fmt: skip
    return [draw(rng) for draw, number in kinds for _ in range(number)]


def _judged(
    aspect: str, rules: list[Rule], otherwise: str, *packets: bytes, most: int = 4
) -> Question:
    calls = [("judge", one) for one in packets]
    return events(aspect, (rules, otherwise, most), *calls)


def _mixed(rng: random.Random, packets: list[bytes]) -> list[bytes]:
    rng.shuffle(packets)
    return packets


def _nets(rng: random.Random) -> list[str]:
    return rng.sample(NETS, 3)


def _host(rng: random.Random, net: str, low: int = 1, high: int = 254) -> str:
    return f"{net}.{rng.randint(low, high)}"


def _inside(rng: random.Random, protocol: int, port: int = 0) -> bytes:
    """Return what a whole packet holds: TCP and UDP with a port, others with some octets."""
    if protocol not in (TCP, UDP):
        return rng.randbytes(8)
    rest = bytes(12) if protocol == TCP else b""
    return ports(rng.randint(49_152, 65_000), port or rng.randint(1, 1023), rest)


def _whole(rng: random.Random, source: str, destination: str, protocol: int = 0) -> bytes:
    protocol = protocol or rng.choice((ICMP, TCP, UDP))
    return datagram(
        _inside(rng, protocol), source=source, destination=destination, protocol=protocol
    )


# rules


def _open_first(rng: random.Random) -> Question:
    return _wide_first(rng, "pass", "drop")


def _closed_first(rng: random.Random) -> Question:
    return _wide_first(rng, "drop", "pass")


def _wide_first(rng: random.Random, wide: str, narrow: str) -> Question:
    _, to, other = _nets(rng)
    rules: list[Rule] = [
        (ALL, f"{to}.0/24", None, None, wide), (ALL, f"{to}.0/25", None, None, narrow)
    ]  # fmt: skip
    ends = [_host(rng, to, 1, 126), _host(rng, to, 129, 254), _host(rng, other)]
    packets = [_whole(rng, _host(rng, other), end) for end in ends]
    return _judged(RULES, rules, "drop", *_mixed(rng, packets))


def _narrow_first(rng: random.Random) -> Question:
    _, to, other = _nets(rng)
    rules: list[Rule] = [
        (ALL, f"{to}.64/26", None, None, "drop"), (ALL, f"{to}.0/24", None, None, "pass")
    ]  # fmt: skip
    ends = [_host(rng, to, 64, 127), _host(rng, to, 128, 254), _host(rng, to, 1, 63)]
    packets = [_whole(rng, _host(rng, other), end) for end in ends]
    return _judged(RULES, rules, "drop", *_mixed(rng, packets))


def _sources(rng: random.Random) -> Question:
    one, to, other = _nets(rng)
    rules: list[Rule] = [(f"{one}.128/25", f"{to}.0/24", None, None, "pass")]
    starts = [_host(rng, one, 128, 254), _host(rng, one, 1, 127), _host(rng, other)]
    packets = [_whole(rng, start, _host(rng, to)) for start in starts]
    return _judged(RULES, rules, "drop", *_mixed(rng, packets))


def _destinations(rng: random.Random) -> Question:
    one, to, other = _nets(rng)
    rules: list[Rule] = [(f"{one}.0/24", f"{to}.0/25", None, None, "pass")]
    ends = [_host(rng, to, 1, 127), _host(rng, to, 128, 254), _host(rng, other)]
    packets = [_whole(rng, _host(rng, one), end) for end in ends]
    return _judged(RULES, rules, "drop", *_mixed(rng, packets))


def _protocols(rng: random.Random) -> Question:
    one, to, _ = _nets(rng)
    protocols = rng.sample((ICMP, TCP, UDP), 3)
    rules: list[Rule] = [(ALL, ALL, protocols[0], None, "pass")]
    packets = [_whole(rng, _host(rng, one), _host(rng, to), each) for each in protocols]
    return _judged(RULES, rules, "drop", *_mixed(rng, packets))


def _none_fits(rng: random.Random) -> Question:
    one, to, other = _nets(rng)
    rules: list[Rule] = [(ALL, f"{to}.0/24", None, None, "drop")]
    packets = [_whole(rng, _host(rng, one), _host(rng, net)) for net in (to, other, other)]
    return _judged(RULES, rules, "pass", *_mixed(rng, packets))


def _told(rng: random.Random) -> Question:
    one, to, other = _nets(rng)
    rules: list[Rule] = [
        (ALL, f"{to}.0/24", None, None, "tell"), (ALL, f"{other}.0/24", None, None, "pass")
    ]  # fmt: skip
    packets = [_whole(rng, _host(rng, one), _host(rng, net)) for net in (to, other, one)]
    return _judged(RULES, rules, "drop", *_mixed(rng, packets))


# ports


def _to_port(rng: random.Random, source: int, destination: int, options: bytes = b"") -> bytes:
    one, to, _ = _nets(rng)
    protocol = rng.choice((TCP, UDP))
    rest = bytes(12) if protocol == TCP else b""
    return datagram(
        ports(source, destination, rest), source=_host(rng, one), destination=_host(rng, to),
        protocol=protocol, options=options,
    )  # fmt: skip


def _only(first: int, last: int) -> list[Rule]:
    return [(ALL, ALL, None, (first, last), "pass")]


def _around(port: int) -> list[Rule]:
    """Return a rule in which a port lies far from both ends."""
    return _only(port - AROUND, port + AROUND)


def _range(rng: random.Random) -> Question:
    first = rng.randint(1, 200) * 256 + rng.randint(-2, 2) + 256
    last = first + rng.randint(1, 300)
    packets = [_to_port(rng, port, port) for port in (first - 1, first, last, last + 1)]
    return _judged(PORTS, _only(first, last), "drop", *_mixed(rng, packets))


def _source_ports(rng: random.Random) -> Question:
    port, other = rng.sample(range(1000, 40_000, 100), 2)
    packets = [_to_port(rng, port, other), _to_port(rng, other, port), _to_port(rng, port, other)]
    return _judged(PORTS, _around(port), "drop", *_mixed(rng, packets))


def _portless(rng: random.Random, port: int) -> bytes:
    one, to, _ = _nets(rng)
    return datagram(
        ports(port, port, rng.randbytes(4)), source=_host(rng, one), destination=_host(rng, to),
        protocol=rng.choice(NO_PORTS),
    )  # fmt: skip


def _no_ports_pass(rng: random.Random) -> Question:
    """Let a rule about ports stop nothing that has none."""
    port = rng.randint(1000, 40_000)
    rules: list[Rule] = [(ALL, ALL, None, (port, port), "drop"), (ALL, ALL, None, None, "pass")]
    packets = [_portless(rng, port), _portless(rng, port + 1), _to_port(rng, port + 1, port + 1)]
    return _judged(PORTS, rules, "drop", *_mixed(rng, packets))


def _no_ports_fit(rng: random.Random) -> Question:
    port = rng.randint(1000, 40_000)
    packets = [_portless(rng, port), _to_port(rng, port, port)]
    return _judged(PORTS, _around(port), "drop", *_mixed(rng, packets))


def _options(rng: random.Random) -> Question:
    """Let options hold what ports would say without them."""
    port = rng.randint(1000, 40_000)
    no_operation = b"\x01" * 4 * rng.randint(1, 3)
    packets = [
        _to_port(rng, port, port, no_operation),
        _to_port(rng, 0x0101, 0x0101, no_operation),
    ]
    return _judged(PORTS, _around(rng.choice((port, 0x0101))), "drop", *_mixed(rng, packets))


# fragments


class Harbour(NamedTuple):
    """Rules for three nets: all may go to the first, one port of the second is open."""

    open: str
    by_port: str
    told: str
    port: int

    @property
    def closed(self) -> int:
        """Return a port that is not open."""
        return self.port + AROUND + 1

    @property
    def rules(self) -> list[Rule]:
        """Return the rules, of which no two overlap."""
        return [
            (ALL, f"{self.by_port}.0/24", None, (self.port - AROUND, self.port + AROUND), "pass"),
            (ALL, f"{self.open}.0/24", None, None, "pass"),
            (ALL, f"{self.told}.0/24", None, None, "tell"),
        ]


def _harbour(rng: random.Random) -> Harbour:
    first, second, third = _nets(rng)
    return Harbour(first, second, third, rng.randint(1000, 40_000))


def _flow(rng: random.Random, net: str, protocol: int) -> Flow:
    ends = _host(rng, rng.choice(NETS)), _host(rng, net)
    return Flow(*ends, protocol, rng.randint(1, 65_000))


def _piece(flow: Flow, offset: int, data: bytes, more: bool = True, hops: int = 64) -> bytes:
    """Build a fragment; its offset is in units of 8 octets. Each may take a way of its own."""
    return datagram(
        data, source=flow.source, destination=flow.destination, protocol=flow.protocol,
        hops=hops, identification=flow.number, fragment=offset | (MORE if more else 0),
    )  # fmt: skip


def _first(rng: random.Random, flow: Flow, port: int = 0, octets: int = 24) -> bytes:
    """Build a first fragment with a destination port, if its protocol has one."""
    start = ports(port, port) if flow.protocol in (TCP, UDP) else rng.randbytes(8)
    return _piece(flow, 0, (start + bytes(octets))[:octets])


def _later(rng: random.Random, flow: Flow, offset: int = 0, port: int | None = None) -> bytes:
    """Build a later fragment, in whose place of ports perhaps a port stands."""
    data = rng.randbytes(8) if port is None else ports(port, port, bytes(4))
    more, hops = rng.random() < 0.5, rng.randint(2, 63)
    return _piece(flow, offset or rng.randint(3, 200), data, more, hops)


def _row(harbour: Harbour, *packets: bytes, most: int = 4) -> Question:
    return _judged(FRAGMENTS, harbour.rules, "drop", *packets, most=most)


def _not_read(rng: random.Random) -> Question:
    """Let octets that look like ports stand in later fragments of TCP."""
    harbour = _harbour(rng)
    orphan, whole = _flow(rng, harbour.by_port, TCP), _flow(rng, harbour.by_port, TCP)
    packets = [
        _later(rng, orphan, port=harbour.port),
        _first(rng, whole, harbour.port),
        _later(rng, whole, port=harbour.closed),
    ]
    place = rng.randint(0, 2)
    return _row(harbour, *packets[1 : place + 1], packets[0], *packets[place + 1 :])


def _icmp_follows(rng: random.Random) -> Question:
    harbour = _harbour(rng)
    flow = _flow(rng, harbour.open, ICMP)
    pieces = [_later(rng, flow) for _ in range(rng.randint(1, 3))]
    return _row(harbour, _first(rng, flow), *pieces)


def _udp_follows(rng: random.Random) -> Question:
    harbour = _harbour(rng)
    flow = _flow(rng, harbour.by_port, UDP)
    pieces = [_later(rng, flow, port=port) for port in (harbour.port, harbour.closed)]
    return _row(harbour, _first(rng, flow, harbour.port), *_mixed(rng, pieces))


def _not_passed(rng: random.Random) -> Question:
    """Let a datagram come whose first fragment is dropped or told of, and one that passes."""
    harbour = _harbour(rng)
    told, good = _flow(rng, harbour.told, UDP), _flow(rng, harbour.open, UDP)
    closed = _flow(rng, harbour.by_port, UDP)
    bad, port = rng.choice(((told, harbour.port), (closed, harbour.closed)))
    packets = [_first(rng, bad, port), _later(rng, bad), _first(rng, good), _later(rng, good)]
    return _row(harbour, *packets, _later(rng, bad))


def _orphans(rng: random.Random) -> Question:
    harbour = _harbour(rng)
    flow, other = _flow(rng, harbour.open, UDP), _flow(rng, harbour.open, UDP)
    pieces = [_later(rng, flow), _first(rng, other), _later(rng, flow, 1)]
    return _row(harbour, *_mixed(rng, pieces))


def _too_early(rng: random.Random) -> Question:
    harbour = _harbour(rng)
    flow = _flow(rng, harbour.open, UDP)
    return _row(harbour, _later(rng, flow), _first(rng, flow), _later(rng, flow))


def _differs(rng: random.Random, **other: Any) -> Question:
    """Let a first fragment pass, and a later one come that differs in one field."""
    harbour = _harbour(rng)
    flow = _flow(rng, harbour.open, 50)
    if "source" in other:
        other["source"] = f"{flow.source.rpartition('.')[0]}.{_next(flow.source)}"
    if "destination" in other:
        other["destination"] = f"{harbour.open}.{_next(flow.destination)}"
    if "number" in other:
        other["number"] += flow.number
    pieces = [_later(rng, flow), _later(rng, flow._replace(**other))]
    return _row(harbour, _first(rng, flow), *_mixed(rng, pieces))


def _next(address: str) -> int:
    return int(address.rpartition(".")[2]) % 254 + 1


def _other_number(rng: random.Random) -> Question:
    return _differs(rng, number=rng.randint(1, 300))


def _other_half(rng: random.Random) -> Question:
    """Let numbers differ in their first octet alone."""
    return _differs(rng, number=256)


def _other_protocol(rng: random.Random) -> Question:
    return _differs(rng, protocol=89)


def _other_source(rng: random.Random) -> Question:
    return _differs(rng, source="")


def _other_destination(rng: random.Random) -> Question:
    return _differs(rng, destination="")


def _short(rng: random.Random) -> Question:
    harbour = _harbour(rng)
    flow, whole = _flow(rng, harbour.by_port, TCP), _flow(rng, harbour.by_port, TCP)
    packets = [
        _first(rng, flow, harbour.port, 8),
        _piece(whole, 0, ports(harbour.port, harbour.port, bytes(12)), more=False),
    ]
    return _row(harbour, *_mixed(rng, packets), _later(rng, flow, 3))


def _just_enough(rng: random.Random) -> Question:
    harbour = _harbour(rng)
    flows = [_flow(rng, harbour.by_port, TCP) for _ in range(2)]
    packets = [_first(rng, flow, harbour.port, 16) for flow in flows[: rng.randint(1, 2)]]
    return _row(harbour, *packets, _first(rng, flows[1], harbour.closed, 16))


def _others_short(rng: random.Random) -> Question:
    harbour = _harbour(rng)
    flows = [_flow(rng, harbour.by_port, UDP), _flow(rng, harbour.open, 50)]
    packets = [_first(rng, flow, harbour.port, 8) for flow in flows]
    return _row(harbour, *_mixed(rng, packets))


def _second(rng: random.Random) -> Question:
    """Let a fragment come that would lie over the flags of the first one."""
    harbour = _harbour(rng)
    flow = _flow(rng, harbour.by_port, TCP)
    first = _first(rng, flow, harbour.port, rng.choice((16, 24)))
    pieces = [_later(rng, flow, 1, harbour.port), _later(rng, flow, 3, harbour.port)]
    return _row(harbour, first, *_mixed(rng, pieces))


def _others_second(rng: random.Random) -> Question:
    harbour = _harbour(rng)
    flow = _flow(rng, harbour.open, rng.choice((UDP, 50)))
    return _row(harbour, _first(rng, flow, octets=8), _later(rng, flow, 1), _later(rng, flow, 2))


def _forgotten(rng: random.Random) -> Question:
    """Let one datagram more pass than is remembered, and then the rest of all."""
    harbour, most = _harbour(rng), rng.randint(1, 3)
    flows = [_flow(rng, harbour.open, 50) for _ in range(most + rng.randint(1, 2))]
    rest = _mixed(rng, [_later(rng, flow) for flow in flows])
    return _row(harbour, *[_first(rng, flow) for flow in flows], *rest, most=most)


def _not_renewed(rng: random.Random) -> Question:
    """Let the rest of the oldest datagram come before one more passes."""
    harbour, most = _harbour(rng), rng.randint(2, 3)
    flows = [_flow(rng, harbour.open, 50) for _ in range(most + 1)]
    firsts = [_first(rng, flow) for flow in flows]
    rest = [_later(rng, flow) for flow in rng.sample(flows, len(flows))]
    return _row(harbour, *firsts[:most], _later(rng, flows[0]), firsts[most], *rest, most=most)


def _whole_between(rng: random.Random) -> Question:
    """Let whole datagrams pass between the first fragment of one and its last."""
    harbour = _harbour(rng)
    flow = _flow(rng, harbour.open, 50)
    others = [_flow(rng, harbour.open, 50) for _ in range(rng.randint(1, 2))]
    whole = [_piece(other, 0, rng.randbytes(8), more=False) for other in others]
    return _row(harbour, _first(rng, flow), *whole, _later(rng, flow), most=1)


FILTER = (
    events(
        RULES,
        ([(ALL, ALL, None, None, "tell")], "pass", 1),
        ("judge", datagram(ports(60_000, 7, b""), source="192.0.2.1", destination="192.0.2.2")),
        source="the contract's own example",
        published=Expected(value=["tell"]),
    ),
    *filter_questions(random.Random("what everybody may see")),
    *filter_questions(random.Random("once more")),
)
