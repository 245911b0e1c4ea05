"""The model answer to 12.3. Sources: RFC 2827, section 3; RFC 3704, section 2."""

__all__ = ["new_monitor"]

from ipaddress import IPv4Address, IPv4Network

Alarm = tuple[str, str, str]


def new_monitor(routes: list[tuple[str, str]], ports: int, window_s: float, most: int) -> "Monitor":
    """Return a monitor that has seen nothing yet."""
    return Monitor(routes, ports, window_s, most)


class Monitor:
    """Looks where sources lie, and remembers when each pair asked for which ports last."""

    def __init__(
        self, routes: list[tuple[str, str]], ports: int, window_s: float, most: int
    ) -> None:
        self.routes = [(IPv4Network(prefix), interface) for prefix, interface in routes]
        self.ports, self.window_s, self.most = ports, window_s, most
        self.asked: dict[tuple[str, str], dict[int, float]] = {}  # the latest pair stands last
        self.told: set[tuple[str, str]] = set()

    def see(
        self, now_s: float, interface: str, source: str, destination: str, port: int
    ) -> list[Alarm]:
        """Return what is wrong with a packet, if something is."""
        if interface not in self.ways_to(source):
            return [("spoofed", source, interface)]
        pair = (source, destination)
        self.remember(now_s, pair, port)
        was_told = pair in self.told
        if len(self.asked[pair]) < self.ports:
            self.told.discard(pair)
            return []
        self.told.add(pair)
        return [] if was_told else [("sweep", source, destination)]

    def ways_to(self, source: str) -> list[str]:
        """Return the interfaces of the longest prefix that covers an address."""
        address = IPv4Address(source)
        found = [(prefix, interface) for prefix, interface in self.routes if address in prefix]
        lengths = [prefix.prefixlen for prefix, _ in found]
        return [interface for prefix, interface in found if prefix.prefixlen == max(lengths)]

    def remember(self, now_s: float, pair: tuple[str, str], port: int) -> None:
        """Note a port, and forget what is old and what is too much."""
        times = self.asked.pop(pair, {}) | {port: now_s}
        self.asked[pair] = {one: at for one, at in times.items() if now_s - at < self.window_s}
        if len(self.asked) > self.most:
            oldest = next(iter(self.asked))
            del self.asked[oldest]
            self.told.discard(oldest)
