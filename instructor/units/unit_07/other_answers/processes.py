"""Other right answers to exercise 7.6, each in a way of its own."""

__all__ = ["NEW_PROCESS"]

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

Update = list[tuple[str, int]]
Messages = list[tuple[str, Update]]


@dataclass
class Route:
    """A route with its times; `deadline_s` is when something becomes of it."""

    metric: int
    hop: str | None
    deadline_s: float


class ProcessOfRoutes:
    """Give each route a deadline: of its confirmation, or of its end."""

    def __init__(self, networks: list[str], costs: dict[str, int]) -> None:
        self.all = {name: Route(1, None, float("inf")) for name in networks}
        self.costs = costs
        self.works = dict.fromkeys(costs, True)

    def table(self) -> dict[str, tuple[int, str | None]]:
        """Show metrics and next hops."""
        return {name: (route.metric, route.hop) for name, route in self.all.items()}

    def announce(self, now_s: float) -> Messages:
        """Tell everybody everything."""
        return self.send(self.all)

    def send(self, names: Any) -> Messages:
        """Make messages about some destinations."""
        messages = []
        for neighbour, works in self.works.items():
            entries = [
                (name, 16 if self.all[name].hop == neighbour else self.all[name].metric)
                for name in sorted(names)
            ]
            if works and entries:
                messages.append((neighbour, entries))
        return messages

    def receive(self, now_s: float, neighbour: str, update: Update) -> Messages:
        """Take each entry in, and remember which made a difference."""
        changed = set()
        for name, metric in update if self.works[neighbour] else ():
            offer = min(metric + self.costs[neighbour], 16)
            route = self.all.get(name)
            if not 1 <= metric <= 16 or (route is not None and route.hop is None):
                continue
            if route is None:
                if offer < 16:
                    self.all[name] = Route(offer, neighbour, now_s + 180)
                    changed.add(name)
            elif route.hop == neighbour or offer < route.metric:
                if (offer, neighbour) != (route.metric, route.hop):
                    changed.add(name)
                if offer < 16:
                    route.deadline_s = now_s + 180
                elif route.metric < 16:
                    route.deadline_s = now_s + 120
                route.metric, route.hop = offer, neighbour
        return self.send(changed)

    def lose(self, now_s: float, names: list[str]) -> Messages:
        """Make routes unreachable."""
        for name in names:
            self.all[name].metric = 16
            self.all[name].deadline_s = now_s + 120
        return self.send(names)

    def cut(self, now_s: float, neighbour: str) -> Messages:
        """Lose the routes through a neighbour."""
        self.works[neighbour] = False
        gone = [name for name, r in self.all.items() if r.hop == neighbour and r.metric < 16]
        return self.lose(now_s, gone)

    def mend(self, now_s: float, neighbour: str) -> Messages:
        """Tell one neighbour everything."""
        self.works[neighbour] = True
        return [(one, entries) for one, entries in self.send(self.all) if one == neighbour]

    def tick(self, now_s: float) -> Messages:
        """See whose deadline has come."""
        due = [name for name, route in self.all.items() if route.deadline_s <= now_s]
        late = [name for name in due if self.all[name].metric < 16]
        for name in set(due) - set(late):
            del self.all[name]
        return self.lose(now_s, late)


class ProcessOfColumns:
    """Keep a dictionary for each column of the table."""

    def __init__(self, networks: list[str], costs: dict[str, int]) -> None:
        self.metrics = dict.fromkeys(networks, 1)
        self.hops: dict[str, str] = {}
        self.since: dict[str, float] = {}
        self.costs, self.silent = dict(costs), set[str]()

    def table(self) -> dict[str, tuple[int, str | None]]:
        """Join two columns."""
        return {name: (metric, self.hops.get(name)) for name, metric in self.metrics.items()}

    def told(self, before: dict[str, Any], only: str = "") -> Messages:
        """Tell what differs from a table."""
        messages: Messages = []
        now = self.table()
        names = sorted(name for name in now if now[name] != before.get(name))
        for neighbour in self.costs:
            if neighbour not in self.silent and names and only in ("", neighbour):
                poisoned = [
                    (name, 16 if self.hops.get(name) == neighbour else self.metrics[name])
                    for name in names
                ]
                messages.append((neighbour, poisoned))
        return messages

    def announce(self, now_s: float) -> Messages:
        """Tell what differs from nothing."""
        return self.told({})

    def receive(self, now_s: float, neighbour: str, update: Update) -> Messages:
        """Go through an update."""
        before = self.table()
        if neighbour in self.silent:
            update = []
        for name, metric in update:
            own = name in self.metrics and name not in self.hops
            if own or metric < 1 or metric > 16:
                continue
            offer, ours = min(metric + self.costs[neighbour], 16), self.metrics.get(name, 16)
            if self.hops.get(name) == neighbour or offer < ours:
                self.metrics[name], self.hops[name] = offer, neighbour
                if offer < 16 or ours < 16:
                    self.since[name] = now_s
        return self.told(before)

    def unreachable(self, now_s: float, name: str) -> None:
        """Lose one route."""
        self.metrics[name] = 16
        self.since[name] = now_s

    def cut(self, now_s: float, neighbour: str) -> Messages:
        """Lose many."""
        before = self.table()
        self.silent.add(neighbour)
        for name, hop in self.hops.items():
            if hop == neighbour and self.metrics[name] != 16:
                self.unreachable(now_s, name)
        return self.told(before)

    def mend(self, now_s: float, neighbour: str) -> Messages:
        """Tell one."""
        self.silent -= {neighbour}
        return self.told({}, neighbour)

    def tick(self, now_s: float) -> Messages:
        """Look at the times."""
        before = self.table()
        for name in list(self.hops):
            waited_s = now_s - self.since[name]
            if self.metrics[name] < 16:
                if waited_s >= 180:
                    self.unreachable(now_s, name)
            elif waited_s >= 120:
                for column in (self.metrics, self.hops, self.since):
                    del column[name]
        return self.told(before)


def new_process_in_one(networks: list[str], costs: dict[str, int]) -> Any:
    """Build an object from functions that share their variables."""
    routes: dict[str, list[Any]] = {name: [1, None, 0.0] for name in networks}
    cut_off: list[str] = []

    def send(names: Any, whom: Any = None) -> Messages:
        return [
            (one, [(name, 16 if routes[name][1] == one else routes[name][0])
                   for name in sorted(names)])
            for one in (costs if whom is None else [whom])
            if one not in cut_off and names
        ]  # fmt: skip

    class Process:
        def table(self) -> Any:
            return {name: (metric, hop) for name, (metric, hop, _) in routes.items()}

        def announce(self, now_s: float) -> Messages:
            return send(routes)

        def receive(self, now_s: float, neighbour: str, update: Update) -> Messages:
            if neighbour in cut_off:
                return []
            news = []
            for name, told in update:
                metric, hop, since_s = routes.get(name, [16, "nobody", now_s])
                offer = min(told + costs[neighbour], 16)
                if told not in range(1, 17) or hop is None:
                    continue
                if neighbour == hop or offer < metric:
                    if (offer, neighbour) != (metric, hop):
                        news.append(name)
                    still = offer == metric == 16
                    routes[name] = [offer, neighbour, since_s if still else now_s]
            return send(news)

        def cut(self, now_s: float, neighbour: str) -> Messages:
            cut_off.append(neighbour)
            return send([name for name, (_, hop, _) in routes.items()
                         if hop == neighbour and lost(now_s, name)])  # fmt: skip

        def mend(self, now_s: float, neighbour: str) -> Messages:
            cut_off.remove(neighbour)
            return send(routes, neighbour)

        def tick(self, now_s: float) -> Messages:
            learnt = {name: route for name, route in routes.items() if route[1] is not None}
            for name, (metric, _, since_s) in learnt.items():
                if metric == 16 and since_s + 120 <= now_s:
                    del routes[name]
            late = [name for name, (_, _, since_s) in learnt.items() if since_s + 180 <= now_s]
            return send([name for name in late if name in routes and lost(now_s, name)])

    def lost(now_s: float, name: str) -> bool:
        if routes[name][0] == 16:
            return False
        routes[name][0], routes[name][2] = 16, now_s
        return True

    return Process()


NEW_PROCESS: tuple[Callable[..., Any], ...] = (
    ProcessOfRoutes,
    ProcessOfColumns,
    new_process_in_one,
)
