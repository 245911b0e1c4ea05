"""Questions about ports at both ends of a range, and about options (12.2)."""

__all__ = ["DRAWS"]

import random

from instructor.units.items import Question
from instructor.units.unit_06.case_parts import datagram, ports
from instructor.units.unit_12.filters.scene import (
    ALL,
    AROUND,
    PORTS,
    TCP,
    UDP,
    Draw,
    Rule,
    host_of,
    judged,
    mixed,
    three_nets,
)

NO_PORTS = (47, 50, 89)  # protocols that have other fields where ports would be


def _to_port(rng: random.Random, source: int, destination: int, options: bytes = b"") -> bytes:
    one, to, _ = three_nets(rng)
    protocol = rng.choice((TCP, UDP))
    rest = bytes(12) if protocol == TCP else b""
    return datagram(
        ports(source, destination, rest), source=host_of(rng, one), destination=host_of(rng, to),
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
    return judged(PORTS, _only(first, last), "drop", *mixed(rng, packets))


def _source_ports(rng: random.Random) -> Question:
    port, other = rng.sample(range(1000, 40_000, 100), 2)
    packets = [_to_port(rng, port, other), _to_port(rng, other, port), _to_port(rng, port, other)]
    return judged(PORTS, _around(port), "drop", *mixed(rng, packets))


def _portless(rng: random.Random, port: int) -> bytes:
    one, to, _ = three_nets(rng)
    return datagram(
        ports(port, port, rng.randbytes(4)), source=host_of(rng, one), destination=host_of(rng, to),
        protocol=rng.choice(NO_PORTS),
    )  # fmt: skip


def _no_ports_pass(rng: random.Random) -> Question:
    """Let a rule about ports stop nothing that has none."""
    port = rng.randint(1000, 40_000)
    rules: list[Rule] = [(ALL, ALL, None, (port, port), "drop"), (ALL, ALL, None, None, "pass")]
    packets = [_portless(rng, port), _portless(rng, port + 1), _to_port(rng, port + 1, port + 1)]
    return judged(PORTS, rules, "drop", *mixed(rng, packets))


def _no_ports_fit(rng: random.Random) -> Question:
    port = rng.randint(1000, 40_000)
    packets = [_portless(rng, port), _to_port(rng, port, port)]
    return judged(PORTS, _around(port), "drop", *mixed(rng, packets))


def _options(rng: random.Random) -> Question:
    """Let options hold what ports would say without them."""
    port = rng.randint(1000, 40_000)
    no_operation = b"\x01" * 4 * rng.randint(1, 3)
    packets = [
        _to_port(rng, port, port, no_operation),
        _to_port(rng, 0x0101, 0x0101, no_operation),
    ]
    return judged(PORTS, _around(rng.choice((port, 0x0101))), "drop", *mixed(rng, packets))


DRAWS: tuple[Draw, ...] = (
    _range,
    _source_ports,
    _no_ports_pass,
    _no_ports_fit,
    _options,
    _options,
)
