"""A routing process without any fault, of which the misconceptions of 7.6 get one part wrong."""

__all__ = ["Messages", "RightProcess", "Update"]

from typing import Any

Update = list[tuple[str, int]]
Messages = list[tuple[str, Update]]


class RightProcess:
    """A routing process in small parts."""

    timeout_s, garbage_s = 180, 120

    def __init__(self, networks: list[str], costs: dict[str, int]) -> None:
        self.networks = list(networks)
        self.routes: dict[str, tuple[int, str | None]] = dict.fromkeys(networks, (1, None))
        self.costs = dict(costs)
        self.down: set[str] = set()
        self.confirmed_s: dict[str, float] = {}
        self.lost_s: dict[str, float] = {}

    def table(self) -> Any:
        """Return the table."""
        return dict(self.routes)

    def announce(self, now_s: float) -> Any:
        """Tell everybody everything."""
        return self.tell(list(self.routes), self.whom())

    def whom(self) -> list[str]:
        """Return all neighbours that can be told."""
        return [one for one in self.costs if one not in self.down]

    def tell(self, about: list[str], whom: list[str]) -> Messages:
        """Return messages."""
        told = [(one, self.entries(one, sorted(about))) for one in whom]
        return [message for message in told if message[1]]

    def entries(self, neighbour: str, about: list[str]) -> Update:
        """Return what one neighbour is told."""
        said = [(one, self.said(neighbour, one)) for one in about]
        return [(one, metric) for one, metric in said if metric is not None]

    def said(self, neighbour: str, destination: str) -> int | None:
        """Return the metric that is told, with poisoned reverse."""
        metric, hop = self.routes[destination]
        return 16 if hop == neighbour else metric

    def at_once(self, before: dict[str, tuple[int, str | None]]) -> Any:
        """Return the triggered update."""
        return self.tell(self.news(before), self.whom())

    def news(self, before: dict[str, tuple[int, str | None]]) -> list[str]:
        """Return what has changed."""
        return [one for one, route in self.routes.items() if route != before.get(one)]

    def receive(self, now_s: float, neighbour: str, update: Update) -> Any:
        """Take an update in."""
        before = dict(self.routes)
        if self.hears(neighbour):
            for destination, metric in update:
                if 1 <= metric <= 16:
                    self.hear(now_s, neighbour, destination, self.offer(neighbour, metric))
        return self.at_once(before)

    def hears(self, neighbour: str) -> bool:
        """Tell whether a line carries anything."""
        return neighbour not in self.down

    def offer(self, neighbour: str, metric: int) -> int:
        """Return the metric by way of a neighbour."""
        return min(16, metric + self.costs[neighbour])

    def hear(self, now_s: float, neighbour: str, destination: str, offer: int) -> None:
        """Take one entry in."""
        ours, hop = self.routes.get(destination, (16, ""))
        if hop is None:
            return
        if hop == neighbour or offer < ours:
            self.take(now_s, destination, offer, neighbour)
            if offer == 16:
                self.hear_loss(now_s, destination, ours)
            else:
                self.confirm(now_s, destination, ours)

    def take(self, now_s: float, destination: str, offer: int, neighbour: str) -> None:
        """Change a route."""
        self.routes[destination] = (offer, neighbour)

    def hear_loss(self, now_s: float, destination: str, ours: int) -> None:
        """Note when a route became unreachable."""
        if ours < 16:
            self.lost_s[destination] = now_s

    def confirm(self, now_s: float, destination: str, ours: int) -> None:
        """Note when a route was confirmed."""
        self.confirmed_s[destination] = now_s

    def lose(self, now_s: float, destination: str) -> None:
        """Make a route unreachable."""
        metric, hop = self.routes[destination]
        if metric < 16:
            self.routes[destination] = (16, hop)
            self.lost_s[destination] = now_s

    def cut(self, now_s: float, neighbour: str) -> Any:
        """Hear that a line is cut."""
        before = dict(self.routes)
        self.down.add(neighbour)
        for destination, (_, hop) in before.items():
            if hop == neighbour:
                self.lose(now_s, destination)
        return self.at_once(before)

    def mend(self, now_s: float, neighbour: str) -> Any:
        """Hear that a line works again."""
        self.down.discard(neighbour)
        return self.tell(list(self.routes), [neighbour])

    def tick(self, now_s: float) -> Any:
        """Do what is due."""
        before = dict(self.routes)
        for destination, (metric, hop) in before.items():
            if hop is None:
                continue
            if metric == 16 and self.is_garbage(now_s - self.lost_s[destination]):
                del self.routes[destination]
            elif metric < 16 and self.is_late(now_s - self.confirmed_s[destination]):
                self.lose(now_s, destination)
        return self.at_once(before)

    def is_late(self, since_s: float) -> bool:
        """Tell whether a route was confirmed too long ago."""
        return since_s >= self.timeout_s

    def is_garbage(self, since_s: float) -> bool:
        """Tell whether a route was lost long enough ago."""
        return since_s >= self.garbage_s
