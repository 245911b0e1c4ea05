"""Answers that break one clause of the contract of 12.3, and keep all others.

Some would fall in cases of other aspects, too. So they break their clause for one limit only.
"""

__all__ = [
    "BlindOfTwo",
    "ByTheShortest",
    "EndlessOfFour",
    "FewerByTheClock",
    "ForgivesElsewhere",
    "InclusiveOfItsEnd",
    "KeepsWhomItTold",
    "OnceOfThree",
    "OneLess",
    "OneMoreOfFive",
    "ShortOfItsEnd",
]

from ipaddress import IPv4Address

from instructor.units.unit_12.misconceptions.monitors import (
    MonitorOfMore,
    MonitorOnce,
    MonitorThatAsksForAWay,
    MonitorWithoutEnd,
)
from instructor.units.unit_12.monitors.model import Alarm, Monitor

Pair = tuple[str, str]


class ByTheShortest(Monitor):
    """Let the shortest prefix decide."""

    def ways_to(self, source: str) -> list[str]:
        """Return the interfaces of the shortest prefix that covers an address."""
        address = IPv4Address(source)
        lengths = [prefix.prefixlen for prefix, _ in self.routes if address in prefix]
        return [
            name
            for prefix, name in self.routes
            if address in prefix and prefix.prefixlen == min(lengths)
        ]


class BlindOfTwo(MonitorThatAsksForAWay):
    """Look at no interface, for two ports."""

    def see(
        self, now_s: float, interface: str, source: str, destination: str, port: int
    ) -> list[Alarm]:
        """Look for any way."""
        about = (now_s, interface, source, destination, port)
        return super().see(*about) if self.ports == 2 else Monitor.see(self, *about)


class OneMoreOfFive(MonitorOfMore):
    """Ask for six ports instead of five."""

    def __init__(
        self, routes: list[tuple[str, str]], ports: int, window_s: float, most: int
    ) -> None:
        super().__init__(routes, ports if ports == 5 else ports - 1, window_s, most)


class InclusiveOfItsEnd(Monitor):
    """Let a port count at the very end of the window."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        """Make the window a little longer."""
        window_s, self.window_s = self.window_s, self.window_s + 0.001
        try:
            super().remember(now_s, pair, port)
        finally:
            self.window_s = window_s


class EndlessOfFour(MonitorWithoutEnd):
    """Let ports count for ever, for four ports."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        """Look at the limit."""
        if self.ports == 4:
            super().remember(now_s, pair, port)
        else:
            Monitor.remember(self, now_s, pair, port)


class ShortOfItsEnd(Monitor):
    """Let a port count not quite to the end of the window."""

    def __init__(
        self, routes: list[tuple[str, str]], ports: int, window_s: float, most: int
    ) -> None:
        super().__init__(routes, ports, window_s - 0.3, most)


class OneLess(Monitor):
    """Remember one pair less, if that leaves any."""

    def __init__(
        self, routes: list[tuple[str, str]], ports: int, window_s: float, most: int
    ) -> None:
        super().__init__(routes, ports, window_s, max(1, most - 1))


class OnceOfThree(MonitorOnce):
    """Accuse a pair once, for three ports."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        """Remember whom."""
        if self.ports == 3:
            super().remember(now_s, pair, port)
        else:
            Monitor.remember(self, now_s, pair, port)


class FewerByTheClock(Monitor):
    """Accuse again if ports were fewer at any time, whether or not a packet came then."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        """Count before the packet is looked at."""
        times = self.asked.get(pair, {}).values()
        if sum(now_s - at < self.window_s for at in times) < self.ports:
            self.told.discard(pair)
        super().remember(now_s, pair, port)


class ForgivesElsewhere(Monitor):
    """Accuse again if the source asked another host meanwhile."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        """Forget whom it told of this source."""
        self.told = {one for one in self.told if one == pair or one[0] != pair[0]}
        super().remember(now_s, pair, port)


class KeepsWhomItTold(MonitorOnce):
    """Forget the ports of a pair, but not that it was accused."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        """Keep on record who was accused."""
        told = set(self.told)
        Monitor.remember(self, now_s, pair, port)
        self.told |= told
