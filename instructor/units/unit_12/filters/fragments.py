"""Questions about datagrams in pieces (12.2)."""

__all__ = ["DRAWS"]

import random
from typing import Any, NamedTuple

from instructor.units.items import Question
from instructor.units.unit_06.case_parts import datagram, ports
from instructor.units.unit_12.filters.scene import (
    ALL,
    AROUND,
    FRAGMENTS,
    ICMP,
    NETS,
    TCP,
    UDP,
    Draw,
    Rule,
    host_of,
    judged,
    mixed,
    three_nets,
)

MORE, WHOLE = 0x2000, 0x4000  # more fragments; do not fragment


class Flow(NamedTuple):
    """What the fragments of a datagram share."""

    source: str
    destination: str
    protocol: int
    number: int


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
    first, second, third = three_nets(rng)
    return Harbour(first, second, third, rng.randint(1000, 40_000))


def _flow(rng: random.Random, net: str, protocol: int) -> Flow:
    ends = host_of(rng, rng.choice(NETS)), host_of(rng, net)
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
    far = rng.choice((rng.randint(3, 200), 256 * rng.randint(1, 15), 4096))
    return _piece(flow, offset or far, data, more, hops)


def _row(harbour: Harbour, *packets: bytes, otherwise: str = "drop", most: int = 4) -> Question:
    return judged(FRAGMENTS, harbour.rules, otherwise, *packets, most=most)


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
    return _row(harbour, _first(rng, flow, harbour.port), *mixed(rng, pieces))


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
    return _row(harbour, *mixed(rng, pieces), otherwise=rng.choice(("pass", "tell")))


def _by_otherwise(rng: random.Random) -> Question:
    """Let a datagram pass that no rule fits."""
    harbour = _harbour(rng)
    flow = _flow(rng, harbour.told, 50)
    packets = [_first(rng, flow), _later(rng, flow), _later(rng, flow)]
    return judged(FRAGMENTS, [(ALL, f"{harbour.open}.0/24", None, None, "drop")], "pass", *packets)


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
    return _row(harbour, _first(rng, flow), *mixed(rng, pieces))


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
    return _row(harbour, *mixed(rng, packets), _later(rng, flow, 3))


def _short_with_options(rng: random.Random) -> Question:
    """Let options make a packet longer whose first fragment is short."""
    harbour = _harbour(rng)
    flow = _flow(rng, harbour.by_port, TCP)
    data = ports(harbour.port, harbour.port)
    short = datagram(
        data, source=flow.source, destination=flow.destination, protocol=TCP,
        identification=flow.number, fragment=MORE, options=b"\x01" * 4 * rng.randint(3, 5),
    )  # fmt: skip
    whole = _flow(rng, harbour.by_port, UDP)
    return _row(harbour, *mixed(rng, [short, _first(rng, whole, harbour.port)]))


def _just_enough(rng: random.Random) -> Question:
    harbour = _harbour(rng)
    flows = [_flow(rng, harbour.by_port, TCP) for _ in range(2)]
    packets = [_first(rng, flow, harbour.port, 16) for flow in flows[: rng.randint(1, 2)]]
    return _row(harbour, *packets, _first(rng, flows[1], harbour.closed, 16))


def _others_short(rng: random.Random) -> Question:
    harbour = _harbour(rng)
    flows = [_flow(rng, harbour.by_port, UDP), _flow(rng, harbour.open, 50)]
    packets = [_first(rng, flow, harbour.port, 8) for flow in flows]
    return _row(harbour, *mixed(rng, packets))


def _second(rng: random.Random) -> Question:
    """Let a fragment come that would lie over the flags of the first one."""
    harbour = _harbour(rng)
    flow = _flow(rng, harbour.by_port, TCP)
    first = _first(rng, flow, harbour.port, rng.choice((16, 24)))
    over = ports(harbour.port, harbour.port, bytes(4))
    pieces = [_piece(flow, 1, over, more) for more in (False, True)]
    pieces.append(_later(rng, flow, 3, harbour.port))
    return _row(harbour, first, *mixed(rng, pieces))


def _others_second(rng: random.Random) -> Question:
    harbour = _harbour(rng)
    flow = _flow(rng, harbour.open, rng.choice((UDP, 50)))
    return _row(harbour, _first(rng, flow, octets=8), _later(rng, flow, 1), _later(rng, flow, 2))


def _forgotten(rng: random.Random) -> Question:
    """Let one datagram more pass than is remembered, and then the rest of all."""
    harbour, most = _harbour(rng), rng.randint(1, 3)
    flows = [_flow(rng, harbour.open, 50) for _ in range(most + rng.randint(1, 2))]
    rest = mixed(rng, [_later(rng, flow) for flow in flows])
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
    others = [_flow(rng, harbour.open, 50) for _ in range(2)]
    bits = [rng.choice((0, WHOLE)), WHOLE]
    whole = [
        datagram(
            rng.randbytes(8), source=other.source, destination=other.destination, protocol=50,
            identification=other.number, fragment=bit,
        )
        for other, bit in zip(others, bits, strict=False)
    ]  # fmt: skip
    return _row(harbour, _first(rng, flow), *whole, _later(rng, flow), most=1)


DRAWS: tuple[Draw, ...] = (
    _not_read,
    _icmp_follows,
    _udp_follows,
    _not_passed,
    _not_passed,
    _orphans,
    _by_otherwise,
    _too_early,
    _other_number,
    _other_half,
    _other_protocol,
    _other_source,
    _other_destination,
    _short,
    _short_with_options,
    _just_enough,
    _others_short,
    _second,
    _others_second,
    _forgotten,
    _not_renewed,
    _whole_between,
)
