"""What all questions about a filter (12.2) share: nets, hosts, and packets that come in a row."""

__all__ = [
    "ALL", "AROUND", "FRAGMENTS", "ICMP", "NETS", "PORTS", "RULES", "TCP", "UDP", "Draw", "Rule",
    "host_of", "judged", "mixed", "three_nets",
]  # fmt: skip

import random
from collections.abc import Callable

from instructor.units.items import Question
from instructor.units.unit_10.secret_events import events

RULES, PORTS, FRAGMENTS = "rules", "ports", "fragments"
ALL = "0.0.0.0/0"
NETS = ("192.0.2", "198.51.100", "203.0.113")
ICMP, TCP, UDP = 1, 6, 17
AROUND = 9  # ports on both sides of one that is open, wherever the ends are not asked for
Rule = tuple[str, str, int | None, tuple[int, int] | None, str]
Draw = Callable[[random.Random], Question]


def judged(
    aspect: str, rules: list[Rule], otherwise: str, *packets: bytes, most: int = 4
) -> Question:
    """Let packets come to a filter."""
    calls = [("judge", one) for one in packets]
    return events(aspect, (rules, otherwise, most), *calls)


def mixed(rng: random.Random, packets: list[bytes]) -> list[bytes]:
    """Return packets in any order."""
    rng.shuffle(packets)
    return packets


def three_nets(rng: random.Random) -> list[str]:
    """Return three nets in any order."""
    return rng.sample(NETS, 3)


def host_of(rng: random.Random, net: str, low: int = 1, high: int = 254) -> str:
    """Return an address of a net."""
    return f"{net}.{rng.randint(low, high)}"
