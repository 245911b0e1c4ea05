"""Unit 07, with the standard library."""

# ruff: noqa: RUF017  # habits of whoever wrote this

from collections import ChainMap, defaultdict
from contextlib import contextmanager
from dataclasses import dataclass
from graphlib import TopologicalSorter
from heapq import heappop, heappush
from ipaddress import ip_network
from itertools import chain
from math import inf
from struct import pack, unpack


def hear_update(table, neighbour, cost, update):
    offers = {where: min(metric + cost, 16) for where, metric in update if 1 <= metric <= 16}
    taken = {
        where: (offer, neighbour)
        for where, offer in offers.items()
        if (where not in table and offer < 16)
        or (where in table and table[where][1] == neighbour)
        or (where in table and table[where][1] is not None and offer < table[where][0])
    }
    return dict(ChainMap(taken, table))


def tell_neighbours(table, neighbours, horizon, changed, most):
    backwards = {
        "off": lambda entry: [entry],
        "split horizon": lambda entry: [],
        "poisoned reverse": lambda entry: [(entry[0], 16)],
    }[horizon]
    messages = []
    for who in neighbours:
        entries = sum(
            (
                backwards((where, table[where][0]))
                if table[where][1] == who
                else [(where, table[where][0])]
                for where in sorted(table if changed is None else changed)
            ),
            [],
        )
        messages += [(who, entries[at : at + most]) for at in range(0, len(entries), most)]
    return messages


def first_hops(links, root):
    ways = defaultdict(list)
    for start, end, cost in links:
        ways[start].append((end, cost))
    costs, heap = {}, [(0, root)]
    while heap:
        cost, place = heappop(heap)
        if costs.setdefault(place, cost) == cost:
            for end, more in ways.pop(place, ()):
                heappush(heap, (cost + more, end))
    before = {place: set() for place in costs}
    for start, end, cost in links:
        if start in costs and end != root and costs[start] + cost == costs[end]:
            before[end].add(start)
    hops = {}
    for place in TopologicalSorter(before).static_order():
        hops[place] = set().union(*({place} if one == root else hops[one] for one in before[place]))
    return {place: (costs[place], sorted(hops[place])) for place in costs if place != root}


class Flooder:
    def __init__(self, neighbours):
        self.neighbours = list(neighbours)
        self.kept = {}
        self.unheard = defaultdict(set)

    @staticmethod
    def is_newer(one, other):
        ranks = [
            (unpack("!i", pack("!I", number))[0], checksum, age == 3600)
            for _, number, checksum, age in (one, other)
        ]
        return ranks[0] > ranks[1] or (ranks[0] == ranks[1] and one[3] < other[3] - 900)

    def is_same(self, one, other):
        return not (self.is_newer(one, other) or self.is_newer(other, one))

    def receive(self, neighbour, copy):
        about = copy[0]
        if about not in self.kept:
            if copy[3] == 3600:
                return {neighbour: "ack"}
        elif self.is_same(copy, self.kept[about]):
            if neighbour in self.unheard[about]:
                self.unheard[about].discard(neighbour)
                return {}
            return {neighbour: "ack"}
        elif self.is_newer(self.kept[about], copy):
            return {neighbour: self.kept[about]}
        self.kept[about] = copy
        self.unheard[about] = set(self.neighbours) - {neighbour}
        return dict.fromkeys(self.unheard[about], copy) | {neighbour: "ack"}

    def confirm(self, neighbour, copy):
        if copy[0] in self.kept and self.is_same(copy, self.kept[copy[0]]):
            self.unheard[copy[0]].discard(neighbour)

    def waiting(self):
        return sorted((one, about) for about, some in self.unheard.items() for one in some)


new_flooder = Flooder


def plan_changes(old, new):
    nets = {prefix: ip_network(prefix) for prefix in chain(old, new)}
    queue = [p for p in sorted(nets, key=nets.get) if old.get(p) != new.get(p)]
    edges = {int(net.network_address) for net in nets.values()}
    edges |= {int(net.broadcast_address) + 1 for net in nets.values()}

    def around(edge):
        inside = [
            p for p, n in nets.items() if int(n.network_address) <= edge <= int(n.broadcast_address)
        ]
        return sorted(inside, key=lambda p: nets[p].prefixlen, reverse=True)

    nests = [around(edge) for edge in edges]

    def views(table):
        return [next((table[p] for p in nest if p in table), None) for nest in nests]

    fine = list(zip(views(old), views(new), strict=True))
    state, done = dict(old), []

    def after(prefix):
        rest = {p: h for p, h in state.items() if p != prefix}
        return rest | ({prefix: new[prefix]} if prefix in new else {})

    while queue:
        pick = next(
            p for p in queue if all(h in ok for h, ok in zip(views(after(p)), fine, strict=True))
        )
        queue.remove(pick)
        done.append((pick, new.get(pick)))
        state = after(pick)
    return done


@dataclass
class Known:
    metric: int
    via: str | None = None
    since: float = inf

    def shown(self):
        return self.metric, self.via


class Process:
    def __init__(self, networks, costs):
        self.known = {name: Known(1) for name in networks}
        self.costs, self.deaf = costs, set()

    def table(self):
        return {name: one.shown() for name, one in self.known.items()}

    def tell(self, names, whom=None):
        return tell_neighbours(
            self.table(),
            [one for one in whom or self.costs if one not in self.deaf],
            "poisoned reverse",
            list(names),
            len(self.known) + 1,
        )

    @contextmanager
    def news(self, out):
        before = self.table()
        yield
        out += self.tell(name for name, _ in self.table().items() - before.items())

    def announce(self, now_s):
        return self.tell(self.known)

    def receive(self, now_s, neighbour, update):
        with self.news(out := []):
            after = {}
            if neighbour not in self.deaf:
                after = hear_update(self.table(), neighbour, self.costs[neighbour], update)
            told = {name for name, metric in update if 1 <= metric <= 16}
            for name, (metric, via) in after.items():
                old = self.known.get(name, Known(16))
                if via == neighbour and name in told and (metric < 16 or old.metric < 16):
                    self.known[name] = Known(metric, via, now_s)
        return out

    def lose(self, now_s, names):
        for name in names:
            self.known[name] = Known(16, self.known[name].via, now_s)

    def cut(self, now_s, neighbour):
        self.deaf.add(neighbour)
        behind = [n for n, one in self.known.items() if one.via == neighbour and one.metric < 16]
        with self.news(out := []):
            self.lose(now_s, behind)
        return out

    def mend(self, now_s, neighbour):
        self.deaf.discard(neighbour)
        return self.tell(self.known, [neighbour])

    def tick(self, now_s):
        ages = {name: now_s - one.since for name, one in self.known.items()}
        gone = [n for n, age in ages.items() if age >= 120 and self.known[n].metric == 16]
        for name in gone:
            del self.known[name]
        with self.news(out := []):
            self.lose(now_s, [n for n, age in ages.items() if age >= 180 and n not in gone])
        return out


new_process = Process
