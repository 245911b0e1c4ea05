"""Questions about rules that overlap, sources, protocols and what is told (12.2)."""

__all__ = ["DRAWS"]

import random

from instructor.units.items import Question
from instructor.units.unit_06.case_parts import datagram, ports
from instructor.units.unit_12.filters.scene import (
    ALL,
    ICMP,
    RULES,
    TCP,
    UDP,
    Draw,
    Rule,
    host_of,
    judged,
    mixed,
    three_nets,
)


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


def _open_first(rng: random.Random) -> Question:
    return _wide_first(rng, "pass", "drop")


def _closed_first(rng: random.Random) -> Question:
    return _wide_first(rng, "drop", "pass")


def _wide_first(rng: random.Random, wide: str, narrow: str) -> Question:
    _, to, other = three_nets(rng)
    rules: list[Rule] = [
        (ALL, f"{to}.0/24", None, None, wide), (ALL, f"{to}.0/25", None, None, narrow)
    ]  # fmt: skip
    ends = [host_of(rng, to, 1, 126), host_of(rng, to, 129, 254), host_of(rng, other)]
    packets = [_whole(rng, host_of(rng, other), end) for end in ends]
    return judged(RULES, rules, "drop", *mixed(rng, packets))


def _narrow_first(rng: random.Random) -> Question:
    _, to, other = three_nets(rng)
    rules: list[Rule] = [
        (ALL, f"{to}.64/26", None, None, "drop"), (ALL, f"{to}.0/24", None, None, "pass")
    ]  # fmt: skip
    ends = [host_of(rng, to, 64, 127), host_of(rng, to, 128, 254), host_of(rng, to, 1, 63)]
    packets = [_whole(rng, host_of(rng, other), end) for end in ends]
    return judged(RULES, rules, "drop", *mixed(rng, packets))


def _sources(rng: random.Random) -> Question:
    one, to, other = three_nets(rng)
    rules: list[Rule] = [(f"{one}.128/25", f"{to}.0/24", None, None, "pass")]
    starts = [host_of(rng, one, 128, 254), host_of(rng, one, 1, 127), host_of(rng, other)]
    packets = [_whole(rng, start, host_of(rng, to)) for start in starts]
    return judged(RULES, rules, "drop", *mixed(rng, packets))


def _destinations(rng: random.Random) -> Question:
    one, to, other = three_nets(rng)
    rules: list[Rule] = [(f"{one}.0/24", f"{to}.0/25", None, None, "pass")]
    ends = [host_of(rng, to, 1, 127), host_of(rng, to, 128, 254), host_of(rng, other)]
    packets = [_whole(rng, host_of(rng, one), end) for end in ends]
    return judged(RULES, rules, "drop", *mixed(rng, packets))


def _protocols(rng: random.Random) -> Question:
    one, to, _ = three_nets(rng)
    protocols = rng.sample((ICMP, TCP, UDP), 3)
    rules: list[Rule] = [(ALL, ALL, protocols[0], None, "pass")]
    packets = [_whole(rng, host_of(rng, one), host_of(rng, to), each) for each in protocols]
    return judged(RULES, rules, "drop", *mixed(rng, packets))


def _none_fits(rng: random.Random) -> Question:
    one, to, other = three_nets(rng)
    rules: list[Rule] = [(ALL, f"{to}.0/24", None, None, "drop")]
    packets = [_whole(rng, host_of(rng, one), host_of(rng, net)) for net in (to, other, other)]
    return judged(RULES, rules, "pass", *mixed(rng, packets))


def _told(rng: random.Random) -> Question:
    one, to, other = three_nets(rng)
    rules: list[Rule] = [
        (ALL, f"{to}.0/24", None, None, "tell"), (ALL, f"{other}.0/24", None, None, "pass")
    ]  # fmt: skip
    packets = [_whole(rng, host_of(rng, one), host_of(rng, net)) for net in (to, other, one)]
    return judged(RULES, rules, "drop", *mixed(rng, packets))


DRAWS: tuple[Draw, ...] = (
    _open_first,
    _closed_first,
    _narrow_first,
    _sources,
    _destinations,
    _protocols,
    _none_fits,
    _told,
    _told,
)
