"""Answers that break one clause of the contract of 9.5, and keep all others.

Most clauses would be broken in every case. So each of these breaks its clause in pipelines of one
kind only: with a host or without, with so many stages, with units that help or do not suffice.
"""

__all__ = [
    "DivertedAnyway",
    "EverythingFromTheHost",
    "HostInTheLatency",
    "LastOfSeveral",
    "LatencyDivided",
    "ListForTuple",
    "MillionWithoutHost",
    "MostCyclesInTheChoice",
    "MostOfAThousand",
    "MostRounded",
    "MostRoundedUp",
    "NeverTheHost",
    "OneUnitInTheRate",
    "RateOfTheStages",
    "RoundedRate",
    "RoundedUpRate",
    "WithoutTop",
]

from typing import Any

from instructor.units.unit_09.misconceptions.pipeline import MILLION, Limits, RightLimits, Stage


class Broken(RightLimits):
    """A calculation that can tell of what kind a pipeline is."""

    def has_one_unit_each(self, stages: int) -> bool:
        """Tell whether there are so many stages, each with one unit."""
        return len(self.stages) == stages and all(units == 1 for _, _, units in self.stages)

    def limiting_units(self) -> int:
        """Return the units of the only stage that limits; 0 if two limit or all have one unit."""
        least = max(cycles / units for _, cycles, units in self.stages)
        limiting = [units for _, cycles, units in self.stages if cycles / units == least]
        more = any(units > 1 for _, _, units in self.stages)
        return limiting[0] if len(limiting) == 1 and more else 0

    def keeps_up(self) -> bool:
        """Tell whether there is a host that limits nothing, but gets packets."""
        _, cycles, units = super().slowest()
        return bool(self.host and self.host[1]) and not self.host_limits(
            *(self.host or (0, 0)), cycles, units
        )


class ListForTuple(RightLimits):
    """Return a list."""

    def result(self) -> Any:
        """Return all four."""
        return list(super().result())


class MostCyclesInTheChoice(Broken):
    """Choose by cycles alone, without a host, where a stage of one unit limits."""

    def slowest(self) -> Stage:
        """Return the stage that limits."""
        if self.host is not None or self.limiting_units() != 1:
            return super().slowest()
        return max(self.stages, key=lambda stage: stage[1])


class OneUnitInTheRate(Broken):
    """Work out the rate for a single unit, without a host, where four do not suffice."""

    def slowest(self) -> Stage:
        """Return the stage that limits."""
        name, cycles, units = super().slowest()
        is_here = self.host is None and self.limiting_units() == 4
        return name, cycles, 1 if is_here else units


class LastOfSeveral(RightLimits):
    """Name the last of several that limit."""

    def slowest(self) -> Stage:
        """Return the stage that limits."""
        if self.host is not None:
            return super().slowest()
        return max(reversed(self.stages), key=lambda stage: stage[1] / stage[2])


class RoundedRate(Broken):
    """Round the rate to the nearest, without a host, in three stages."""

    def result(self) -> Limits:
        """Return all four."""
        name, rate, latency, most = super().result()
        _, cycles, units = self.slowest()
        is_here = self.host is None and self.has_one_unit_each(3)
        return name, round(self.clock_hz * units / cycles) if is_here else rate, latency, most


class RoundedUpRate(RightLimits):
    """Round the rate of a host up."""

    def host_rate(self, host_cycles: int, diverted: int, rate: int) -> int:
        """Return the packets a second that the host stands."""
        return -(-self.clock_hz * MILLION // (host_cycles * diverted))


class LatencyDivided(Broken):
    """Let units share a packet, without a host, where two do not suffice."""

    def latency(self, cycles: int) -> int:
        """Return how long a packet takes."""
        if self.host is not None or self.limiting_units() != 2:
            return super().latency(cycles)
        return sum(each // units for _, each, units in self.stages)


class MillionWithoutHost(Broken):
    """Let a million be diverted where there is no host, in four stages."""

    def most(self, cycles: int, units: int) -> int:
        """Return how many of a million packets the host may get."""
        is_here = self.host is None and self.has_one_unit_each(4)
        return MILLION if is_here else super().most(cycles, units)


class NeverTheHost(Broken):
    """Never name the host behind three stages, but give its rate."""

    def result(self) -> Limits:
        """Return all four."""
        name, rate, latency, most = super().result()
        is_here = name == "host" and self.has_one_unit_each(3)
        return self.slowest()[0] if is_here else name, rate, latency, most


class EverythingFromTheHost(RightLimits):
    """Name the host whenever it gets packets."""

    def host_limits(self, host_cycles: int, diverted: int, cycles: int, units: int) -> bool:
        """Tell whether the host is slower than all stages."""
        return diverted > 0


class RateOfTheStages(Broken):
    """Give the rate of the stages, if there are four."""

    def host_rate(self, host_cycles: int, diverted: int, rate: int) -> int:
        """Return the packets a second that the host stands."""
        is_here = self.has_one_unit_each(4)
        return rate if is_here else super().host_rate(host_cycles, diverted, rate)


class HostInTheLatency(RightLimits):
    """Add the host's cycles to the latency, if nothing is diverted."""

    def latency(self, cycles: int) -> int:
        """Return how long a packet takes."""
        is_here = self.host is not None and self.host[1] == 0
        return super().latency(cycles) + (self.host[0] if self.host and is_here else 0)


class DivertedAnyway(Broken):
    """Give what is diverted now, if the host does not keep up with it behind a slow stage."""

    def most(self, cycles: int, units: int) -> int:
        """Return how many of a million packets the host may get."""
        most = super().most(cycles, units)
        diverted = self.host[1] if self.host and self.limiting_units() else 0
        return max(diverted, most)


class MostOfAThousand(Broken):
    """Give how many of a thousand may be diverted, where units help."""

    def most(self, cycles: int, units: int) -> int:
        """Return how many of a thousand packets the host may get."""
        is_here = self.keeps_up() and self.limiting_units()
        return super().most(cycles, units) // (1000 if is_here else 1)


class MostRounded(RightLimits):
    """Round the most to the nearest."""

    def most(self, cycles: int, units: int) -> int:
        """Return how many of a million packets the host may get."""
        if self.host is None:
            return 0
        return min(MILLION, round(MILLION * cycles / (units * self.host[0])))


class MostRoundedUp(Broken):
    """Round the most up, where the host keeps up and all stages have one unit."""

    def most(self, cycles: int, units: int) -> int:
        """Return how many of a million packets the host may get."""
        if self.host is None or not self.keeps_up() or self.limiting_units():
            return super().most(cycles, units)
        return min(MILLION, -(-MILLION * cycles // (units * self.host[0])))


class WithoutTop(RightLimits):
    """Divert more than a million of a million."""

    def most(self, cycles: int, units: int) -> int:
        """Return how many of a million packets the host may get."""
        return 0 if self.host is None else MILLION * cycles // (units * self.host[0])
