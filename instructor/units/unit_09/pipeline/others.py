"""Other right answers to exercise 9.5, each in a way of its own."""

__all__ = ["OTHERS"]

import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

Stages = list[tuple[str, int, int]]
Host = tuple[int, int] | None
Limits = tuple[str, int, int, int]


def limits_in_fractions(stages: Stages, clock_hz: int, host: Host) -> Limits:
    """Work out what each stands, the host as one more of them."""
    stand = [(name, Fraction(clock_hz * units, cycles)) for name, cycles, units in stages]
    latency = sum(cycles for _, cycles, _ in stages)
    fewest = min(rate for _, rate in stand)
    most = 0
    if host is not None:
        busy, diverted = host
        most = min(10**6, math.floor(Fraction(clock_hz, busy) / fewest * 10**6))
        if diverted:
            stand.append(("host", Fraction(clock_hz, busy) / Fraction(diverted, 10**6)))
    name, rate = min(stand, key=lambda each: each[1])
    return name, math.floor(rate), latency, most


def limits_in_floats(stages: Stages, clock_hz: int, host: Host) -> Limits:
    """Count cycles for a packet, as floats."""
    name, slowest = "", 0.0
    for each, cycles, units in stages:
        if cycles / units > slowest:
            name, slowest = each, cycles / units
    latency, most, limit = sum(stage[1] for stage in stages), 0, slowest
    if host:
        most = min(1_000_000, int(slowest / host[0] * 1e6))
        for_host = host[0] * host[1] / 1e6
        if for_host > slowest:
            name, limit = "host", for_host
    return name, int(clock_hz / limit), latency, most


def limits_by_units(stages: Stages, clock_hz: int, host: Host) -> Limits:
    """Sort the stages by crosswise products; the sort leaves equal ones in their order."""
    first = stages[0]
    latency = 0
    for stage in stages:
        latency += stage[1]
        if stage[1] * first[2] > first[1] * stage[2]:
            first = stage
    name, cycles, units = first
    if host is None:
        return name, clock_hz * units // cycles, latency, 0
    host_cycles, diverted = host
    cycles_of_a_million = cycles * 1_000_000
    most = cycles_of_a_million // (host_cycles * units)
    if most > 1_000_000:
        most = 1_000_000
    if diverted > most:
        return "host", 1_000_000 * clock_hz // (diverted * host_cycles), latency, most
    return name, clock_hz * units // cycles, latency, most


OTHERS: tuple[Callable[..., Any], ...] = (limits_in_fractions, limits_in_floats, limits_by_units)
