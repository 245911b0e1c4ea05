"""Misconceptions about stages that work at the same time, and a slow host: exercise 9.5.

Each is the calculation below with one part that is wrong.
"""

__all__ = ["MILLION", "PIPELINE_LIMITS", "RightLimits", "Stage"]

from collections.abc import Callable
from typing import Any

Stage = tuple[str, int, int]
Limits = tuple[str, int, int, int]

MILLION = 1_000_000


class RightLimits:
    """The calculation in small parts, of which others get one wrong."""

    stages: list[Stage]
    clock_hz: int
    host: tuple[int, int] | None

    def __new__(cls, stages: list[Stage], clock_hz: int, host: tuple[int, int] | None) -> Any:
        """Return the result at once: a class stands for a function here."""
        self = super().__new__(cls)
        self.stages, self.clock_hz, self.host = stages, clock_hz, host
        return self.result()

    def result(self) -> Limits:
        """Return what limits, the rate, the latency, and the most for the host."""
        name, cycles, units = self.slowest()
        rate = self.clock_hz * units // cycles
        if self.host is not None and self.host_limits(*self.host, cycles, units):
            name, rate = "host", self.host_rate(*self.host, rate)
        return name, rate, self.latency(cycles), self.most(cycles, units)

    def slowest(self) -> Stage:
        """Return the stage that limits."""
        return max(self.stages, key=lambda stage: stage[1] / stage[2])

    def latency(self, cycles: int) -> int:
        """Return how long a packet takes; `cycles` are those of the stage that limits."""
        return sum(each for _, each, _ in self.stages)

    def host_limits(self, host_cycles: int, diverted: int, cycles: int, units: int) -> bool:
        """Tell whether the host is slower than all stages."""
        return host_cycles * diverted * units > MILLION * cycles

    def host_rate(self, host_cycles: int, diverted: int, rate: int) -> int:
        """Return the packets a second that the host stands; `rate` is that of the stages."""
        return self.clock_hz * MILLION // (host_cycles * diverted)

    def most(self, cycles: int, units: int) -> int:
        """Return how many of a million packets the host may get."""
        if self.host is None:
            return 0
        return min(MILLION, MILLION * cycles // (units * self.host[0]))


class OneAfterTheOther(RightLimits):
    """Believe that a packet enters when the one before has left the last stage."""

    def result(self) -> Limits:
        name, rate, latency, most = super().result()
        return name, rate if name == "host" else self.clock_hz // latency, latency, most


class LastStageGivesTheRate(RightLimits):
    """Believe that packets leave as fast as the last stage works."""

    def slowest(self) -> Stage:
        return self.stages[-1]


class MostCyclesLimit(RightLimits):
    """Believe that the stage with the most cycles limits, however many units it has."""

    def slowest(self) -> Stage:
        return max(self.stages, key=lambda stage: stage[1])


class UnitsLeftOut(RightLimits):
    """Believe that a stage works on one packet at a time."""

    def slowest(self) -> Stage:
        name, cycles, _ = max(self.stages, key=lambda stage: stage[1])
        return name, cycles, 1


class MeanOfStages(RightLimits):
    """Believe that slow and fast stages even out."""

    def result(self) -> Limits:
        name, rate, latency, most = super().result()
        if name != "host":
            cycles = sum(each / units for _, each, units in self.stages)
            rate = int(self.clock_hz * len(self.stages) / cycles)
        return name, rate, latency, most


class UnitsShortenTheWay(RightLimits):
    """Believe that a packet is worked on by all units at once."""

    def latency(self, cycles: int) -> int:
        return sum(each // units for _, each, units in self.stages)


class AllAsLongAsTheSlowest(RightLimits):
    """Believe that each stage holds a packet as long as the one that limits."""

    def latency(self, cycles: int) -> int:
        return cycles * len(self.stages)


class LatencyOfTheSlowest(RightLimits):
    """Believe that a packet takes as long as the stage that limits."""

    def latency(self, cycles: int) -> int:
        return cycles


class HostNeverLimits(RightLimits):
    """Believe that a few packets for the host hold up nobody."""

    def host_limits(self, host_cycles: int, diverted: int, cycles: int, units: int) -> bool:
        return False


class HostGetsAll(RightLimits):
    """Believe that every packet waits for the host."""

    def host_limits(self, host_cycles: int, diverted: int, cycles: int, units: int) -> bool:
        return diverted > 0 and host_cycles * units > cycles

    def host_rate(self, host_cycles: int, diverted: int, rate: int) -> int:
        return self.clock_hz // host_cycles


class OthersGoOn(RightLimits):
    """Believe that a host that does not keep up slows only what is diverted."""

    def host_rate(self, host_cycles: int, diverted: int, rate: int) -> int:
        return rate


class RateOfTheHost(RightLimits):
    """Believe that the rate is that of the packets which the host handles."""

    def host_rate(self, host_cycles: int, diverted: int, rate: int) -> int:
        return self.clock_hz // host_cycles


class HostIsAStage(RightLimits):
    """Believe that every packet takes the host's time, too."""

    def latency(self, cycles: int) -> int:
        return super().latency(cycles) + (self.host[0] if self.host is not None else 0)


class PacketsForShare(RightLimits):
    """Believe that the most is how many packets a second the host handles."""

    def most(self, cycles: int, units: int) -> int:
        return 0 if self.host is None else self.clock_hz // self.host[0]


class WhatIsLeft(RightLimits):
    """Believe that the most is what may be diverted in addition."""

    def most(self, cycles: int, units: int) -> int:
        diverted = 0 if self.host is None else self.host[1]
        return max(0, super().most(cycles, units) - diverted)


class MostByTheLatency(RightLimits):
    """Believe that the host has time for a packet as long as another one is on its way."""

    def most(self, cycles: int, units: int) -> int:
        return super().most(self.latency(cycles), 1)


PIPELINE_LIMITS: dict[str, Callable[..., Any]] = {
    "one-after-the-other": OneAfterTheOther,
    "last-stage-gives-the-rate": LastStageGivesTheRate,
    "most-cycles-limit": MostCyclesLimit,
    "units-left-out": UnitsLeftOut,
    "mean-of-stages": MeanOfStages,
    "units-shorten-the-way": UnitsShortenTheWay,
    "all-as-long-as-the-slowest": AllAsLongAsTheSlowest,
    "latency-of-the-slowest": LatencyOfTheSlowest,
    "host-never-limits": HostNeverLimits,
    "host-gets-all": HostGetsAll,
    "others-go-on": OthersGoOn,
    "rate-of-the-host": RateOfTheHost,
    "host-is-a-stage": HostIsAStage,
    "packets-for-share": PacketsForShare,
    "what-is-left": WhatIsLeft,
    "most-by-the-latency": MostByTheLatency,
}
