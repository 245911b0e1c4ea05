"""Misconceptions about who is to be suspected: exercise 12.3."""

__all__ = ["NEW_MONITOR"]

from collections.abc import Callable
from ipaddress import IPv4Address
from typing import Any

from instructor.units.unit_12.monitors.model import Alarm, Monitor

Pair = tuple[str, str]


class MonitorThatAsksForAWay(Monitor):
    """Believe that a source is honest if there is any way to it."""

    def see(
        self, now_s: float, interface: str, source: str, destination: str, port: int
    ) -> list[Alarm]:
        ways = self.ways_to(source)
        name = interface if interface in ways or not ways else ways[0]
        return super().see(now_s, name, source, destination, port)


class MonitorByTheFirst(Monitor):
    """Believe that the first prefix that covers the source decides."""

    def ways_to(self, source: str) -> list[str]:
        address = IPv4Address(source)
        return [name for prefix, name in self.routes if address in prefix][:1]


class MonitorByAnyPrefix(Monitor):
    """Believe that any prefix that covers the source will do, such as the default."""

    def ways_to(self, source: str) -> list[str]:
        address = IPv4Address(source)
        return [name for prefix, name in self.routes if address in prefix]


class MonitorOfOneWay(Monitor):
    """Believe that there is one way to each prefix."""

    def ways_to(self, source: str) -> list[str]:
        return super().ways_to(source)[:1]


class MonitorOfDestinations(Monitor):
    """Believe that the way to the destination tells whether a packet is honest."""

    def see(
        self, now_s: float, interface: str, source: str, destination: str, port: int
    ) -> list[Alarm]:
        if interface in self.ways_to(destination):
            return [("spoofed", source, interface)]
        ways = self.ways_to(source)
        return super().see(now_s, ways[0] if ways else interface, source, destination, port)


class MonitorThatTrustsStrangers(Monitor):
    """Believe that a source of which nothing is known cannot be called wrong."""

    def ways_to(self, source: str) -> list[str]:
        return super().ways_to(source) or [name for _, name in self.routes]

    def see(
        self, now_s: float, interface: str, source: str, destination: str, port: int
    ) -> list[Alarm]:
        if not super().ways_to(source):
            self.routes.append((self.routes[0][0].supernet(new_prefix=0), interface))
            try:
                return super().see(now_s, interface, source, destination, port)
            finally:
                self.routes.pop()
        return super().see(now_s, interface, source, destination, port)


class MonitorThatAccusesTheNamed(Monitor):
    """Believe that what a spoofed packet asks for was asked by whose address it bears."""

    def see(
        self, now_s: float, interface: str, source: str, destination: str, port: int
    ) -> list[Alarm]:
        ways = self.ways_to(source)
        if interface in ways or not ways:
            return super().see(now_s, interface, source, destination, port)
        alarms = super().see(now_s, ways[0], source, destination, port)
        return [("spoofed", source, interface), *alarms]


class MonitorOfPackets(Monitor):
    """Believe that many packets in a short time are a sweep, to whichever ports."""

    packets = 0

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        self.packets += 1
        super().remember(now_s, pair, self.packets)


class MonitorOfSources(Monitor):
    """Believe that ports count together, of whichever destinations."""

    def see(
        self, now_s: float, interface: str, source: str, destination: str, port: int
    ) -> list[Alarm]:
        alarms = super().see(now_s, interface, source, "any", port)
        return [
            (what, one, destination if other == "any" else other) for what, one, other in alarms
        ]


class MonitorOfDoors(Monitor):
    """Believe that every door that is tried counts, whoever's it is: one host, or many."""

    def see(
        self, now_s: float, interface: str, source: str, destination: str, port: int
    ) -> list[Alarm]:
        door = int(IPv4Address(destination)) << 16 | port
        alarms = super().see(now_s, interface, source, "any", door)
        return [
            (what, one, destination if other == "any" else other) for what, one, other in alarms
        ]


class MonitorOfHosts(Monitor):
    """Believe that a host that is asked for many ports is swept, by however many."""

    def see(
        self, now_s: float, interface: str, source: str, destination: str, port: int
    ) -> list[Alarm]:
        if interface not in self.ways_to(source):
            return super().see(now_s, interface, source, destination, port)
        pair = ("any", destination)
        self.remember(now_s, pair, port)
        was_told = pair in self.told
        if len(self.asked[pair]) < self.ports:
            self.told.discard(pair)
            return []
        self.told.add(pair)
        return [] if was_told else [("sweep", source, destination)]


class MonitorWithoutEnd(Monitor):
    """Believe that a port counts for ever."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        super().remember(0, pair, port)


class MonitorOfFirstTimes(Monitor):
    """Believe that a port counts from when it was first asked for."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        times = self.asked.get(pair, {})
        first_s = times.get(port)
        super().remember(now_s, pair, port)
        if first_s is not None and now_s - first_s < self.window_s:
            self.asked[pair][port] = first_s


class MonitorOfRounds(Monitor):
    """Believe that time comes in windows one behind the other, each of which begins empty."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        times = self.asked.get(pair, {})
        if times and now_s - min(times.values()) >= self.window_s:
            self.asked[pair] = {}
        elif port in times:
            first_s = times[port]
            super().remember(now_s, pair, port)
            self.asked[pair][port] = first_s
            return
        super().remember(now_s, pair, port)


class MonitorOfMore(Monitor):
    """Believe that the limit must be passed."""

    def __init__(
        self, routes: list[tuple[str, str]], ports: int, window_s: float, most: int
    ) -> None:
        super().__init__(routes, ports + 1, window_s, most)


class MonitorOnEachPacket(Monitor):
    """Believe that the alarm is given for each packet of a sweep."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        super().remember(now_s, pair, port)
        self.told.discard(pair)


class MonitorOnce(Monitor):
    """Believe that whoever was accused once need not be accused again."""

    def __init__(
        self, routes: list[tuple[str, str]], ports: int, window_s: float, most: int
    ) -> None:
        super().__init__(routes, ports, window_s, most)
        self.ever: set[Pair] = set()

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        self.ever |= self.told
        super().remember(now_s, pair, port)
        if pair in self.ever:
            self.told.add(pair)


class MonitorThatBeginsAgain(Monitor):
    """Believe that after an alarm counting begins at nothing."""

    def see(
        self, now_s: float, interface: str, source: str, destination: str, port: int
    ) -> list[Alarm]:
        alarms = super().see(now_s, interface, source, destination, port)
        if alarms and alarms[0][0] == "sweep":
            self.asked[source, destination] = {}
            self.told.clear()
        return alarms


class MonitorThatForgetsTheFirst(Monitor):
    """Believe that the pair that came first is forgotten, however lately it was heard."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        order = list(self.asked)
        super().remember(now_s, pair, port)
        if pair in order:
            self.asked = {one: self.asked[one] for one in order}


class MonitorThatIsFull(Monitor):
    """Believe that a full memory takes in nobody new."""

    def see(
        self, now_s: float, interface: str, source: str, destination: str, port: int
    ) -> list[Alarm]:
        is_new = (source, destination) not in self.asked
        if is_new and len(self.asked) >= self.most and interface in self.ways_to(source):
            return []
        return super().see(now_s, interface, source, destination, port)


class MonitorWithoutLimit(Monitor):
    """Believe that there is memory without end."""

    def __init__(
        self, routes: list[tuple[str, str]], ports: int, window_s: float, most: int
    ) -> None:
        super().__init__(routes, ports, window_s, 1_000_000)


class MonitorThatForgetsAll(Monitor):
    """Believe that a full memory is emptied."""

    def remember(self, now_s: float, pair: Pair, port: int) -> None:
        if pair not in self.asked and len(self.asked) >= self.most:
            self.asked, self.told = {}, set()
        super().remember(now_s, pair, port)


NEW_MONITOR: dict[str, Callable[..., Any]] = {
    "any-way-makes-honest": MonitorThatAsksForAWay,
    "first-prefix-decides": MonitorByTheFirst,
    "any-prefix-will-do": MonitorByAnyPrefix,
    "one-way-to-each": MonitorOfOneWay,
    "destination-is-looked-up": MonitorOfDestinations,
    "unknown-is-honest": MonitorThatTrustsStrangers,
    "spoofed-packets-count": MonitorThatAccusesTheNamed,
    "packets-are-counted": MonitorOfPackets,
    "destinations-count-together": MonitorOfSources,
    "many-hosts-are-a-sweep": MonitorOfDoors,
    "sources-count-together": MonitorOfHosts,
    "ports-count-for-ever": MonitorWithoutEnd,
    "first-time-counts": MonitorOfFirstTimes,
    "windows-stand-side-by-side": MonitorOfRounds,
    "more-than-the-limit": MonitorOfMore,
    "alarm-with-each-packet": MonitorOnEachPacket,
    "alarm-once-for-ever": MonitorOnce,
    "counting-begins-again": MonitorThatBeginsAgain,
    "first-come-is-forgotten": MonitorThatForgetsTheFirst,
    "full-memory-takes-no-more": MonitorThatIsFull,
    "memory-without-end": MonitorWithoutLimit,
    "full-memory-is-emptied": MonitorThatForgetsAll,
}
