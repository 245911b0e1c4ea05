"""Other right answers to 12.3: a bounded log in closures, an object for each pair, one list."""

__all__ = ["OTHERS"]

from collections import OrderedDict
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any


def number_of(address: str) -> int:
    """Return an address as a number."""
    number = 0
    for part in address.split("."):
        number = number << 8 | int(part)
    return number


def new_monitor_of_logs(routes: Any, ports: int, window_s: float, most: int) -> Any:
    """Keep for each pair the latest ports in the order of asking, no more than are needed."""
    table: dict[int, dict[int, set[str]]] = {}
    for prefix, interface in routes:
        address, length = prefix.split("/")
        part = table.setdefault(int(length), {})
        part.setdefault(number_of(address) >> 32 - int(length), set()).add(interface)
    logs: OrderedDict[tuple[str, str], list[tuple[int, float]]] = OrderedDict()
    alarmed: dict[tuple[str, str], bool] = {}

    def is_at_home(source: str, interface: str) -> bool:
        for length in sorted(table, reverse=True):
            if (ways := table[length].get(number_of(source) >> 32 - length)) is not None:
                return interface in ways
        return False

    def see(now_s: float, interface: str, source: str, destination: str, port: int) -> Any:
        if not is_at_home(source, interface):
            return [("spoofed", source, interface)]
        pair = source, destination
        log = [one for one in logs.pop(pair, []) if one[0] != port and now_s - one[1] < window_s]
        logs[pair] = [*log, (port, now_s)][-ports:]
        if len(logs) > most:
            gone, _ = logs.popitem(last=False)
            alarmed.pop(gone, None)
        before, alarmed[pair] = alarmed.get(pair, False), len(logs[pair]) == ports
        return [("sweep", *pair)] if alarmed[pair] and not before else []

    return SimpleNamespace(see=see)


class Pair:
    """What one source asks one destination for."""

    def __init__(self) -> None:
        self.last: dict[int, float] = {}
        self.is_sweeping, self.heard = False, 0

    def ask(self, now_s: float, port: int, enough: int, window_s: float) -> bool:
        """Note a port; tell whether a sweep begins."""
        self.last[port] = now_s
        for old in [one for one, at in self.last.items() if at <= now_s - window_s]:
            del self.last[old]
        before, self.is_sweeping = self.is_sweeping, len(self.last) >= enough
        return self.is_sweeping and not before


class MonitorOfPairs:
    """One object for each pair; the one that was heard least lately goes."""

    def __init__(self, routes: Any, ports: int, window_s: float, most: int) -> None:
        self.routes, self.about, self.most = routes, (ports, window_s), most
        self.pairs: dict[tuple[str, str], Pair] = {}
        self.packets = 0

    def see(self, now_s: float, interface: str, source: str, destination: str, port: int) -> Any:
        """Look at the source, then at the pair."""
        best = -1
        ways: set[str] = set()
        for prefix, name in self.routes:
            net, _, length = prefix.partition("/")
            behind = 32 - int(length)
            if number_of(net) >> behind != number_of(source) >> behind or int(length) < best:
                continue
            ways = ways | {name} if int(length) == best else {name}
            best = int(length)
        if interface not in ways:
            return [("spoofed", source, interface)]
        self.packets += 1
        if (source, destination) not in self.pairs and len(self.pairs) == self.most:
            del self.pairs[min(self.pairs, key=lambda one: self.pairs[one].heard)]
        pair = self.pairs.setdefault((source, destination), Pair())
        pair.heard = self.packets
        begins = pair.ask(now_s, port, *self.about)
        return [("sweep", source, destination)] if begins else []


class MonitorOfRows:
    """One list of rows for everything, from which all else is counted."""

    def __init__(self, routes: Any, ports: int, window_s: float, most: int) -> None:
        self.routes = sorted(routes, key=lambda one: -int(one[0].split("/")[1]))
        self.ports, self.window_s, self.most = ports, window_s, most
        self.rows: list[tuple[float, tuple[str, str], int]] = []
        self.quiet: dict[tuple[str, str], bool] = {}
        self.order: list[tuple[str, str]] = []

    def ways(self, source: str) -> list[str]:
        """Return the ways of the first prefix that covers, and those of its equals."""
        bits = f"{number_of(source):032b}"
        ways, best = [], None
        for prefix, interface in self.routes:
            address, length = prefix.split("/")
            if not bits.startswith(f"{number_of(address):032b}"[: int(length)]):
                continue
            if best is None:
                best = length
            if best == length:
                ways.append(interface)
        return ways

    def see(self, now_s: float, interface: str, source: str, destination: str, port: int) -> Any:
        """Add a row, and count."""
        if interface not in self.ways(source):
            return [("spoofed", source, interface)]
        pair = (source, destination)
        self.order = [one for one in self.order if one != pair] + [pair]
        for gone in self.order[: -self.most]:
            self.rows = [row for row in self.rows if row[1] != gone]
            self.quiet.pop(gone, None)
        self.order = self.order[-self.most :]
        self.rows.append((now_s, pair, port))
        seen = {row[2] for row in self.rows if row[1] == pair and now_s - row[0] < self.window_s}
        was_quiet = self.quiet.get(pair, True)
        self.quiet[pair] = len(seen) < self.ports
        return [("sweep", source, destination)] if was_quiet and not self.quiet[pair] else []


OTHERS: tuple[Callable[..., Any], ...] = (new_monitor_of_logs, MonitorOfPairs, MonitorOfRows)
