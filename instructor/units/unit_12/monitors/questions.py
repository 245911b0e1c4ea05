"""Questions about a monitor (12.3): the public ones are two draws of many.

What one aspect asks for must not fall with another. Only "spoofed sources" has more than one way;
only "memory" has more pairs than are remembered, no two of which share a host.
"""

__all__ = ["MONITOR", "monitor_questions"]

import random
from collections.abc import Callable
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_10.secret_events import events

SPOOFED, SWEEPS, MEMORY = "spoofed sources", "sweeps", "memory"
NAMES = ("west", "east", "bay", "lock", "reed", "quay")
NETS = ("192.0.2", "198.51.100", "203.0.113")
DEFAULT = "0.0.0.0/0"
Routes = list[tuple[str, str]]
Seen = tuple[float, str, str, str, int]  # when, by which interface, from where, to where, port
Draw = Callable[[random.Random], Question]


def monitor_questions(rng: random.Random) -> list[Question]:
    """Draw sources in wrong places, sweeps among honest traffic, and many pairs."""
    kinds: tuple[tuple[Draw, int], ...] = (
        (_in_its_place, 1), (_under_the_default, 2), (_wrong_place, 1), (_several_ways, 1),
        (_unknown, 2), (_in_another_name, 1), (_in_a_known_name, 1),
        (_five, 1), (_same_ports, 1), (_many_hosts, 1), (_one_port_of_many, 1),
        (_busy_server, 1), (_slow, 1),
        (_just_too_late, 1), (_just_in_time, 1), (_last_time, 1), (_over_the_end, 1),
        (_on_and_on, 1), (_fewer_by_the_clock, 1), (_another_between, 1), (_again, 1),
        (_no_new_start, 1), (_one_is_enough, 1),
        (_forgotten, 2), (_kept, 1), (_renewed, 1), (_second, 1), (_newcomer, 1), (_told_again, 1),
    )  # fmt: skip
    return [draw(rng) for draw, number in kinds for _ in range(number)]


def _row(
    aspect: str, routes: Routes, ports: int, window_s: float, most: int, seen: list[Seen]
) -> Question:
    return events(aspect, (routes, ports, window_s, most), *[("see", *one) for one in seen])


def _host(rng: random.Random, net: str, low: int = 1, high: int = 254) -> str:
    return f"{net}.{rng.randint(low, high)}"


def _ports(rng: random.Random, number: int) -> list[int]:
    return rng.sample(
        (21, 22, 23, 25, 53, 80, 110, 143, 179, 443, 465, 587, 993, 995, 5004), number
    )


# spoofed sources: many pairs are remembered, and each packet is of a pair of its own


def _packets(rng: random.Random, *places: tuple[str, str]) -> list[Seen]:
    """Return packets in any order, each from a source and by an interface."""
    mixed = rng.sample(places, len(places))
    ends = rng.sample(range(1, 255), len(places))
    return [
        (now_s, interface, source, f"192.0.2.{end}", 80)
        for now_s, ((source, interface), end) in enumerate(zip(mixed, ends, strict=True))
    ]


def _table(rng: random.Random) -> tuple[Routes, str, tuple[str, str, str]]:
    """Return routes to a net, to a part of it and to all else, and their interfaces."""
    one, other, rest = rng.sample(NAMES, 3)
    net = rng.choice(NETS[1:])
    routes = [(f"{net}.0/24", one), (f"{net}.64/26", other), (DEFAULT, rest)]
    return rng.sample(routes, 3), net, (one, other, rest)


def _in_its_place(rng: random.Random) -> Question:
    routes, net, (one, other, _) = _table(rng)
    places = (_host(rng, net, 64, 127), other), (_host(rng, net, 128, 254), one)
    return _row(SPOOFED, routes, 9, 10, 9, _packets(rng, *places))


def _under_the_default(rng: random.Random) -> Question:
    """Let sources come in by ways that shorter prefixes have."""
    routes, net, (one, other, rest) = _table(rng)
    inner, outer = _host(rng, net, 64, 127), _host(rng, net, 1, 63)
    places = (inner, rng.choice((one, rest))), (outer, rest), (outer, one), (inner, other)
    return _row(SPOOFED, routes, 9, 10, 9, _packets(rng, *places))


def _wrong_place(rng: random.Random) -> Question:
    one, other = rng.sample(NAMES, 2)
    nets = rng.sample(NETS, 2)
    routes = [(f"{nets[0]}.0/24", one), (f"{nets[1]}.0/24", other)]
    hosts = [_host(rng, net) for net in nets]
    places = (hosts[0], one), (hosts[0], other), (hosts[1], one), (hosts[1], other)
    return _row(SPOOFED, routes, 2, 10, 9, _packets(rng, *places))


def _several_ways(rng: random.Random) -> Question:
    one, other = rng.sample(NAMES, 2)
    net = rng.choice(NETS)
    routes = [(f"{net}.0/25", one), (f"{net}.0/25", other)]
    host = _host(rng, net, 1, 127)
    places = ((host, one), (host, other)) if rng.random() < 0.5 else ((host, other), (host, one))
    return _row(SPOOFED, rng.sample(routes, 2), 9, 10, 9, _packets(rng, *places))


def _unknown(rng: random.Random) -> Question:
    one, other = rng.sample(NAMES, 2)
    nets = rng.sample(NETS, 3)
    routes = [(f"{nets[0]}.0/24", one), (f"{nets[1]}.128/25", other)]
    places = (_host(rng, nets[2]), one), (_host(rng, nets[1], 1, 127), other)
    return _row(SPOOFED, routes, 9, 10, 9, _packets(rng, *places, (_host(rng, nets[0]), one)))


def _in_another_name(rng: random.Random) -> Question:
    """Let somebody sweep in the name of an honest host, which asks for few ports itself."""
    one, other = rng.sample(NAMES, 2)
    net, to = rng.sample(NETS, 2)
    routes = [(f"{net}.0/24", one), (f"{to}.0/24", other)]
    host, victim = _host(rng, net), _host(rng, to)
    ports = _ports(rng, 4)
    seen = [(now, other, host, victim, port) for now, port in enumerate(ports[: rng.randint(2, 3)])]
    return _row(SPOOFED, routes, 3, 20, 9, [*seen, (6, one, host, victim, ports[3])])


def _in_a_known_name(rng: random.Random) -> Question:
    """Let the honest host ask first, then somebody in its name, and the host once more."""
    one, other = rng.sample(NAMES, 2)
    net, to = rng.sample(NETS, 2)
    routes = [(f"{net}.0/24", one), (f"{to}.0/24", other)]
    host, victim = _host(rng, net), _host(rng, to)
    ways = [one, other, one, *[other] * rng.randint(0, 1)]
    seen: list[Seen] = [
        (now, way, host, victim, port)
        for now, (way, port) in enumerate(zip(ways, _ports(rng, len(ways)), strict=True))
    ]
    return _row(SPOOFED, routes, 3, 20, 9, seen)


# sweeps: all sources lie behind one interface


def _asked(
    aspect: str, rng: random.Random, ports: int, window_s: float, asked: list[Any], most: int = 9
) -> Question:
    """Let hosts ask each other: rows of time, number of source, number of destination, port."""
    name, start = rng.choice(NAMES), rng.randint(0, 40) / 4
    net, to = rng.sample(NETS, 2)
    hosts, ends = rng.sample(range(1, 255), 6), rng.sample(range(1, 255), 6)
    seen = [
        (start + now_s, name, f"{net}.{hosts[one]}", f"{to}.{ends[other]}", port)
        for now_s, one, other, port in asked
    ]
    return _row(aspect, [(DEFAULT, name)], ports, window_s, most, seen)


def _five(rng: random.Random) -> Question:
    ports = _ports(rng, 5)
    return _asked(SWEEPS, rng, 5, 10, [(now, 0, 0, port) for now, port in enumerate(ports)])


def _same_ports(rng: random.Random) -> Question:
    """Ask for few ports many times, and perhaps for enough in the end."""
    ports = _ports(rng, 4)
    row = [*ports[:2], *rng.choices(ports[:3], k=4)]
    row += ports[2:] if rng.random() < 0.5 else ports[1:3]
    return _asked(SWEEPS, rng, 4, 20, [(now, 0, 0, port) for now, port in enumerate(row)])


def _many_hosts(rng: random.Random) -> Question:
    """Let one host ask several, each for a few ports, in turn."""
    ports, hosts = _ports(rng, 4), rng.sample(range(6), 2)
    row = [(now, 0, hosts[now % 2], port) for now, port in enumerate(ports)]
    row += [(4 + now, 0, hosts[now], ports[now]) for now in range(2)]
    return _asked(SWEEPS, rng, 4, 20, row)


def _one_port_of_many(rng: random.Random) -> Question:
    (port,) = _ports(rng, 1)
    return _asked(SWEEPS, rng, 4, 20, [(now, 0, now, port) for now in range(rng.randint(4, 6))])


def _busy_server(rng: random.Random) -> Question:
    """Let several hosts ask one, each for a few ports, in turn."""
    ports, hosts = _ports(rng, 4), rng.sample(range(6), 2)
    return _asked(
        SWEEPS, rng, 4, 20, [(now, hosts[now % 2], 0, port) for now, port in enumerate(ports)]
    )


def _slow(rng: random.Random) -> Question:
    window_s = rng.randint(4, 12)
    step_s = window_s / 2 + rng.choice((0.25, 0.5))
    row = [(now * step_s, 0, 0, port) for now, port in enumerate(_ports(rng, rng.randint(4, 5)))]
    return _asked(SWEEPS, rng, 4, window_s, row)


def _just_too_late(rng: random.Random) -> Question:
    window_s, ports = rng.randint(4, 12), _ports(rng, 4)
    times = (0, 0.5, 1, window_s)
    return _asked(
        SWEEPS, rng, 4, window_s,
        [(now, 0, 0, port) for now, port in zip(times, ports, strict=True)],
    )  # fmt: skip


def _just_in_time(rng: random.Random) -> Question:
    window_s, ports = rng.randint(4, 12), _ports(rng, 4)
    times = (0, 0.5, 1, window_s - 0.25)
    return _asked(
        SWEEPS, rng, 4, window_s,
        [(now, 0, 0, port) for now, port in zip(times, ports, strict=True)],
    )  # fmt: skip


def _last_time(rng: random.Random) -> Question:
    """Ask for a port again, so that it still counts when the first time is long ago."""
    window_s, ports = rng.randint(6, 12), _ports(rng, 4)
    rows = [(0, ports[0]), (window_s - 1, ports[0]), (window_s - 0.5, ports[1])]
    rows += [(window_s + 1, ports[2]), (window_s + 1.5, ports[3])]
    return _asked(SWEEPS, rng, 4, window_s, [(now, 0, 0, port) for now, port in rows])


def _over_the_end(rng: random.Random) -> Question:
    """Sweep over the end of a window that began with an older port."""
    window_s, ports = rng.randint(6, 12), _ports(rng, 5)
    times = (0, window_s - 1, window_s - 0.5, window_s + 0.5, window_s + 1)
    return _asked(
        SWEEPS, rng, 4, window_s,
        [(now, 0, 0, port) for now, port in zip(times, ports, strict=True)],
    )  # fmt: skip


def _on_and_on(rng: random.Random) -> Question:
    ports = _ports(rng, rng.randint(6, 8))
    return _asked(SWEEPS, rng, 4, 30, [(now, 0, 0, port) for now, port in enumerate(ports)])


def _again(rng: random.Random) -> Question:
    """Sweep twice, with a pause between."""
    window_s, ports = rng.randint(5, 9), _ports(rng, 6)
    times = [0, 1, 2] + [window_s + 5 + now for now in range(3)]
    return _asked(
        SWEEPS, rng, 3, window_s,
        [(now, 0, 0, port) for now, port in zip(times, ports, strict=True)],
    )  # fmt: skip


def _fewer_by_the_clock(rng: random.Random) -> Question:
    """Let ports be fewer for a while in which no packet comes, and enough at the next one."""
    window_s, ports = rng.randint(6, 12), _ports(rng, 4)
    times = (0, window_s - 2, window_s - 1, window_s + 0.5)
    return _asked(
        SWEEPS, rng, 3, window_s,
        [(now, 0, 0, port) for now, port in zip(times, ports, strict=True)],
    )  # fmt: skip


def _another_between(rng: random.Random) -> Question:
    """Ask another host for one port while a sweep goes on."""
    ports = _ports(rng, 4)
    row = [(now, 0, 0, port) for now, port in enumerate(ports[:3])]
    return _asked(SWEEPS, rng, 3, 30, [*row, (4, 0, 1, ports[0]), (5, 0, 0, ports[3])])


def _no_new_start(rng: random.Random) -> Question:
    """Go on sweeping so long that as many ports again are asked for."""
    ports = _ports(rng, rng.randint(4, 5))
    row = [*ports[:2], *ports[:2], *ports[2:]]
    return _asked(SWEEPS, rng, 2, 30, [(now, 0, 0, port) for now, port in enumerate(row)])


def _one_is_enough(rng: random.Random) -> Question:
    """Let one host ask several, where one port is a sweep; then the first one again."""
    ports, hosts = _ports(rng, 4), rng.sample(range(6), 3)
    row = [(now, 0, host, port) for now, (host, port) in enumerate(zip(hosts, ports, strict=False))]
    return _asked(SWEEPS, rng, 1, 20, [*row, (3, 0, hosts[0], ports[3])])


# memory


def _pair(now_s: float, number: int, port: int) -> tuple[float, int, int, int]:
    return now_s, number, number, port


def _forgotten(rng: random.Random) -> Question:
    """Let as many others come as are remembered before the last port is asked for."""
    most, ports = rng.randint(1, 3), _ports(rng, 4)
    row = [_pair(now, 0, port) for now, port in enumerate(ports[:3])]
    row += [_pair(4 + other, other, rng.choice(ports)) for other in range(1, most + 1)]
    return _asked(MEMORY, rng, 4, 60, [*row, _pair(9, 0, ports[3])], most)


def _kept(rng: random.Random) -> Question:
    most, ports = rng.randint(2, 4), _ports(rng, 4)
    row = [_pair(now, 0, port) for now, port in enumerate(ports[:3])]
    row += [_pair(4 + other, other, rng.choice(ports)) for other in range(1, most)]
    return _asked(MEMORY, rng, 4, 60, [*row, _pair(9, 0, ports[3])], most)


def _renewed(rng: random.Random) -> Question:
    """Let the pair that came first be heard again before one more comes."""
    ports = _ports(rng, 4)
    row = [_pair(0, 0, ports[0]), _pair(1, 1, ports[0]), _pair(2, 0, ports[1])]
    row += [_pair(3, 2, ports[0]), _pair(4, 0, ports[2]), _pair(5, 0, ports[3])]
    return _asked(MEMORY, rng, 4, 60, row, 2)


def _second(rng: random.Random) -> Question:
    """Let one more come while the pair that came second is sweeping."""
    ports = _ports(rng, 4)
    row = [_pair(0, 1, ports[0]), _pair(1, 0, ports[0]), _pair(2, 0, ports[1])]
    row += [_pair(3, 2, ports[0]), _pair(4, 0, ports[2]), _pair(5, 0, ports[3])]
    return _asked(MEMORY, rng, 4, 60, row, 2)


def _newcomer(rng: random.Random) -> Question:
    """Let a pair sweep that comes when the memory is full."""
    most, ports = rng.randint(1, 3), _ports(rng, 4)
    row = [_pair(other, other, rng.choice(ports)) for other in range(1, most + 1)]
    row += [_pair(5 + now, 0, port) for now, port in enumerate(ports)]
    return _asked(MEMORY, rng, 4, 60, row, most)


def _told_again(rng: random.Random) -> Question:
    """Accuse a pair, forget it, and accuse it again, by its very first packet."""
    most, ports = rng.randint(1, 2), _ports(rng, 4)
    others = [_pair(1 + other, other, ports[other]) for other in range(1, most + 1)]
    row = [_pair(0, 0, ports[0]), *others, _pair(8, 0, ports[3])]
    return _asked(MEMORY, rng, 1, 60, row, most)


MONITOR = (
    events(
        SPOOFED,
        ([("192.0.2.0/24", "east")], 9, 10, 9),
        ("see", 0, "west", "192.0.2.1", "198.51.100.1", 80),
        source="the contract's own example",
        published=Expected(value=[[("spoofed", "192.0.2.1", "west")]]),
    ),
    *monitor_questions(random.Random("what everybody may see")),
    *monitor_questions(random.Random("once more")),
)
